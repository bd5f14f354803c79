"""A zip with the same bytes on every day and machine: sorted names, one date, fixed rights and level."""

from __future__ import annotations

import datetime
import io
import zipfile
from collections.abc import Mapping

LEVEL = 9
RIGHTS = 0o100644  # a plain file that everybody may read
UNIX = 3


def zipped(files: Mapping[str, bytes], folder: str, day: datetime.date) -> bytes:
    """Return the zip of `files`, by name, under one folder; every entry bears the day's first moment."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as out:
        for name in sorted(files):
            entry = zipfile.ZipInfo(f"{folder}/{name}", (day.year, day.month, day.day, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = UNIX
            entry.external_attr = RIGHTS << 16
            out.writestr(entry, files[name], zipfile.ZIP_DEFLATED, LEVEL)
    return target.getvalue()
