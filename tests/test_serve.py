"""`serve`: what the browser gets, what is built anew when, and how it ends."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from html import unescape
from multiprocessing import Pipe
from pathlib import Path
from typing import Any

import pytest

from builder import served, serving, tasks
from builder.served import Board, Server, Shown

PROJECT = Path(__file__).resolve().parents[1]
PAGE = (
    '<!doctype html><html><head><title>T</title></head><body><main id="_main"><p>One</p></main></body></html>'
)
Get = Callable[..., tuple[int, str, Any]]


def fetch(address: str, host: str | None = None) -> tuple[int, str, Any]:
    request = urllib.request.Request(address, headers={"Host": host} if host else {})  # noqa: S310 our own server
    try:
        with urllib.request.urlopen(request, timeout=60) as answer:  # noqa: S310
            return answer.status, answer.read().decode(), answer.headers
    except urllib.error.HTTPError as error:
        with error:
            return error.code, error.read().decode(), error.headers


class Stand:
    """A server over one small guide, told by hand what to show."""

    def __init__(self, folder: Path) -> None:
        self.root = folder / "guide"
        (self.root / "steps").mkdir(parents=True)
        (self.root / "index.html").write_text(PAGE, encoding="utf-8")
        (self.root / "steps" / "dig.html").write_text(PAGE, encoding="utf-8")
        (folder / "secret.txt").write_text("secret", encoding="utf-8")
        self.shown = Shown("yard", "yard.yml", "AB-1 Yard", str(self.root), version=1)
        self.ours, theirs = Pipe()
        self.board = Board(theirs, "body{}")
        self.board.take([self.shown])
        self.server = Server((served.HOST, 0), self.board)
        self.address = f"http://{served.HOST}:{self.server.server_address[1]}"

    def get(self, path: str, host: str | None = None) -> tuple[int, str, Any]:
        return fetch(self.address + path, host)


@pytest.fixture
def stand(tmp_path: Path) -> Iterator[Stand]:
    made = Stand(tmp_path)
    thread = threading.Thread(target=made.server.serve_forever, args=(0.02,))
    thread.start()
    yield made
    made.server.shutdown()
    thread.join()
    made.server.server_close()
    made.ours.close()
    made.board.pipe.close()


def asks(page: str) -> str:
    """What the script of a page asks."""
    (found,) = re.findall(r'<script src="/reload\.js" data-ask="([^"]*)"></script>', page)
    return "/changed.js?" + unescape(found)


def test_a_page_is_shown_as_built_with_one_script_more(stand: Stand) -> None:
    status, page, headers = stand.get("/yard/steps/dig.html")
    assert status == 200
    assert re.sub(r'<script src="/reload\.js"[^>]*></script>\n', "", page) == PAGE
    assert headers["Cache-Control"] == "no-store"
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert (stand.root / "steps" / "dig.html").read_text(encoding="utf-8") == PAGE


def test_the_script_needs_nothing_that_a_guides_policy_forbids(stand: Stand) -> None:
    _, script, headers = stand.get("/reload.js")
    assert headers["Content-Type"].startswith("text/javascript")
    for word in ("fetch(", "XMLHttpRequest", "EventSource", "WebSocket", "eval", "style", "http:", "https:"):
        assert word not in script
    template = (PROJECT / "shared" / "theme" / "templates" / "main.html").read_text(encoding="utf-8")
    assert "script-src 'self'" in template
    assert "reload.js" not in template


def test_one_job_alone_is_opened_at_once_and_several_are_listed(stand: Stand) -> None:
    assert stand.get("/")[1] == stand.get("/yard/index.html")[1]
    other = Shown("two", "two.yml", "AB-2 <b>", None, ("two.yml:1:1: x. y.",), 3)
    stand.board.take([stand.shown, other, Shown("three", "three.yml")])
    status, page, _ = stand.get("/")
    assert status == 200
    assert '<a href="/yard/index.html">AB-1 Yard</a><br>yard.yml: built' in page
    assert '<a href="/two/index.html">AB-2 &lt;b&gt;</a><br>two.yml: 1 to mend' in page
    assert '<a href="/three/index.html">three.yml</a><br>three.yml: built when it is opened' in page


def test_faults_stand_above_the_last_good_guide(stand: Stand) -> None:
    fault = "yard.yml:3:4: shell.mass: '<780' has no unit. Write 780 kg."
    stand.board.take([Shown("yard", "yard.yml", "AB-1", str(stand.root), (fault,), 2)])
    status, page, _ = stand.get("/yard/index.html")
    assert status == 200
    assert "Mend these first" in page
    assert "shell.mass: &#x27;&lt;780&#x27; has no unit" in page
    assert "the last guide that was built" in page
    assert page.index("Mend these") < page.index("<p>One</p>")


def test_faults_are_shown_where_no_guide_was_ever_built(stand: Stand) -> None:
    stand.board.take([Shown("yard", "yard.yml", "", None, ("yard.yml:1:1: a. b.",), 1)])
    status, page, _ = stand.get("/yard/steps/dig.html")
    assert status == 503
    assert "yard.yml:1:1: a. b." in page
    assert "No guide is built yet" in page
    assert "Content-Security-Policy" in page
    assert asks(page)


def test_an_answer_is_held_until_the_job_is_built_anew(stand: Stand, monkeypatch: pytest.MonkeyPatch) -> None:
    ask = asks(stand.get("/yard/index.html")[1])
    monkeypatch.setattr(served, "HELD", 0.05)
    assert stand.get(ask)[1] == ""
    monkeypatch.setattr(served, "HELD", 30.0)
    threading.Timer(
        0.1, stand.board.take, [[Shown("yard", "yard.yml", "", str(stand.root), version=2)]]
    ).start()
    assert stand.get(ask)[1] == served.CHANGED.decode()
    assert stand.get("/changed.js?job=yard&stamp=of-an-earlier-server")[1] == served.CHANGED.decode()


def test_a_job_is_built_when_it_is_first_opened(stand: Stand) -> None:
    stand.board.take([stand.shown, Shown("two", "two.yml")])

    def build() -> None:
        assert stand.ours.recv() == "two"
        stand.board.take([stand.shown, Shown("two", "two.yml", "", str(stand.root), version=1)])

    builder = threading.Thread(target=build)
    builder.start()
    assert stand.get("/two/index.html")[0] == 200
    builder.join()


@pytest.mark.parametrize(
    "path",
    [
        "/yard/../secret.txt",
        "/yard/%2e%2e/secret.txt",
        "/yard//etc/passwd",
        "/yard/%00",
        "/yard/none.html",
        "/none/",
        "/../x",
    ],
)
def test_nothing_but_guides_is_served(stand: Stand, path: str) -> None:
    status, page, _ = stand.get(path)
    assert status == 404
    assert "secret" not in page


def test_a_page_elsewhere_that_leads_here_by_another_name_gets_nothing(stand: Stand) -> None:
    port = stand.server.server_address[1]
    assert stand.get("/yard/index.html", host=f"evil.example:{port}")[:2] == (403, "")
    assert stand.get("/yard/index.html", host=f"localhost:{port}")[0] == 200


def test_the_server_answers_this_machine_alone(stand: Stand) -> None:
    assert stand.server.server_address[0] == "127.0.0.1"


def test_all_that_was_read_of_content_and_shared_is_forgotten() -> None:
    from builder import pages
    from builder.pages.templates import templates
    from builder.pages.wording import glossary

    kept = tasks.catalogue()
    assert pages.questions()
    glossary()
    templates(PROJECT / "content")
    serving.forget()
    assert tasks.catalogue() is not kept
    assert glossary.cache_info().currsize == 0
    assert templates.cache_info().currsize == 0


def test_every_file_of_content_and_shared_and_every_spec_is_watched(tmp_path: Path) -> None:
    spec = tmp_path / "a.yml"
    spec.write_text("ref: A\n", encoding="utf-8")
    stamps = serving.stamps_of([spec, tmp_path / "gone.yml"])
    assert {spec, PROJECT / "content" / "index.md", PROJECT / "shared" / "shells.yml"} <= set(stamps)
    assert PROJECT / "shared" / "theme" / "scripts" / "dip.js" in stamps
    assert not any(path.is_dir() for path in stamps)


def test_what_an_editor_leaves_beside_a_file_builds_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("index.md", ".index.md.swp", "index.md~"):
        (tmp_path / name).write_text("x", encoding="utf-8")
    monkeypatch.setattr(serving, "WATCHED", (tmp_path,))
    assert {path.name for path in serving.stamps_of([])} == {"index.md"}


# the whole command, on a copy of the project


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("project")
    left_out = shutil.ignore_patterns("__pycache__")
    for name in ("builder", "content", "shared"):
        shutil.copytree(PROJECT / name, folder / name, ignore=left_out)
    shutil.copy(PROJECT / "mkdocs.yml", folder)
    shutil.copy(PROJECT / "requirements.lock", folder)
    (folder / "jobs").mkdir()
    shutil.copy(PROJECT / "jobs" / "quandong-rise.yml", folder / "jobs")
    return folder


class Running:
    """The command while it runs."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self.process = process
        assert process.stdout is not None
        self.lines = process.stdout
        self.address = self.lines.readline().partition(": open")[0].rstrip("/")
        self.lines.readline()
        self.page = fetch(self.address + "/")[1]  # waits for the first build

    def after(self, path: Path, old: str, new: str) -> str:
        """Save a change, wait until the page would load itself again, and return it as it is then."""
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new, 1), encoding="utf-8")
        until = time.monotonic() + 60
        while fetch(self.address + asks(self.page))[1] == "" and time.monotonic() < until:
            pass
        self.page = fetch(self.address + "/")[1]
        return self.page


