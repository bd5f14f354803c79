"""Writing beside and renaming, so that a crash or a full disk leaves what stood before whole."""

from __future__ import annotations

import os
import secrets
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from builder.errors import CannotWrite

MARK = '<meta name="generator" content="Shellbed">'


@contextmanager
def folder_beside(out: Path) -> Iterator[Path]:
    """Give an empty folder on the same disk as `out`; it is gone afterwards, whatever happened.

    Raises CannotWrite where `out` is there and is not a guide that may be replaced.
    """
    _recover(out)
    _refuse_a_stranger(out)
    out.parent.mkdir(parents=True, exist_ok=True)
    work = out.with_name(f".{out.name}.{secrets.token_hex(8)}")
    try:
        work.mkdir(mode=0o700)  # in here, so that an interruption at this very moment leaves nothing
        yield work
    finally:
        shutil.rmtree(work, ignore_errors=True)


def put(new: Path, out: Path) -> None:
    """Make the complete folder `new` stand at `out`; the older one there is removed afterwards.

    Between two renames the older folder has another name for a moment; should the machine stop
    just there, the next build gives it its name back.
    """
    old = _aside(out)
    if out.exists():
        try:
            os.rename(out, old)
            os.rename(new, out)
        except BaseException:  # an interruption too
            if not out.exists():
                os.rename(old, out)
            raise
        shutil.rmtree(old, ignore_errors=True)
    else:
        os.rename(new, out)


def _aside(out: Path) -> Path:
    return out.with_name(f".{out.name}.before")


def _recover(out: Path) -> None:
    old = _aside(out)
    if not old.exists():
        return
    if out.exists():
        shutil.rmtree(old)
    else:
        os.rename(old, out)


def _refuse_a_stranger(out: Path) -> None:
    if out.is_symlink() or (out.exists() and not out.is_dir()):
        raise CannotWrite(out, "something that is not a folder has this name")
    if not out.is_dir() or not any(out.iterdir()):
        return
    index = out / "index.html"
    if not index.is_file() or MARK not in index.read_text(encoding="utf-8", errors="replace")[:2000]:
        raise CannotWrite(out, "the folder holds something other than a guide, and is left alone")
