from pathlib import Path

import pytest

from builder.errors import CannotWrite, InputFaults
from builder.website import build, engine, finish
from tests.website.invented import HOME, TUBE, Drawing, files_of, guide_of

Drawn = dict[str, Drawing]


def text_of(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def test_every_page_of_the_guide_becomes_a_file(site: Path) -> None:
    assert (site / "index.html").is_file()
    assert (site / "steps" / "tube.html").is_file()


def test_a_drawing_stands_where_its_place_was_with_caption_and_words(site: Path) -> None:
    page = text_of(site / "steps" / "tube.html")
    assert page.count('<figure class="drawing" id="fig-long-section"') == 1
    assert "<b>Long section</b> Cut along the middle, looking from the pump&#x27;s side." in page
    assert "Water stands 120 mm &lt; the rim." in page
    assert page.index("fig-long-section") < page.index('id="do"') < page.index("fig-plan")


def test_the_words_in_a_drawing_are_not_searched(site: Path) -> None:
    assert "zebrawood" in text_of(site / "steps" / "tube.html")
    index = text_of(site / "assets" / "words.js")
    assert "zebrawood" not in index
    assert "The floor falls to the right" not in index
    assert "Never stand under it" in index


def test_formulas_are_not_searched_and_what_stands_beside_them_is(tmp_path: Path, drawn: Drawn) -> None:
    fold = '<p class="formula">quux = 1</p>\n\nA reason.\n'
    folder = build(guide_of(home=f"{HOME}\n{fold}"), drawn, tmp_path / "site").parent
    assert "quux = 1" in text_of(folder / "index.html")
    index = text_of(folder / "assets" / "words.js")
    assert "quux" not in index
    assert "A reason." in index


def test_hidden_words_of_a_page_are_searched_and_stay_hidden(tmp_path: Path, drawn: Drawn) -> None:
    home = f'<p class="words" hidden>popping up like a cork</p>\n\n{HOME}'
    folder = build(guide_of(home=home), drawn, tmp_path / "site").parent
    assert '<p class="words" hidden>popping up like a cork</p>' in text_of(folder / "index.html")
    index = text_of(folder / "assets" / "words.js")
    assert '["index.html","Your job at a glance","popping up like a cork"]' in index
    assert index.count("cork") == 1


def test_header_and_footer_of_every_page_name_the_job(site: Path) -> None:
    for page in site.rglob("*.html"):
        head, foot = text_of(page).split("<main")[0], text_of(page).split("<footer")[1]
        for part in (head, foot):
            assert "Quandong Rise" in part
            assert "QR-0412 · issue A · 25 November 2026" in part


def test_a_title_with_markup_and_template_tricks_appears_as_the_characters_typed(
    tmp_path: Path, drawn: Drawn
) -> None:
    title = '<script>x</script> {{ 7919 * 13 }} & "Rise"'
    page = text_of(build(guide_of(title=title), drawn, tmp_path / "site"))
    assert "<script>x" not in page
    assert "&amp;lt;" not in page
    assert "&lt;script&gt;x&lt;/script&gt; {{ 7919 * 13 }} &amp; &#34;Rise&#34;" in page
    assert "102947" not in page


def test_two_builds_give_the_same_bytes(site: Path, tmp_path: Path, drawn: Drawn) -> None:
    again = build(guide_of(), drawn, tmp_path / "again").parent
    assert files_of(again) == files_of(site)


@pytest.mark.parametrize("cache", ["none yet", "filled", "not writable"])
def test_the_quick_way_gives_the_bytes_of_the_plain_way(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, cache: str
) -> None:
    docs = tmp_path / "docs"
    (docs / "steps").mkdir(parents=True)
    (docs / "index.md").write_text(HOME)
    (docs / "steps" / "tube.md").write_text(TUBE)
    (docs / "assets").mkdir()
    for name in ("guide.css", "guide.js"):
        (docs / "assets" / name).write_text("")
    folder = tmp_path / "cache"
    if cache == "not writable":
        folder.write_text("a file stands where the folder would be made")
    monkeypatch.setattr(engine, "CACHE", folder)
    given = {"name": "T", "nav": [{"Start": "index.md"}, {"Tube": "steps/tube.md"}], "job": {"line": "x"}}
    first = [("first", True)] if cache == "filled" else []
    for name, quick in (("plain", False), *first, ("quick", True)):
        monkeypatch.setattr(engine, "_environments", {})
        assert engine.run(docs, tmp_path / name, quick=quick, **given) == []  # type: ignore[arg-type]
    assert files_of(tmp_path / "quick") == files_of(tmp_path / "plain")


def test_nothing_is_left_in_the_site_that_no_page_loads(site: Path) -> None:
    assert not [
        name for name in files_of(site) if name.endswith(".map") or "404" in name or "sitemap" in name
    ]


def test_an_unknown_figure_is_refused_with_the_names_there_are(tmp_path: Path, drawn: Drawn) -> None:
    tube = TUBE.replace('"plan"', '"plam"')
    with pytest.raises(InputFaults) as caught:
        build(guide_of(tube=tube), drawn, tmp_path / "site")
    (fault,) = caught.value.faults
    assert fault.file == "steps/tube.html"
    assert str(fault).endswith("no figure is called 'plam'. Write one of those drawn: long-section, plan.")


def test_a_figures_place_written_another_way_is_refused(tmp_path: Path, drawn: Drawn) -> None:
    tube = TUBE.replace('<div data-figure="plan">', '<div class="x" data-figure="plan">')
    with pytest.raises(InputFaults, match="a figure's place is not written as it must be"):
        build(guide_of(tube=tube), drawn, tmp_path / "site")


def test_a_page_may_link_to_a_figure_of_another(tmp_path: Path, drawn: Drawn) -> None:
    home = HOME + "\nSee the [long section](steps/tube.md#fig-long-section).\n"
    page = text_of(build(guide_of(home=home), drawn, tmp_path / "site"))
    assert 'href="steps/tube.html#fig-long-section"' in page


@pytest.mark.parametrize(
    ("link", "said"),
    [("gone.md", "gone.md"), ("tube.md#nowhere", "nowhere"), ("../index.md#nowhere", "nowhere")],
)
def test_a_broken_link_between_pages_is_raised_never_swallowed(
    tmp_path: Path, drawn: Drawn, link: str, said: str
) -> None:
    with pytest.raises(InputFaults, match=said) as caught:
        build(guide_of(tube=TUBE.replace("../index.md", link)), drawn, tmp_path / "site")
    assert caught.value.faults[0].file == "steps/tube.md"
    assert not (tmp_path / "site").exists()


def test_a_page_that_is_not_in_the_contents_is_raised(tmp_path: Path, drawn: Drawn) -> None:
    guide = guide_of()
    object.__setattr__(guide, "nav", (("Your job at a glance", "index.md"),))
    with pytest.raises(InputFaults, match=r"steps/tube\.md"):
        build(guide, drawn, tmp_path / "site")


def test_an_outside_address_is_refused(tmp_path: Path, drawn: Drawn) -> None:
    with pytest.raises(InputFaults, match="leads outside the guide"):
        build(guide_of(home=HOME + "\n[more](https://example.org/)\n"), drawn, tmp_path / "site")


@pytest.mark.parametrize("kind", finish.SIGNALS)
def test_a_signal_box_without_its_word_is_refused(tmp_path: Path, drawn: Drawn, kind: str) -> None:
    home = HOME + f'\n!!! {kind} "It can float"\n    Stand clear.\n'
    with pytest.raises(InputFaults, match=f"the title of a {kind} box does not begin with its signal word"):
        build(guide_of(home=home), drawn, tmp_path / "site")


@pytest.mark.parametrize("kind", finish.SIGNALS)
def test_a_signal_box_with_its_word_is_accepted(tmp_path: Path, drawn: Drawn, kind: str) -> None:
    home = HOME + f'\n!!! {kind} "**{kind.upper()}** It can float"\n    Stand clear.\n'
    page = text_of(build(guide_of(home=home), drawn, tmp_path / "site"))
    assert f"<strong>{kind.upper()}</strong> It can float" in page


@pytest.mark.parametrize(
    ("piece", "said"),
    [
        ('<p style="color:red">x</p>', "a style attribute"),
        ("<style>p{color:red}</style>", "a stylesheet in the page"),
        ('<p onclick="x()">x</p>', "a script in an attribute"),
        ("<script>x()</script>", "a script in the page"),
    ],
)
def test_what_the_pages_policy_would_drop_is_refused(
    tmp_path: Path, drawn: Drawn, piece: str, said: str
) -> None:
    with pytest.raises(InputFaults, match=f"{said}, which the page's policy does not let through"):
        build(guide_of(home=f"{HOME}\n{piece}\n"), drawn, tmp_path / "site")


def test_a_block_of_data_is_let_through(tmp_path: Path, drawn: Drawn) -> None:
    data = '<script type="application/json" id="data">{"a": 1}</script>'
    whole = f'<section class="whole">{data}</section>'
    assert data in text_of(build(guide_of(home=f"{HOME}\n{whole}\n"), drawn, tmp_path / "site"))


def test_every_page_says_first_that_nothing_leaves_the_device(site: Path) -> None:
    for page in site.rglob("*.html"):
        head = text_of(page).split("<title>")[0]
        after = head.split('<meta charset="utf-8">\n')[1]
        assert after.startswith('<meta http-equiv="Content-Security-Policy" content="default-src \'none\';')
        assert "unsafe" not in head


def test_a_table_is_put_in_a_box_that_scrolls_once(tmp_path: Path, drawn: Drawn) -> None:
    row = "| a | b |\n|---|---|\n| 1 | 2 |\n"
    home = f'{HOME}\n{row}\n<div class="wide" markdown>\n\n{row}\n</div>\n'
    page = text_of(build(guide_of(home=home), drawn, tmp_path / "site"))
    assert page.count("<table>") == page.count('<div class="wide">') == 2
    assert page.count("</table></div>") == 1


def test_figures_are_asked_for_only_once_the_pages_stand(tmp_path: Path) -> None:
    class Waiting(dict[str, Drawing]):
        asked = 0

        def __contains__(self, name: object) -> bool:
            assert list(tmp_path.glob(".site.*/site/index.html")), "pages first"
            self.asked += 1
            return super().__contains__(name)

    waiting = Waiting({name: Drawing(name) for name in ("long-section", "plan")})
    build(guide_of(), waiting, tmp_path / "site")
    assert waiting.asked == 2


def test_a_failure_midway_leaves_the_old_site_whole(
    tmp_path: Path, drawn: Drawn, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "site"
    build(guide_of(), drawn, out)
    before = files_of(out)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device", str(out))

    monkeypatch.setattr("builder.website.guide_site.finish", full)
    with pytest.raises(CannotWrite, match="No space left on device") as caught:
        build(guide_of(issue="B"), drawn, out)
    assert caught.value.path == str(out)
    assert files_of(out) == before
    assert list(tmp_path.iterdir()) == [out], "nothing half made is left beside it"


def test_a_new_issue_replaces_the_old_site_whole(tmp_path: Path, drawn: Drawn) -> None:
    out = tmp_path / "site"
    build(guide_of(), drawn, out)
    (out / "left-over.html").write_text("from an older version")
    page = text_of(build(guide_of(issue="B"), drawn, out))
    assert "issue B" in page
    assert not (out / "left-over.html").exists()
    assert list(tmp_path.iterdir()) == [out]
