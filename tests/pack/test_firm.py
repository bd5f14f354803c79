"""Whatever happens while a pack is put: what stood is whole, and the next run mends the rest."""

from __future__ import annotations

import itertools
import os
import shutil
import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import pytest

from builder import making
from builder.errors import CannotWrite
from builder.pack import Order, firm
from tests.crash_packs import faults_of
from tests.pack.jobs import LINK, files_of, order, pack, write
from tests.pack.stand_in import documents

Killed = type("Killed", (BaseException,), {})
REF = "PK-1"


def sound(root: Path) -> bool:
    return not list(faults_of(root, REF))


def nothing_left(root: Path) -> bool:
    return not list(root.rglob(".*"))


def stopped_at(nth: int, calls: list[str], stop: Callable[[], None], monkeypatch: pytest.MonkeyPatch) -> None:
    """Stop just before the nth time the disk is asked to keep, rename or replace something."""

    def counted(name: str) -> None:
        real = getattr(os, name)

        def call(*given: object, **named: object) -> object:
            calls.append(name)
            if len(calls) == nth:
                stop()
            return real(*given, **named)

        monkeypatch.setattr(os, name, call)

    for name in ("fsync", "rename", "replace"):
        counted(name)


@pytest.fixture
def fresh(tmp_path: Path, quick: None) -> Callable[[], Order]:
    """Give, each time anew, a folder where issue A stands, and the order to pack issue B into it."""
    (tmp_path / "first").mkdir()
    pack(tmp_path / "first")
    asked = order(tmp_path, write(tmp_path, issue="B"))
    making.pack(replace(asked, out=tmp_path / "warm", issued=tmp_path / "warm"), documents)  # pages are known
    count = itertools.count()

    def give() -> Order:
        root = tmp_path / f"root{next(count)}"
        shutil.copytree(tmp_path / "first", root)
        return replace(asked, out=root / "send", issued=root / "issued")

    return give


def test_a_pack_that_ends_at_any_step_on_disk_leaves_all_whole_and_the_next_mends(
    fresh: Callable[[], Order],
) -> None:
    """Ends without clearing up, as a kill does: in a fork that leaves at the nth call."""
    done: list[str] = []
    for nth in itertools.count(1):
        asked = fresh()
        root = asked.out.parent
        before = files_of(asked.link_folder / "A")
        pid = os.fork()
        if not pid:
            with suppress(BaseException), pytest.MonkeyPatch.context() as patched:
                stopped_at(nth, [], lambda: os._exit(9), patched)
                making.pack(asked, documents)
                os._exit(0)
            os._exit(1)
        code = os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])
        assert sound(root)
        assert files_of(asked.link_folder / "A") == before
        if code == 0:
            break
        assert code == 9
        done.append(making.pack(asked, documents).done)
        assert sound(root)
        assert nothing_left(root)
    assert nth > 10
    assert {"packed", "mended"} <= set(done)


@pytest.mark.parametrize(
    "error", [OSError(28, "No space left on device"), KeyboardInterrupt()], ids=["full", "^C"]
)
def test_a_full_disk_or_an_interruption_at_any_step_leaves_all_whole_and_nothing_behind(
    fresh: Callable[[], Order], error: BaseException
) -> None:
    def stop() -> None:
        raise error

    for nth in itertools.count(1):
        asked = fresh()
        root = asked.out.parent
        calls: list[str] = []
        with pytest.MonkeyPatch.context() as patched:
            stopped_at(nth, calls, stop, patched)
            with suppress(CannotWrite, KeyboardInterrupt):
                making.pack(asked, documents)
        assert sound(root)
        assert nothing_left(root)
        if len(calls) < nth:
            break
        assert making.pack(asked, documents).done in ("packed", "mended", "unchanged")
        assert sound(root)
    assert nth > 10


def test_a_full_disk_is_told_in_one_line_with_the_place(tmp_path: Path, quick: None) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device", str(tmp_path / "send"))

    asked = order(tmp_path, write(tmp_path))
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(firm, "write_all", full)
        with pytest.raises(CannotWrite, match="could not be written: No space left on device") as caught:
            making.pack(asked, documents)
    assert "\n" not in str(caught.value)
    assert not list((tmp_path / "send").rglob("*")), "an empty folder of the link would tell it"


def test_two_packs_of_one_job_at_once_end_as_one(tmp_path: Path, quick: None) -> None:
    """The second waits, says so once, and finds the issue there."""
    said: list[str] = []
    asked = order(tmp_path, write(tmp_path), waiting=said.append)
    second = threading.Thread(target=making.pack, args=(asked, documents))

    def first_is_slow(*given: object) -> dict[str, bytes]:
        second.start()
        while not said:
            pass
        return dict(documents(*given))  # type: ignore[arg-type]

    assert making.pack(order(tmp_path, asked_path(tmp_path)), first_is_slow).done == "packed"
    second.join()
    assert said == [f"Another pack of {REF} is running: waiting for it to end"]
    assert sound(tmp_path)
    assert nothing_left(tmp_path)


def asked_path(root: Path) -> Path:
    return root / "job.yml"


def test_a_folder_left_empty_by_whoever_held_it_is_made_again(tmp_path: Path) -> None:
    with firm.held(tmp_path / "a", lambda: None) as first:
        assert first
        (tmp_path / "a").rmdir()
        with firm.held(tmp_path / "a", lambda: None) as second:
            assert second
            (tmp_path / "a" / "file").write_text("x")
    assert (tmp_path / "a" / "file").is_file()


def test_leftovers_are_told_by_name_and_nothing_else_is_cleared(tmp_path: Path) -> None:
    (tmp_path / ".new.k2j3h4").mkdir()
    (tmp_path / ".new.k2j3h4" / "half").write_text("x")
    (tmp_path / ".index.html.x9y8").write_text("x")
    for name in ("A", "index.html", ".htaccess", "new.txt"):
        (tmp_path / name).write_text("mine")
    assert firm.clear_leftovers(tmp_path) == 2
    assert {path.name for path in tmp_path.iterdir()} == {"A", "index.html", ".htaccess", "new.txt"}


def test_a_file_in_the_way_of_the_link_is_left_alone(tmp_path: Path, quick: None) -> None:
    (tmp_path / "send").mkdir()
    (tmp_path / "send" / LINK).write_text("mine")
    with pytest.raises(CannotWrite):
        pack(tmp_path)
    assert (tmp_path / "send" / LINK).read_text() == "mine"


def test_nothing_stands_twice_a_second_settling_is_refused(tmp_path: Path) -> None:
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "file").write_text(name)
    firm.settle(tmp_path / "one", tmp_path / "A")
    with pytest.raises(OSError, match="not empty"):
        firm.settle(tmp_path / "two", tmp_path / "A")
    assert (tmp_path / "A" / "file").read_text() == "one"
