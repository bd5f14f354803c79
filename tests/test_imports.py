"""The table of rooms in the design, held true over every import statement of builder/."""

import ast
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

BUILDER = Path(__file__).resolve().parents[1] / "builder"
PROJECT = BUILDER.parent

BASE = {"errors", "units", "say", "formula", "quantity", "yamlfile", "plan"}
ENTRY = {"cli", "batch", "tasks", "making", "serving", "served", "__main__", "__init__"}
"""Modules beside the rooms that put them together: they may import every room."""

ROOMS: Mapping[str, set[str]] = {
    "catalogue": set(),
    "job": {"catalogue"},
    "levels": {"catalogue", "job"},
    "calc": set(),
    "checks": {"job", "levels", "calc", "catalogue"},
    "figures": {"levels", "checks"},
    "pages": {"catalogue", "job", "levels", "checks", "figures"},
    "website": {"pages", "figures"},  # figures: what a drawing is, and the palette for the stylesheet
    "pack": {"website", "pages", "figures", "checks", "levels", "job", "catalogue"},  # the record, where-used
    "desk": {"pack", "website", "pages", "checks", "levels", "job", "catalogue"},  # pack: its records alone
}
"""What a room may import besides the base, in the order the data goes."""

LIBRARIES: Mapping[str, set[str]] = {
    "yaml": {"yamlfile"},
    "shapely": {"plan", "levels", "job"},  # job finds faults of geometry before anything is placed
    "numpy": {"plan", "levels", "job", "calc", "figures"},
    "matplotlib": {"figures"},
    "reportlab": {"figures"},  # true-size sheets
    "jinja2": {"pages", "website", "desk"},  # website: only to keep the theme's compiled templates on disk
    "markupsafe": {"pages", "website", "desk"},
    "mkdocs": {"website"},
    "markdown": {"website"},
    "lxml": {"website", "pack"},
    "typst": {"pack"},
    "segno": {"pack"},
    "click": {"cli", "__main__"},
    "rich": {"batch"},  # the bar of a long command
}
"""Where an outside library is at home: rooms, or modules of the base."""


def home_of(path: Path) -> str:
    """Return the room of a module, or the module's own name where it is beside the rooms."""
    parts = path.relative_to(BUILDER).parts
    return parts[0] if len(parts) > 1 else path.stem


def imports_of(text: str) -> Iterator[tuple[int, str]]:
    """Yield (line, dotted name) of every import statement, those in functions and for types too."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            if node.level:
                yield node.lineno, "." * node.level + (node.module or "")
            elif node.module == "builder":
                yield from ((node.lineno, f"builder.{alias.name}") for alias in node.names)
            else:
                yield node.lineno, node.module or ""


def faults_of(home: str, text: str) -> list[str]:
    """Return what a module of that home imports and may not."""
    out = []
    for line, name in imports_of(text):
        top, _, rest = name.partition(".")
        inside = rest.partition(".")[0]
        if not top:
            out.append(f"{line}: {name}: write the whole name, from builder on")
        elif top == "builder":
            out += [f"{line}: {home} may not import {inside}"] if not may_import(home, inside) else []
        elif top not in sys.stdlib_module_names and home not in LIBRARIES.get(top, set()):
            out.append(f"{line}: {top} is not at home in {home}")
    return out


def may_import(home: str, inside: str) -> bool:
    if home in ENTRY or inside == home or inside in BASE or inside == "__version__":
        return True
    return home in ROOMS and inside in ROOMS[home]


MODULES = sorted(BUILDER.rglob("*.py"))


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(BUILDER).as_posix())
def test_a_module_imports_only_what_its_room_may(path: Path) -> None:
    assert faults_of(home_of(path), path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    ("home", "text", "fault"),
    [
        ("calc", "from builder.levels import place", "1: calc may not import levels"),
        ("calc", "from builder import job", "1: calc may not import job"),
        ("levels", "import builder.checks.work", "1: levels may not import checks"),
        ("errors", "from builder.catalogue import load", "1: errors may not import catalogue"),
        ("pages", "import mkdocs", "1: mkdocs is not at home in pages"),
        ("checks", "def f():\n    import shapely.geometry", "2: shapely is not at home in checks"),
        ("checks", "import requests", "1: requests is not at home in checks"),
        ("figures", "from . import style", "1: .: write the whole name, from builder on"),
        ("figures", "from builder.cli import main", "1: figures may not import cli"),
    ],
)
def test_a_planted_import_is_found(home: str, text: str, fault: str) -> None:
    assert faults_of(home, text) == [fault]


def test_figures_never_use_pyplot() -> None:
    users = [
        path.name
        for path in MODULES
        for _, name in imports_of(path.read_text(encoding="utf-8"))
        if "pyplot" in name
    ]
    assert users == []


def test_the_table_names_every_room_and_every_module_beside_them() -> None:
    rooms = {path.parent.relative_to(BUILDER).parts[0] for path in MODULES if path.parent != BUILDER}
    beside = {path.stem for path in MODULES if path.parent == BUILDER}
    assert rooms == set(ROOMS)
    assert beside <= BASE | ENTRY
    assert BASE <= beside


def test_rooms_are_flat_and_no_name_shadows_the_standard_library() -> None:
    assert [path for path in MODULES if len(path.relative_to(BUILDER).parts) > 2] == []
    assert not set(ROOMS) & sys.stdlib_module_names


def test_no_module_is_longer_than_400_lines() -> None:
    lengths = {path.name: len(path.read_text(encoding="utf-8").splitlines()) for path in MODULES}
    assert {name: count for name, count in lengths.items() if count > 400} == {}


def test_the_project_folder_holds_what_the_design_names_and_nothing_else() -> None:
    named = {
        "builder", "content", "jobs", "shared", "tests", "docs", ".ci", ".gitignore", "mkdocs.yml",
        "README.md", "DEVELOPERS.md", "CHANGELOG.md", "VALIDATION.md", "pyproject.toml", "requirements.lock",
        "requirements-dev.lock", "Makefile",
    }  # fmt: skip
    ignored = {line.strip("/\n") for line in (PROJECT / ".gitignore").read_text().splitlines()}
    there = {path.name for path in PROJECT.iterdir()} - {".git"}
    assert {name for name in there - named if name not in ignored and not name.endswith(".egg-info")} == set()
    assert named - there == set()
