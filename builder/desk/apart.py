"""Keeping the desk apart: its folder never stands in, or around, what is sent, what was, or the jobs."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from builder.errors import CannotWrite

LINK = re.compile(r"[a-z2-7]{26}")  # a folder of pack's, under a job's link
MARK = "data-desk"  # in the first page of every desk


def refuse(out: Path, apart: Mapping[str, Path]) -> None:
    """Raise CannotWrite where `out` lies in, around or on a folder that is not the desk's.

    apart: what each such folder holds, by words, and where it is; it need not be there yet. A folder that
    pack writes is known by the links in it too, wherever it stands.
    """
    place = out.resolve()
    for words, folder in apart.items():
        other = folder.resolve()
        if place == other or other in place.parents or place in other.parents:
            where = "on" if place == other else "inside" if other in place.parents else "around"
            raise CannotWrite(out, f"it would stand {where} {folder}, which holds {words}")
    for folder in (place, *place.parents):
        if _is_sent(folder):
            raise CannotWrite(out, f"it would stand inside {folder}, which holds what is sent")
    index = out / "index.html"
    if index.is_file() and MARK not in index.read_text(encoding="utf-8", errors="replace")[:2000]:
        raise CannotWrite(out, "the folder holds something other than a desk, and is left alone")


def _is_sent(folder: Path) -> bool:
    """Whether pack writes into the folder, or it is a job's own folder in there."""
    if LINK.fullmatch(folder.name):
        return True
    try:
        return any(LINK.fullmatch(path.name) and path.is_dir() for path in folder.iterdir())
    except OSError:
        return False
