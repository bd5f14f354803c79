"""What is printed of each demo job, read back from the files."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple

import pypdf
import pypdfium2
import pytest
import zxingcpp

from builder import website
from builder.checks import Results
from builder.figures import NAMES, Drawn, draw, papers_of, path_of, true_size
from builder.pack.paper import page_of
from builder.pack.print import documents
from builder.pages import Guide
from tests.pages.reading import JOBS, guide_of, results_of

ADDRESS = "https://guides.example/7abcdefghijklmnopqrstuvwxy/A/site/index.html"
DEMO = sorted(JOBS.glob("*.yml"))
MM = 72 / 25.4


class Printed(NamedTuple):
    worked: Results
    guide: Guide
    drawn: Mapping[str, Drawn]
    site: Path
    made: Mapping[str, bytes]

    def again(self, address: str | None = ADDRESS) -> Mapping[str, bytes]:
        return documents(self.worked, self.guide, self.drawn, {}, self.site, address)


@pytest.fixture(scope="module", params=DEMO, ids=[path.stem for path in DEMO])
def printed(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Printed:
    """Each demo job in turn, its site built and its documents made."""
    worked, guide = results_of(request.param), guide_of(request.param)
    drawn = {name: draw(name, worked.levels, worked) for name in NAMES}
    papers = {
        path_of(name): true_size(worked.levels, worked, name) for name in papers_of(worked.job.region.units)
    }
    site = website.build(guide, drawn, tmp_path_factory.mktemp("print") / "site", lambda: papers).parent
    return Printed(worked, guide, drawn, site, documents(worked, guide, drawn, papers, site, ADDRESS))


def read(made: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(made))


def text_of(reader: pypdf.PdfReader) -> str:
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def tagged(reader: pypdf.PdfReader, kind: str) -> Iterator[Any]:
    """Yield the elements of the structure tree of a kind."""
    waiting = [reader.root_object["/StructTreeRoot"]]
    while waiting:
        element = waiting.pop().get_object()
        if isinstance(element, pypdf.generic.ArrayObject):
            waiting += element
        elif isinstance(element, pypdf.generic.DictionaryObject):
            if element.get("/S") == kind:
                yield element
            waiting += [element["/K"]] if "/K" in element else []


def titles_in(outline: list[Any]) -> list[str]:
    out: list[str] = []
    for entry in outline:
        out += titles_in(entry) if isinstance(entry, list) else [str(entry.title)]
    return out


def test_the_files_are_the_guide_on_paper_the_crew_sheet_one_page_for_a_phone_and_the_true_size_sheets(
    printed: Printed,
) -> None:
    names = [f"true-size-{name}.pdf" for name in papers_of(printed.worked.job.region.units)]
    assert sorted(printed.made) == sorted(["guide.pdf", "crew.pdf", "guide.html", *names])


def test_a_document_is_the_same_bytes_every_time(printed: Printed) -> None:
    again = printed.again()
    assert all(again[name] == printed.made[name] for name in again)


def test_the_crew_sheet_is_one_page_of_the_regions_paper(printed: Printed) -> None:
    reader = read(printed.made["crew.pdf"])
    assert len(reader.pages) == 1
    box = reader.pages[0].mediabox
    # A4: ISO 216; Letter: 8 1/2 by 11 in
    sides = (215.9, 279.4) if papers_of(printed.worked.job.region.units)[0] == "letter" else (210.0, 297.0)
    assert (float(box.width) / MM, float(box.height) / MM) == pytest.approx(sides, abs=0.1)


@pytest.mark.parametrize("name", ["guide.pdf", "crew.pdf"])
def test_a_pdf_is_tagged_names_its_language_and_title_and_holds_its_fonts(
    printed: Printed, name: str
) -> None:
    reader = read(printed.made[name])
    root = reader.root_object
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert printed.guide.title in str(reader.metadata.title)
    assert not {"/CreationDate", "/ModDate"} & set(reader.metadata)
    fonts = [font for page in reader.pages for font in fonts_of(page["/Resources"])]
    assert fonts
    assert all(font["/FontDescriptor"].keys() & {"/FontFile2", "/FontFile3"} for font in fonts)
    assert all("Overpass" in font["/BaseFont"] for font in fonts)


def fonts_of(resources: Any) -> Iterator[Any]:
    """Yield the fonts of a page and of the drawings on it."""
    for font in resources.get("/Font", {}).values():
        yield from (below.get_object() for below in font.get_object()["/DescendantFonts"])
    for inner in resources.get("/XObject", {}).values():
        yield from fonts_of(inner.get_object().get("/Resources", {}))


def test_every_figure_says_in_words_what_it_shows(printed: Printed) -> None:
    reader = read(printed.made["guide.pdf"])
    alts = [str(element.get("/Alt", "")) for element in tagged(reader, "/Figure")]
    titles = {drawing.title for drawing in printed.drawn.values()}
    shown = [alt for alt in alts if any(alt.startswith(f"{title}. ") for title in titles)]
    assert len(shown) >= 12
    assert len(shown) + 1 == len(alts), "the others are one, the square code"
    assert [str(e["/Alt"]) for e in tagged(read(printed.made["crew.pdf"]), "/Figure")] == [
        f"Square code: opens {ADDRESS}"
    ]


def test_the_outline_leads_to_every_printed_page_and_first_to_what_to_do_when_the_water_rises(
    printed: Printed,
) -> None:
    reader = read(printed.made["guide.pdf"])
    titles = titles_in(reader.outline)
    assert titles[:3] == ["Contents", "Water is rising", "When the water rises"]
    left_out = {"questions", "working", "assumptions", "sources", "glossary", "lists/crew"}
    wanted = [page.title for page in printed.guide.pages if page.path.removesuffix(".md") not in left_out]
    assert len(wanted) > 20
    assert set(wanted) <= set(titles)


def test_each_page_bears_the_reference_the_issue_and_its_number_of_how_many(printed: Printed) -> None:
    reader = read(printed.made["guide.pdf"])
    count = len(reader.pages)
    for number, page in enumerate(reader.pages, 1):
        said = page.extract_text()
        assert f"page {number} of {count}" in said
        if number > 1:
            assert f"{printed.guide.ref} · issue {printed.guide.issue}" in " ".join(said.split())


def test_the_contents_give_the_page_on_which_each_title_stands(printed: Printed) -> None:
    reader = read(printed.made["guide.pdf"])
    pages = [" ".join(page.extract_text().split()) for page in reader.pages]
    found = 0
    for page in printed.guide.pages:
        for place in re.finditer(rf"{re.escape(page.title)} (?:\. ?)+ (\d+)", pages[1]):
            assert page.title in pages[int(place.group(1)) - 1]
            found += 1
    assert found > 20


def test_every_caution_of_a_printed_page_stands_whole_on_one_sheet(printed: Printed) -> None:
    sheets = ["".join(page.extract_text().split()) for page in read(printed.made["guide.pdf"]).pages]
    for address in ("water/rises.html", "steps/dig.html", "steps/set.html", "steps/lifts.html"):
        for word in ("danger", "warning", "caution", "notice"):
            for box in page_of(printed.site, address).find_class(word):
                words = "".join(str(box.text_content()).split())
                assert any(words in sheet for sheet in sheets), (address, words)


def test_the_numbers_of_the_crew_page_are_all_on_the_crew_sheet(printed: Printed) -> None:
    page = page_of(printed.site, "lists/crew.html")
    said = "".join(text_of(read(printed.made["crew.pdf"])).split())
    cells = ["".join(str(cell.text_content()).split()) for cell in page.iter("td", "dd", "dt")]
    assert len(cells) > 40
    assert [cell for cell in cells if cell not in said] == []


def test_the_square_codes_lead_to_the_address_that_stands_beside_them(printed: Printed) -> None:
    for name in ("guide.pdf", "crew.pdf"):
        reader = read(printed.made[name])
        first = reader.pages[0]
        assert ADDRESS in "".join(first.extract_text().split())
        assert codes_on(printed.made[name]) == [ADDRESS]
    assert (printed.site / "index.html").is_file()
    assert ADDRESS.endswith("/site/index.html"), "the folder the site stands in, and its first page"


def codes_on(made: bytes) -> list[str]:
    """Return what the square codes on the first page say, drawn at 110 dots an inch."""
    page = pypdfium2.PdfDocument(made)[0]
    picture = page.render(scale=110 / 72).to_numpy()
    return [code.text for code in zxingcpp.read_barcodes(picture)]


def test_without_an_address_the_paper_form_bears_no_code_and_says_so(printed: Printed) -> None:
    made = printed.again(None)
    cover = " ".join(read(made["guide.pdf"]).pages[0].extract_text().split())
    assert "This is the paper form" in cover
    assert not [e for e in tagged(read(made["guide.pdf"]), "/Figure") if "code" in str(e["/Alt"])]
    assert not list(tagged(read(made["crew.pdf"]), "/Figure"))
    assert "https" not in text_of(read(made["crew.pdf"]))
