"""The guide as one HTML file: everything of the site is in it, and nothing outside is asked for."""

import base64
import hashlib
import re
from collections import Counter
from pathlib import Path

import pytest
from lxml import html

from builder import website
from builder.figures import NAMES, draw, papers_of, path_of
from builder.pack.one_file import one_file
from builder.pages import Guide
from builder.website.sound import faults_in
from tests.pages.reading import JOBS, changed, guide_of, results_of

DEMO = sorted(JOBS.glob("*.yml"))
LINE = "the line of the job"
TITLE = r"<b>A & B</b> {{ x }} #pagebreak() *c* $d$ \u{41} [e](f)"
NOTES = '</section><script>alert(1)</script> "id="_main" href=\'x\''


def build(spec: Path, folder: Path) -> tuple[Guide, Path, Path]:
    """Return the guide of a spec, its site, and a folder with nothing but its one file."""
    worked, guide = results_of(spec), guide_of(spec)
    drawn = {name: draw(name, worked.levels, worked) for name in NAMES}
    papers = {path_of(name): b"" for name in papers_of(worked.job.region.units)}
    site = website.build(guide, drawn, folder / "site", lambda: papers).parent
    alone = folder / "alone"
    alone.mkdir()
    (alone / "guide.html").write_bytes(one_file(guide, site, LINE))
    return guide, site, alone


@pytest.fixture(scope="module", params=DEMO, ids=[path.stem for path in DEMO])
def built(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Guide, Path, Path]:
    return build(request.param, tmp_path_factory.mktemp("one"))


def text_of(alone: Path) -> str:
    return (alone / "guide.html").read_text(encoding="utf-8")


def test_every_link_leads_to_a_place_in_the_file_and_every_id_stands_once(
    built: tuple[Guide, Path, Path],
) -> None:
    assert faults_in(built[2]) == []
    assert set(re.findall(r'href="(.)', text_of(built[2]))) == {"#", "d"}, "d: the icon, as data"


def test_the_words_of_every_page_are_in_the_file_in_their_order(built: tuple[Guide, Path, Path]) -> None:
    guide, site, alone = built
    sections = {
        section.get("id"): section for section in html.parse(str(alone / "guide.html")).iter("section")
    }
    for page in guide.pages:
        address = page.path.removesuffix(".md")
        there = html.parse(str(site / f"{address}.html")).find(".//main")
        here = sections[address.replace("/", "-")]
        for element in [*there.iter("figure", "nav"), *here.iter("figure", "nav")]:
            element.drop_tree()
        for gone in [*there.find_class("where"), *there.find_class("words"), *there.find_class("headerlink")]:
            gone.drop_tree()
        for kept in [*here.find_class("where"), *here.find_class("onward")]:
            kept.drop_tree()
        wanted = " ".join(there.text_content().split())
        said = " ".join(re.sub(r"The drawing: [^\n]*\n", "\n", here.text_content()).split())
        assert said == wanted, page.path


def test_each_drawing_stands_once(built: tuple[Guide, Path, Path]) -> None:
    guide, _, alone = built
    names = re.findall(r'<figure class="drawing" id="[a-z-]+--fig-([^"]*)"', text_of(alone))
    assert Counter(names) == Counter({name for page in guide.pages for name in page.figures})


def test_the_policy_lets_through_the_files_own_style_and_script_and_nothing_else(
    built: tuple[Guide, Path, Path],
) -> None:
    text = text_of(built[2])
    (style,) = re.findall(r"<style>(.*?)</style>", text, re.S)
    (script,) = re.findall(r"<script>(.*?)</script>", text, re.S)
    others = re.findall(r"<script(?! type=\"application/json\")[^>]+>", text)
    assert others == []

    def digest(part: str) -> str:
        return base64.b64encode(hashlib.sha256(part.encode()).digest()).decode()

    policy = text.split('http-equiv="Content-Security-Policy" content="')[1].split('"')[0]
    assert [part.strip() for part in policy.split(";")] == [
        "default-src 'none'",
        "base-uri 'none'",
        "form-action 'none'",
        "img-src data:",
        "font-src data:",
        f"style-src 'sha256-{digest(style)}'",
        f"script-src 'sha256-{digest(script)}'",
    ]
    assert text.index("<meta charset") < text.index("Content-Security-Policy") < text.index("<style>")
    body = text[text.index("<body>") :]
    assert not re.findall(r"<[a-z][^>]*\s(?:style|on[a-z]+)=", body), "the policy would drop it"
    assert '<meta name="robots" content="noindex">' in text
    assert '<meta name="referrer" content="no-referrer">' in text


def test_the_look_up_has_its_data_its_form_and_its_table(built: tuple[Guide, Path, Path]) -> None:
    _, site, alone = built
    data = re.compile(r'<script type="application/json" id="dip-data">.*?</script>', re.S)
    text = text_of(alone)
    assert data.findall(text) == data.findall((site / "water" / "read.html").read_text(encoding="utf-8"))
    if data.search(text):
        tree = html.parse(str(alone / "guide.html"))
        assert len(tree.xpath("//*[@id='dip-form']|//*[@id='dip-answer']")) == 2
        rows = tree.xpath("(//*[@id='table']/following-sibling::div[@class='wide'])[1]//tbody/tr")
        assert len(rows) > 5, "the script marks the row it took; without it the table is read"
    script = text.split("<script>")[1].split("</script>")[0]
    assert "const shellbedDip" in script


def test_water_is_rising_and_the_contents_are_one_tap_away(built: tuple[Guide, Path, Path]) -> None:
    guide, _, alone = built
    tree = html.parse(str(alone / "guide.html"))
    assert tree.xpath("string(//a[@class='rising']/@href)") == "#water-rises"
    listed = {link.lstrip("#") for link in tree.xpath("//nav[@id='_contents']//a/@href")}
    assert listed == {page.path.removesuffix(".md").replace("/", "-") for page in guide.pages}


def test_what_a_spec_says_stands_in_the_file_as_the_signs_that_were_typed(tmp_path: Path) -> None:
    title = TITLE.replace("\\", "\\\\").replace('"', '\\"')
    spec = changed(
        tmp_path,
        "hostile",
        ("title: Quandong Rise", f'title: "{title}"'),
        ("  Side gate is 1.1 m wide.", f"  {NOTES}"),
    )
    _, _, alone = build(spec, tmp_path)
    tree = html.parse(str(alone / "guide.html"))
    assert TITLE in tree.xpath("string(//header//b)")
    assert NOTES in tree.xpath("string(//*[@id='index'])")
    assert len(tree.xpath("//script")) == 2
    assert faults_in(alone) == []
