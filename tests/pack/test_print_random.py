"""The crew sheets of random valid jobs: one side of one sheet each, with every number of the page."""

import io
from collections.abc import Iterator
from pathlib import Path

import markdown
import pypdf
import pytest

from builder.catalogue import load
from builder.errors import InputFaults
from builder.pack import crew, paper
from builder.pack.crew import crew_pdf
from builder.pack.print import head
from builder.pages import Guide, render
from builder.website.finish import prepared
from tests import random_jobs

SEED, JOBS, LOT = 41, 50, 10
HOLDS = [[f"Hold point number {number} of this job"] for number in range(1, 17)]
ADDRESS = "https://guides.example/7abcdefghijklmnopqrstuvwxy/A/site/index.html"


def crew_page(guide: Guide, folder: Path) -> Path:
    """Write the crew page of a guide as the site has it, without building the other pages."""
    page = next(page for page in guide.pages if page.path == crew.PAGE)
    body = markdown.markdown(
        prepared(page.markdown)[0], extensions=["admonition", "attr_list", "md_in_html", "tables", "toc"]
    )
    built = folder / "lists" / "crew.html"
    built.parent.mkdir(exist_ok=True)
    built.write_text(f'{paper.BEGIN}{body}{paper.END} no-print">', encoding="utf-8")
    return folder


def sheets(first: int, folder: Path) -> Iterator[tuple[int, Path, bytes]]:
    catalogue = load()
    for number in range(first, first + LOT):
        _, worked, _ = random_jobs.valid(SEED, number, catalogue)
        guide = render(worked)
        site = crew_page(guide, folder)
        yield number, site, crew_pdf(head(worked, guide, ADDRESS), HOLDS, {}, site)


@pytest.mark.parametrize("first", range(0, JOBS, LOT))
def test_a_random_jobs_crew_sheet_is_one_page_with_every_number_of_the_crew_page(
    first: int, tmp_path: Path
) -> None:
    for number, site, made in sheets(first, tmp_path):
        reader = pypdf.PdfReader(io.BytesIO(made))
        assert len(reader.pages) == 1, number
        said = "".join(reader.pages[0].extract_text().split())
        page = paper.page_of(site, "lists/crew.html")
        cells = ["".join(str(cell.text_content()).split()) for cell in page.iter("td", "dd")]
        assert [cell for cell in cells if cell not in said] == [], number


def test_a_crew_sheet_that_does_not_fit_is_a_fault_and_not_a_second_page(tmp_path: Path) -> None:
    _, worked, _ = random_jobs.valid(SEED, 0, load())
    guide = render(worked)
    with pytest.raises(InputFaults, match=r"the crew sheet does not fit one side of \w+ in 7 pt"):
        crew_pdf(head(worked, guide, ADDRESS), HOLDS * 12, {}, crew_page(guide, tmp_path))
