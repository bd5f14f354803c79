from pathlib import Path

import pytest

from builder import making
from builder.website import sound
from builder.website.sound import faults_in


def folder(tmp_path: Path, **pages: str) -> Path:
    for name, body in pages.items():
        path = tmp_path / name.replace("__", "/").replace("_", ".")
        path.parent.mkdir(exist_ok=True)
        path.write_text(body if path.suffix != ".html" else f"<!doctype html>\n<body>\n{body}\n</body>")
    return tmp_path


GOOD = '<h1 id="top">T</h1><a href="steps/a.html#here">a</a><a href="#top">up</a><a href="tel:000">call</a>'
THERE = '<p id="here">x</p><a href="../index.html">b</a><img src="data:image/png;base64,AA" alt="">'


def test_a_sound_folder_has_no_faults(tmp_path: Path) -> None:
    assert faults_in(folder(tmp_path, index_html=GOOD, steps__a_html=THERE)) == []


@pytest.mark.parametrize(
    ("body", "wrong"),
    [
        ('<a href="gone.html">x</a>', "'gone.html' leads to a file"),
        ('<a href="../outside.html">x</a>', "'../outside.html' leads to a file"),
        ('<a href="/index.html">x</a>', "'/index.html' leads to a file"),
        ('<img src="gone.png">', "'gone.png' leads to a file"),
        ('<a href="#nowhere">x</a>', "'#nowhere' leads to a place"),
        ('<a href="steps/a.html#gone">x</a>', "'steps/a.html#gone' leads to a place"),
        ('<i id="a"></i><b id="a"></b>', "the id 'a' stands 2 times on this page"),
        ('<label for="gone">x</label>', "for points at 'gone', and nothing here"),
        ('<svg aria-describedby="gone"></svg>', "aria-describedby points at 'gone', and nothing here"),
        ('<a href="https://a.org">x</a>', "'https://a.org' leads outside the guide"),
        ('<script src="//a.org/x.js"></script>', "'//a.org/x.js' leads outside the guide"),
        ('<a href="mailto:a@example.org">x</a>', "'mailto:a@example.org' leads outside the guide"),
        ('<a href="javascript:alert(1)">x</a>', "'javascript:alert(1)' leads outside the guide"),
        ('<img srcset="https://a.org/2.png 2x" alt="">', "'https://a.org/2.png' leads outside the guide"),
        ('<p style="background:url(https://a.org/p.png)"></p>', "'https://a.org/p.png' leads outside"),
        ("<style>@import 'https://a.org/s.css';</style>", "'https://a.org/s.css' leads outside"),
        ('<svg><image xlink:href="https://a.org/i.png"/></svg>', "'https://a.org/i.png' leads outside"),
        ('<meta http-equiv="refresh" content="0;url=https://a.org">', "'https://a.org' leads outside"),
    ],
)
def test_a_planted_fault_is_found_and_placed(tmp_path: Path, body: str, wrong: str) -> None:
    site = folder(tmp_path, index_html=GOOD + "\n" + body, steps__a_html=THERE)
    (fault,) = faults_in(site)
    assert fault.wrong.startswith(wrong)
    assert (fault.file, fault.line) == ("index.html", 4)


@pytest.mark.parametrize("rule", ["@import url('https://a.org/s.css')", "a{background:url(//a.org/b.png)}"])
def test_a_stylesheet_that_asks_outside_is_found(tmp_path: Path, rule: str) -> None:
    (fault,) = faults_in(folder(tmp_path, s_css=f"b{{}}\n{rule}"))
    assert (fault.file, fault.line) == ("s.css", 2)
    assert "leads outside the guide" in fault.wrong


def test_every_fault_of_every_page_is_told_at_once(tmp_path: Path) -> None:
    links = '<a href="x.html">x</a><a href="y.html">y</a>'
    site = folder(tmp_path, index_html=links, b_html='<a href="z.html">z</a>')
    assert len(faults_in(site)) == 3


def both_ways(page: bytes) -> list[tuple[object, ...]]:
    browsers = sound._Read()
    sound._read_as_browsers_do(page, browsers)
    return [
        (read.ids, sorted(to for _, to in read.links), sorted(what for _, *what in read.references))
        for read in (sound._read(page), browsers)
    ]


def test_a_guide_read_by_its_text_is_read_as_browsers_do(tmp_path: Path) -> None:
    job = Path(__file__).parents[2] / "jobs" / "sagebrush-court.yml"
    site = making.guide(making.results(job), tmp_path / "guide").parent
    pages = [path.read_bytes() for path in site.rglob("*.html")]
    links = 0
    for page in pages:
        ours, browsers = both_ways(page)
        assert ours == browsers
        links += len(ours[1])
    assert links > 1000


@pytest.mark.parametrize(
    "body",
    [
        "<a href='https://a.org'>single quotes</a>",
        "<a href=https://a.org>none</a>",
        '<A HREF = "https://a.org">blanks</A>',
        '<p title="1 > 0" style="background:URL(https://a.org/x.png)">x</p>',
        '<p style="background:url( &quot;https://a.org/x.png&quot; )">x</p>',
        '<p>1 < 2 <a href="https://a.org">x</a>',
        '<meta http-equiv="refresh" content="0; url=https://a.org">',
        "<style>@import 'https://a.org/x.css';</style>",
        '<a title="x"href="https://a.org">no blank between</a>',
    ],
)
def test_what_is_written_otherwise_than_ours_hides_no_address(tmp_path: Path, body: str) -> None:
    (fault,) = faults_in(folder(tmp_path, index_html=body))
    assert "https://a.org" in fault.wrong
