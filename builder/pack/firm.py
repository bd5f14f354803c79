"""Making things stand on disk for good: one pack at a time, leftovers cleared, written through, renamed."""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

try:
    import fcntl
except ImportError:  # a system without it: renaming alone keeps what stands whole
    fcntl = None  # type: ignore[assignment]

WORK = "new"  # work folders are .new.xxxxxxxx
_LEFT = re.compile(r"\.(?:new|index\.html)\..+")
FOLDER_RIGHTS, FILE_RIGHTS = 0o755, 0o644  # a web server must be able to read what goes out


@contextmanager
def held(folder: Path, waiting: Callable[[], None]) -> Iterator[bool]:
    """Make `folder` and hold it, so that one pack at a time works in it; gone again if left empty.

    Calls `waiting` where another has it, then waits. Yields whether it is held: some systems and
    network disks lock no folder.
    """
    fd = None
    while fd is None:
        folder.mkdir(parents=True, exist_ok=True)
        if fcntl is None:
            break
        fd = os.open(folder, os.O_RDONLY)
        try:
            _lock(fd, waiting)
            if not os.path.samestat(os.fstat(fd), os.stat(folder)):
                raise FileNotFoundError(folder)
        except FileNotFoundError:  # whoever had it left it empty, and took it away
            os.close(fd)
            fd = None
        except OSError:
            os.close(fd)
            fd = None
            break
    try:
        yield fd is not None
    finally:
        with suppress(OSError):
            folder.rmdir()
        if fd is not None:
            os.close(fd)


def _lock(fd: int, waiting: Callable[[], None]) -> None:
    try:
        fcntl.flock(fd, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        waiting()
        fcntl.flock(fd, fcntl.LOCK_EX)


def clear_leftovers(folder: Path) -> int:
    """Remove what a run that broke off left in a folder that is held; return how many things."""
    left = [path for path in folder.iterdir() if _LEFT.fullmatch(path.name)]
    for path in left:
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        else:
            path.unlink()
    return len(left)


def write_all(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files by name into a folder that is there."""
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)


def settle(new: Path, place: Path) -> None:
    """Make the complete folder `new` stand at `place`, written through to the disk; nothing may stand there.

    Raises OSError where something does.
    """
    for path in (new, *new.rglob("*")):
        os.chmod(path, FOLDER_RIGHTS if path.is_dir() else FILE_RIGHTS)
        flush(path)
    os.rename(new, place)
    flush(place.parent)


def replace_file(path: Path, content: bytes) -> None:
    """Replace a file in one step; the old one stands until the new one is on the disk."""
    fd, beside = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(fd, "wb") as file:
            file.write(content)
        os.chmod(beside, FILE_RIGHTS)
        flush(Path(beside))
        os.replace(beside, path)
    except BaseException:  # an interruption too
        with suppress(OSError):
            os.unlink(beside)
        raise
    flush(path.parent)


def flush(path: Path) -> None:
    """Have the system write a file or folder through to the disk, where it can."""
    try:
        fd = os.open(path, os.O_RDONLY)
    except PermissionError:  # some systems open no folder
        return
    try:
        os.fsync(fd)
    finally:
        os.close(fd)
