"""A stand-in for the printing, for tests not about paper; as a program, the command line itself."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path
from types import ModuleType
from typing import Any

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))


def documents(
    worked: Any, guide: Any, drawn: Any, papers: Mapping[str, bytes], site: Path, address: str | None
) -> Mapping[str, bytes]:
    """Return a document that names the job, and the sheets that are true to size."""
    said = f"{guide.ref} {guide.issue} {address} {len(drawn)} {sorted(path.name for path in site.iterdir())}"
    return {"guide.pdf": said.encode(), **{Path(name).name: content for name, content in papers.items()}}


def module() -> ModuleType:
    """Return the stand-in as a module."""
    made = ModuleType("builder.pack.print")
    made.__dict__["documents"] = documents
    return made


if __name__ == "__main__":
    from builder.cli import main

    main()
