"""A small invented guide and two drawings for it; the website reads nothing else of them."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from builder.pages.guide import Guide, Page


@dataclass(frozen=True)
class Drawing:
    """What the website reads of a drawn figure."""

    name: str
    title: str = "Long section"
    caption: str = "Cut along the middle, looking from the pump's side."
    long_description: tuple[str, ...] = ("The floor falls to the right.", "Water stands 120 mm < the rim.")
    svg: str = field(default="")

    def __post_init__(self) -> None:
        picture = (
            f'<svg class="fig" viewBox="0 0 288 90" role="img" aria-labelledby="{self.name}-title">'
            f'<title id="{self.name}-title">{self.name}</title><rect width="9" height="9" fill="#123456"/>'
            '<text x="9" y="20">zebrawood</text></svg>'
        )
        object.__setattr__(self, "svg", self.svg or picture)


HOME = """# Your job at a glance

One shell in one piece of ground.
{.lead}

<div class="ways" markdown>

- [**The tube**<br>cut and slot it](steps/tube.md#do){.watch}

</div>
"""

TUBE = """# Cut the tube

!!! danger "**DANGER** An empty shell can float"
    Water under it lifts it. Never stand under it.

<div data-figure="long-section"></div>

## Do {#do}

<div class="actions" markdown>

1. **Mark** the tube at <b class="n">1.905 m</b>. See [the start](../index.md).

</div>

<div data-figure="plan"></div>
"""


def guide_of(**changed: str) -> Guide:
    """Return the invented guide; home and tube replace the Markdown of its two pages."""
    home, tube = changed.pop("home", HOME), changed.pop("tube", TUBE)
    given = {
        "ref": "QR-0412", "title": "Quandong Rise", "issue": "A", "issued": "25 November 2026",
        "region": "New South Wales", "audience": "owner-builder",
    } | changed  # fmt: skip
    pages = (
        Page("index.md", "Your job at a glance", home, ()),
        Page("steps/tube.md", "Cut the tube", tube, ("long-section", "plan")),
    )
    nav = (("Your job at a glance", "index.md"), ("Steps", (("Cut the tube", "steps/tube.md"),)))
    return Guide(**given, pages=pages, nav=nav)  # type: ignore[arg-type]


def files_of(site: Path) -> dict[str, bytes]:
    """Return every file of a folder by its name in it."""
    return {
        path.relative_to(site).as_posix(): path.read_bytes() for path in site.rglob("*") if path.is_file()
    }
