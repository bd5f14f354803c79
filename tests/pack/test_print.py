"""What is printed of each demo job, read back from the files."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

import pypdf
import pypdfium2
import pytest
import zxingcpp

from builder import website
from builder.checks import Results
from builder.figures import NAMES, Drawn, draw, papers_of, path_of, true_size
from builder.pack import typeset
from builder.pack.paper import page_of
from builder.pack.print import documents
from builder.pages import Guide
from tests.pages.reading import JOBS, changed, guide_of, results_of

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
    return made_of(request.param, tmp_path_factory.mktemp("print"))


def made_of(spec: Path, folder: Path) -> Printed:
    worked, guide = results_of(spec), guide_of(spec)
    drawn = {name: draw(name, worked.levels, worked) for name in NAMES}
    papers = {
        path_of(name): true_size(worked.levels, worked, name) for name in papers_of(worked.job.region.units)
    }
    site = website.build(guide, drawn, folder / "site", lambda: papers).parent
    return Printed(worked, guide, drawn, site, documents(worked, guide, drawn, papers, site, ADDRESS))


@lru_cache(maxsize=8)
def read(made: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(made))


@lru_cache(maxsize=8)
def texts_of(made: bytes) -> tuple[str, ...]:
    """Return what a reader sees on each page, single blanks between words."""
    pages = (page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(made))
    return tuple(" ".join(page.split()) for page in pages)


def unspaced(text: str) -> str:
    return "".join(text.split())


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
    pages = texts_of(printed.made["guide.pdf"])
    for number, said in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in said
        assert number == 1 or f"{printed.guide.ref} · issue {printed.guide.issue}" in said


def test_the_contents_give_the_page_on_which_each_title_stands(printed: Printed) -> None:
    pages = texts_of(printed.made["guide.pdf"])
    found = 0
    for page in printed.guide.pages:
        for place in re.finditer(rf"{re.escape(page.title)} (?:\. ?)+ (\d+)", pages[1]):
            assert page.title in pages[int(place.group(1)) - 1]
            found += 1
    assert found > 20


def test_every_caution_of_a_printed_page_stands_whole_on_one_sheet(printed: Printed) -> None:
    sheets = [unspaced(page) for page in texts_of(printed.made["guide.pdf"])]
    for address in ("water/rises.html", "steps/dig.html", "steps/set.html", "steps/lifts.html"):
        for word in ("danger", "warning", "caution", "notice"):
            for box in page_of(printed.site, address).find_class(word):
                words = unspaced(str(box.text_content()))
                assert any(words in sheet for sheet in sheets), (address, words)


def test_the_numbers_of_the_crew_page_are_all_on_the_crew_sheet(printed: Printed) -> None:
    page = page_of(printed.site, "lists/crew.html")
    (said,) = (unspaced(page) for page in texts_of(printed.made["crew.pdf"]))
    cells = [unspaced(str(cell.text_content())) for cell in page.iter("td", "dd", "dt")]
    assert len(cells) > 40
    assert [cell for cell in cells if cell not in said] == []


def test_the_square_codes_lead_to_the_address_that_stands_beside_them(printed: Printed) -> None:
    for name in ("guide.pdf", "crew.pdf"):
        assert ADDRESS in unspaced(texts_of(printed.made[name])[0])
        assert codes_on(printed.made[name]) == [ADDRESS]
    assert (printed.site / "index.html").is_file()
    assert ADDRESS.endswith("/site/index.html"), "the folder the site stands in, and its first page"


def codes_on(made: bytes) -> list[str]:
    """Return what the square codes on the first page say, drawn at 110 dots an inch."""
    page = pypdfium2.PdfDocument(made)[0]
    picture = page.render(scale=110 / 72).to_numpy()
    return [code.text for code in zxingcpp.read_barcodes(picture)]


def test_what_a_spec_says_is_printed_as_the_signs_that_were_typed(tmp_path: Path) -> None:
    title, notes = r"#pagebreak() *b* $x$ <i> {{ 1 }} \u{41}", "= Heading #panic(1) @here [a](b) </p> `c` end"
    spec = changed(
        tmp_path,
        "hostile",
        ("title: Quandong Rise", f"title: '{title}'"),
        ("  Side gate is 1.1 m wide.", f"  {notes}"),
    )
    made = made_of(spec, tmp_path).made
    for name in ("guide.pdf", "crew.pdf"):
        assert unspaced(title) in unspaced(" ".join(texts_of(made[name])))
    (at,) = (at for at, page in enumerate(texts_of(made["guide.pdf"])) if "Note from the desk" in page)
    assert unspaced(notes) in unspaced(read(made["guide.pdf"]).pages[at].extract_text())


def test_a_word_without_end_neither_leaves_the_sheet_nor_covers_the_square_code(tmp_path: Path) -> None:
    spec = changed(
        tmp_path,
        "endless",
        ("title: Quandong Rise", f"title: {'W' * 80}"),
        ("  Side gate is 1.1 m wide.", f"  {'n' * 300}"),
    )
    made = made_of(spec, tmp_path).made
    for name in ("guide.pdf", "crew.pdf"):
        assert codes_on(made[name]) == [ADDRESS]
        for page in list(pypdfium2.PdfDocument(made[name]))[:6]:
            words = page.get_textpage()
            rights = [words.get_charbox(at)[2] for at in range(words.count_chars())]
            assert max(rights) < page.get_width() - 8 * MM


@pytest.mark.parametrize(
    "words",
    [
        "Ω ≈ ₂ Жук",
        "漢字",
        "نص हिन्दी ไทย",
        "😀 👨\u200d👩 1\ufe0f\u20e3",
        "z\u0302x\u0301 e\u0301",
        "\ue000\u00ad",
    ],
)
def test_no_sign_of_any_script_stops_the_printing(words: str) -> None:
    data = {"paper": "a4", "title": words, "ref": "R", "line": words, "facts": [], "address": None}
    page = [{"k": "h", "l": 1, "id": "", "to": "a#", "t": [words]}, {"k": "p", "c": "", "t": [words]}]
    made = typeset.pdf(
        "guide.typ", {**data, "code": "", "figures": {}, "groups": [{"title": words, "pages": [page]}]}
    )
    assert typeset.pages(made) == len(read(made).pages) == 3


def test_without_an_address_the_paper_form_bears_no_code_and_says_so(printed: Printed) -> None:
    made = printed.again(None)
    assert "This is the paper form" in texts_of(made["guide.pdf"])[0]
    assert not [e for e in tagged(read(made["guide.pdf"]), "/Figure") if "code" in str(e["/Alt"])]
    assert not list(tagged(read(made["crew.pdf"]), "/Figure"))
    assert "https" not in " ".join(texts_of(made["crew.pdf"]))