@contextmanager
def running(copy: Path, tmp_path: Path, *jobs: str) -> Iterator[Running]:
    command = [sys.executable, "-m", "builder", "serve", *jobs, "--port", "0"]
    (tmp_path / "temp").mkdir()
    environment = {**os.environ, "PYTHONPATH": str(copy), "TMPDIR": str(tmp_path / "temp")}
    piped = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "text": True}
    process: subprocess.Popen[str] = subprocess.Popen(command, cwd=copy, env=environment, **piped)  # type: ignore[call-overload]
    try:
        yield Running(process)
    finally:
        process.kill()
        process.communicate()


def test_each_save_is_shown_and_ctrl_c_leaves_nothing(copy: Path, tmp_path: Path) -> None:
    spec = copy / "jobs" / "quandong-rise.yml"
    with running(copy, tmp_path, "jobs/quandong-rise.yml") as live:
        assert re.search(r"QR-0412 built in [0-9.]+ s\n", live.lines.readline())
        assert "Quandong Rise" in live.page
        assert "Gum Rise" in live.after(spec, "title: Quandong Rise", "title: Gum Rise")
        faulty = live.after(spec, "title: Gum Rise", "title: Gum Rise\nmass: 3")
        assert "Mend these first" in faulty
        assert "Gum Rise" in faulty
        assert "Mend these first" not in live.after(spec, "\nmass: 3", "")
        assert "Words of today" in live.after(
            copy / "content" / "index.md", "This guide is for", "Words of today. This guide is for"
        )
        named = live.after(copy / "shared" / "regions.yml", "name: New South Wales", "name: New South Hills")
        assert "New South Hills" in named
        inside = list((tmp_path / "temp").rglob("reload.js"))
        assert inside == []
        assert list((tmp_path / "temp").rglob("index.html"))
        live.process.send_signal(signal.SIGINT)
        said, wrong = live.process.communicate(timeout=30)
    assert live.process.returncode == 0
    assert said.splitlines()[-1] == "Ended"
    (fault,) = wrong.splitlines()
    assert re.fullmatch(r"jobs/quandong-rise.yml:\d+:1: mass: 'mass' is not a key here\. .+", fault)
    assert list((tmp_path / "temp").iterdir()) == []


