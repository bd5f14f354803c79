"""`serve`: guides shown live while their author writes, built anew at each save.

This process builds, one job after another, and keeps what it has loaded; another one (`served`) answers
the browser. A job is built when its page is first opened, and again when its spec, or a file of content
or shared, was saved. Where something is at fault the last good guide stays, with the faults above it.
"""

from __future__ import annotations

import gc
import multiprocessing
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from builder import batch, served, tasks, yamlfile
from builder.errors import InputFaults, ShellbedError
from builder.served import Shown

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

PROJECT = Path(__file__).resolve().parents[1]
WATCHED = (PROJECT / "content", PROJECT / "shared")
TICK = 0.2  # s between two looks at the files
KEPT = ("builder.catalogue", "builder.pages", "builder.website.look")  # modules that remember what they read
Stamp = tuple[int, int]


@dataclass
class Desk:
    """The jobs that are served, as they stand: by their name in addresses."""

    names: Sequence[str]
    folder: Path
    room: Path
    say: Callable[[str], None]
    shown: dict[str, Shown]
    files: dict[str, Path]

    def look(self) -> bool:
        """List the specs anew; return whether one has come or gone."""
        files: dict[str, Path] = {}
        for name in batch.expanded(self.names, self.folder):
            path = Path(name)
            slug, number = path.stem, 2
            while slug in files:
                slug, number = f"{path.stem}-{number}", number + 1
            files[slug] = path
        if files == self.files:
            return False
        self.files = files
        new = {slug: Shown(slug, path.name, _line(path)) for slug, path in files.items()}
        self.shown = {slug: self.shown.get(slug, one) for slug, one in new.items()}
        return True

    def build(self, slug: str) -> None:
        """Build one job; where that fails, keep its last guide and say the faults."""
        from builder import making

        before, path = self.shown[slug], self.files[slug]
        version = before.version + 1
        begun = time.perf_counter()
        try:
            worked = making.results(path, tasks.catalogue())
            index = making.guide(worked, self.room / slug / str(version))
        except ShellbedError as wrong:
            faults = tuple(map(str, wrong.faults if isinstance(wrong, InputFaults) else (wrong,)))
            self.shown[slug] = replace(before, faults=faults, version=version)
            for fault in faults:
                tasks.warn(fault)
            return
        spec = worked.job.spec
        line = f"{spec.ref} {spec.title}"
        self.shown[slug] = replace(before, line=line, root=str(index.parent), faults=(), version=version)
        self.say(f"{path}: {spec.ref} built in {time.perf_counter() - begun:.2f} s")
        for old in (self.room / slug).iterdir():
            if old.name not in (str(version), Path(before.root or "").name):
                shutil.rmtree(old, ignore_errors=True)


def serve(names: Sequence[str], folder: Path, port: int, say: Callable[[str], None]) -> int:
    """Serve jobs until Ctrl-C; return the exit code.

    names: spec files, names in `folder`, or folders of specs. port: 0 takes any that is free.
    """
    from builder.website.look import stylesheet

    forks = "fork" in multiprocessing.get_all_start_methods()
    context = multiprocessing.get_context("fork" if forks else None)
    ours, theirs = context.Pipe()
    server = context.Process(target=_served, args=(ours, theirs, port, stylesheet()), daemon=True)
    server.start()
    theirs.close()
    found = ours.recv()
    if isinstance(found, str):
        tasks.warn(f"{served.HOST}:{port}: could not be opened: {found}. Name another port with --port.")
        return tasks.NOT_WRITTEN
    signal.signal(signal.SIGTERM, _end)
    try:
        with tempfile.TemporaryDirectory(prefix="shellbed-") as room:
            desk = Desk(names, folder, Path(room), say, {}, {})
            desk.look()
            say(f"http://{served.HOST}:{found}/: open it in a browser; Ctrl-C ends")
            say("Changed Python code needs a restart")
            _watch(desk, ours)
    except (KeyboardInterrupt, EOFError):
        say("Ended")
    finally:
        ours.close()
        server.join(2.0)
        server.terminate()
    return tasks.FINE


def _served(ours: Connection, theirs: Connection, port: int, style: str) -> None:
    ours.close()  # else this process would hold the pipe open itself
    served.run(theirs, port, style)


def _end(*_signal: object) -> None:
    raise KeyboardInterrupt


def _watch(desk: Desk, pipe: Connection) -> None:
    """Build what is opened and what was saved, and tell the server, for ever."""
    stamps = stamps_of(desk.files.values())
    pipe.send(list(desk.shown.values()))
    if len(desk.files) == 1:
        desk.build(next(iter(desk.files)))
        pipe.send(list(desk.shown.values()))
        _stay_warm()
    while True:
        opened: list[str] = []
        if pipe.poll(TICK):
            opened = [slug for slug in [pipe.recv()] if slug in desk.files and not desk.shown[slug].version]
        now = stamps_of(desk.files.values())
        saved = {path for path in {*now, *stamps} if now.get(path) != stamps.get(path)}
        stamps = now
        listed = desk.look()
        if saved - set(desk.files.values()):
            forget()
            again = list(desk.files)
        else:
            again = [slug for slug, path in desk.files.items() if path in saved]
        todo = [*opened, *(slug for slug in again if desk.shown[slug].version and slug not in opened)]
        for slug in todo:
            desk.build(slug)
            pipe.send(list(desk.shown.values()))
        if todo:
            _stay_warm()
        elif listed:
            pipe.send(list(desk.shown.values()))


def stamps_of(specs: Iterable[Path]) -> Mapping[Path, Stamp]:
    """Return when each file that a guide is made from was last written, and its size.

    What editors leave beside a file while it is open (.name.swp, name~) counts for nothing.
    """
    stamps: dict[Path, Stamp] = {}
    for path in (*specs, *(path for folder in WATCHED for path in folder.rglob("[!.]*[!~]"))):
        with suppress(OSError):  # gone between two looks, or between an editor's two steps
            status = path.stat()
            if not path.is_dir():
                stamps[path] = (status.st_mtime_ns, status.st_size)
    return stamps


def forget() -> None:
    """Forget what was read of content and shared, so that it is read anew."""
    tasks.catalogue.cache_clear()
    for name, module in list(sys.modules.items()):
        if name.startswith(KEPT):
            for value in list(vars(module).values()):
                if callable(clear := getattr(value, "cache_clear", None)):
                    clear()
    if (engine := sys.modules.get("builder.website.engine")) is not None:
        engine.forget_templates()


def _stay_warm() -> None:
    """Load what draws, so that the next build's drawing process has it from its start.

    What is loaded by then stays, and is looked through for waste no more.
    """
    from builder.figures import draw, true_size  # noqa: F401

    if not gc.get_freeze_count():
        gc.collect()
        gc.freeze()


def _line(path: Path) -> str:
    """Return a job's reference and title; nothing where its spec cannot be taken apart."""
    try:
        told = yamlfile.read(path).entries
    except InputFaults:
        return ""
    texts = (told.get(key) for key in ("ref", "title"))
    return " ".join(text.text for text in texts if isinstance(text, yamlfile.Text))
