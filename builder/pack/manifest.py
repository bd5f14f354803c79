"""The list of an issue's files with their sums, and holding a folder against it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from builder import __version__
from builder.job import Spec
from builder.pack.order import MANIFEST


def manifest(spec: Spec, files: Mapping[str, bytes]) -> bytes:
    """Return the manifest of a job's issue: which job, and each file's sum and size by its name."""
    return as_json(
        {
            "ref": spec.ref,
            "issue": spec.issue,
            "issued": spec.issued.isoformat() if spec.issued else None,
            "version": __version__,
            "files": {
                name: {"sha256": hashlib.sha256(files[name]).hexdigest(), "size": len(files[name])}
                for name in sorted(files)
            },
        }
    )


def as_json(found: object) -> bytes:
    """Return JSON as this room writes it."""
    return (json.dumps(found, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode()


def read(folder: Path) -> dict[str, Any] | None:
    """Return a folder's manifest; None where there is none that can be read."""
    try:
        found = json.loads((folder / MANIFEST).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    sound = isinstance(found, dict) and isinstance(found.get("files"), dict)
    return found if sound else None


def damage(folder: Path) -> Iterator[str]:
    """Yield what is wrong with a folder, held against its own manifest; nothing where it is whole."""
    listed = read(folder)
    if listed is None:
        yield f"{MANIFEST} is missing or can't be read"
        return
    there = contents(folder)
    for name, entry in listed["files"].items():
        content = there.pop(name, None)
        if content is None:
            yield f"{name} is missing"
        elif hashlib.sha256(content).hexdigest() != entry["sha256"]:
            yield f"{name} is not as it was packed"
    for name in there:
        if name != MANIFEST:
            yield f"{name} does not belong there"


def differing(old: Mapping[str, Any], new: bytes) -> list[str]:
    """Return the names of the files that are other, new or gone between two manifests."""
    before, now = old["files"], json.loads(new)["files"]
    return sorted(name for name in {*before, *now} if before.get(name) != now.get(name))


def contents(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder by its name in it, in order."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }
