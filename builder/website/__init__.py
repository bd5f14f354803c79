"""From complete Markdown and drawn figures to a site that opens from its folder.

Importing this room loads nothing heavy; mkdocs is loaded by the first build.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from builder.website.unchanged import remember, standing

if TYPE_CHECKING:
    from builder.figures import Drawn
    from builder.pages import Guide

__all__ = ["build", "remember", "standing"]


def build(
    guide: Guide, drawn: Mapping[str, Drawn], out: Path, papers: Callable[[], Mapping[str, bytes]] = dict
) -> Path:
    """Write the site of one job as the folder `out`; return its index.html.

    `drawn` is read only once the pages stand, so it may be a mapping that waits for figures another
    process is drawing; `papers` is called then too, for files to stand in the folder as they are, by
    their place in it. An older site at `out` stays as it is until the new one is complete. Raises
    InputFaults where a page is at fault (a broken link, an unknown figure, an outside address) and
    CannotWrite where the disk is, or where `out` holds something that is not a guide.
    """
    from builder.website.guide_site import write_site

    return write_site(guide, drawn, out, papers)
