"""What a newcomer runs and reads holds together: locks, Makefile, README."""

import re
import tomllib
from pathlib import Path

import pytest

from builder.cli import main

PROJECT = Path(__file__).resolve().parents[1]
PYPROJECT = tomllib.loads((PROJECT / "pyproject.toml").read_text(encoding="utf-8"))
PIN = re.compile(r"^([A-Za-z0-9._-]+)==(\S+?)( ;[^\\]*)? \\$", re.M)


def read(name: str) -> str:
    return (PROJECT / name).read_text(encoding="utf-8")


def plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def pins(lock: str) -> set[tuple[str, str]]:
    return {(plain(name), version) for name, version, _ in PIN.findall(read(lock))}


@pytest.mark.parametrize("lock", ["requirements.lock", "requirements-dev.lock"])
def test_every_package_of_a_lock_is_pinned_and_hashed_and_no_host_is_named(lock: str) -> None:
    text = read(lock)
    blocks = re.split(r"\n(?=\S)", text.split("\n", 1)[1].strip())
    assert len(blocks) > 20
    for block in blocks:
        assert PIN.match(block), block.splitlines()[0]
        assert block.count("--hash=sha256:") >= 1, block.splitlines()[0]
    assert "://" not in text


def test_the_locks_hold_what_pyproject_pins() -> None:
    project = PYPROJECT["project"]
    extras = project["optional-dependencies"]

    def wanted(lines: list[str]) -> set[tuple[str, str]]:
        return {(plain(name), version) for name, version in (line.split("==") for line in lines)}

    assert wanted(project["dependencies"] + extras["build"]) <= pins("requirements.lock")
    assert wanted(project["dependencies"] + extras["build"] + extras["dev"]) <= pins("requirements-dev.lock")
    assert pins("requirements.lock") <= pins("requirements-dev.lock")


def test_make_alone_names_every_target() -> None:
    text = read("Makefile")
    targets = set(re.findall(r"^\.PHONY: (.*)$", text, re.M)[0].split()) - {"help"}
    assert set(re.findall(r'@echo "make ([a-z-]+)', text)) == targets


def test_the_readme_names_every_command() -> None:
    use = read("README.md").split("## Use it")[1].split("\n## ")[0]
    told = set(re.findall(r"^\| `([a-z-]+)", use, re.M))
    assert told == set(main.commands)


def test_the_readme_names_everything_at_the_top_of_the_folder_that_a_reader_opens() -> None:
    told = set(re.findall(r"^\| `([\w./]+?)/?` \|", read("README.md"), re.M))
    for name in (
        "builder",
        "content",
        "jobs",
        "shared",
        "tests",
        "mkdocs.yml",
        "DEVELOPERS.md",
        "CHANGELOG.md",
    ):
        assert name in told


def test_the_developers_guide_names_every_room_in_the_order_the_data_goes() -> None:
    walk = read("DEVELOPERS.md").split("## Rules")[0]
    told = re.findall(r"^\d+\. \*\*(\w+)\*\*", walk, re.M)
    assert told == ["catalogue", "job", "levels", "calc", "checks", "figures", "pages", "website", "pack"]
