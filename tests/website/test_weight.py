"""What a guide weighs, counted on the heaviest demo job: bytes are the same on every machine."""

from pathlib import Path

import pytest

from builder import making
from tests.bench import weights
from tests.pages.reading import JOBS

HEAVIEST = JOBS / "sagebrush-court.yml"


@pytest.fixture(scope="module")
def guide(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return making.guide(making.results(HEAVIEST), tmp_path_factory.mktemp("guide")).parent


def test_the_first_load_of_the_heaviest_page_the_site_and_its_files_keep_to_their_limits(guide: Path) -> None:
    (_, most_first, _, first), (_, most_site, _, site), (_, most_files, _, files) = weights(guide)
    assert (most_first, most_site, most_files) == (120, 1500, 40)  # the design's limits
    assert first <= most_first
    assert site <= most_site
    assert files <= most_files


def test_a_page_loads_one_stylesheet_and_one_script_and_nothing_else(guide: Path) -> None:
    assert sorted(path.name for path in (guide / "assets").iterdir()) == ["guide.css", "guide.js", "words.js"]
    for page in guide.rglob("*.html"):
        text = page.read_text(encoding="utf-8")
        assert text.count('<link rel="stylesheet"') == 1
        assert text.count("<script src=") == 1
        assert "words.js" not in text, "fetched when someone first searches"


def test_the_typeface_with_both_weights_is_within_35_kilobytes() -> None:
    from builder.website.look import THEME

    font = (THEME / "font" / "overpass.woff2").read_bytes()
    assert font[:4] == b"wOF2"
    assert len(font) <= 35_000
    assert "SIL OPEN FONT LICENSE Version 1.1" in (THEME / "font" / "OFL.txt").read_text(encoding="utf-8")


def test_every_sign_of_the_typeface_has_a_width_of_its_own() -> None:
    pytest.importorskip("brotli", reason="the typeface is packed with it: pip install shellbed[font]")
    from fontTools.ttLib import TTFont

    from builder.website.look import THEME

    font = TTFont(THEME / "font" / "overpass.woff2")
    accents = font["GDEF"].table.GlyphClassDef.classDefs  # class 3, a mark, is drawn without a width
    for code, name in font.getBestCmap().items():
        assert font["hmtx"][name][0] > 0, hex(code)
        assert accents.get(name) != 3, hex(code)


def test_water_is_rising_is_one_tap_from_every_page(guide: Path) -> None:
    for page in guide.rglob("*.html"):
        up = "../" * (len(page.relative_to(guide).parts) - 1)
        place = "rises.html" if page.parent.name == "water" else f"{up}water/rises.html"
        assert page.read_text(encoding="utf-8").count(f'<a class="rising" href="{place}">') == 1


def test_where_a_number_comes_from_is_one_tap_from_the_page(guide: Path) -> None:
    working = (guide / "working.html").read_text(encoding="utf-8")
    for page in sorted((guide / "steps").glob("*.html")):
        last = page.read_text(encoding="utf-8").split('id="from"')[1]
        linked = {part.split('"')[0] for part in last.split('href="../working.html#')[1:]}
        assert linked, page.name
        assert all(f'<details class="number" id="{name}">' in working for name in linked)