def test_of_a_folder_only_what_is_opened_is_built_and_new_specs_are_listed(
    copy: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "jobs"
    folder.mkdir()
    shutil.copy(PROJECT / "jobs" / "bracken-hill.yml", folder)
    (folder / "begun.yml").write_text("ref: AB-1\n", encoding="utf-8")
    with running(copy, tmp_path, str(folder)) as live:
        assert "bracken-hill.yml: built when it is opened" in live.page
        ask = asks(live.page)
        shutil.copy(folder / "begun.yml", folder / "more.yml")
        assert fetch(live.address + ask)[1] == served.CHANGED.decode()
        assert "more.yml" in fetch(live.address + "/")[1]
        status, page, _ = fetch(live.address + "/begun/index.html")
        assert status == 503
        assert "title: this key is missing" in page
        page = fetch(live.address + "/")[1]
        assert re.search(r"begun\.yml: \d to mend", page)
        assert "bracken-hill.yml: built when it is opened" in page
        assert "more.yml: built when it is opened" in page


def test_a_port_that_is_taken_is_one_line(stand: Stand) -> None:
    port = str(stand.server.server_address[1])
    command = [sys.executable, "-m", "builder", "serve", "quandong-rise", "--port", port]
    done = subprocess.run(command, cwd=PROJECT, capture_output=True, text=True, check=False)
    assert done.returncode == 3
    (line,) = done.stderr.splitlines()
    assert line.startswith(f"127.0.0.1:{port}: could not be opened: ")
    assert line.endswith("Name another port with --port.")
