from pathlib import Path

import markdown
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builder.pages.typed import finalize, typed, unfenced
from tests.pages.reading import EXTENSIONS, changed, guide_of, page, seen, text_of

HOSTILE = (
    "<script>alert(1)</script> {{ 7*7 }} {% raw %} **bold** [a](b) `c` "
    '!!! danger | # h &amp; _x_ "q" 1. 2) $ ~'
)


@given(
    st.text(
        st.characters(
            min_codepoint=32, max_codepoint=0x2FFF, exclude_categories=["Cc", "Cf", "Cs", "Zl", "Zp", "Zs"]
        ),
        min_size=1,
    )
)
def test_typed_text_reads_as_typed_in_a_paragraph_a_cell_and_an_item(text: str) -> None:
    safe = unfenced(typed(text))
    for source in (safe, f"- x {safe}", f"| a |\n|---|\n| x {safe} |", f"## x {safe}"):
        assert text in text_of(markdown.markdown(source, extensions=EXTENSIONS)), source


def test_a_value_that_is_not_there_is_never_printed() -> None:
    with pytest.raises(ValueError, match="not there"):
        finalize(None)


def test_what_the_author_typed_appears_as_typed_and_does_nothing(tmp_path: Path) -> None:
    spec = changed(
        tmp_path,
        "hostile",
        ("title: Quandong Rise", "title: '<b>Rise</b> {{ 1 }} *x* # {#id}'"),
        ("where: gate post", "where: '<img src=x onerror=y> [gate](http://x) | post'"),
        ("Side gate is 1.1 m wide.", HOSTILE),
    )
    guide = guide_of(spec)
    start = page(guide, "index.md")
    read = seen(start)
    assert "<b>Rise</b> {{ 1 }} *x* # {#id}" in read
    assert "<img src=x onerror=y> [gate](http://x) | post" in read
    assert HOSTILE in read
    assert "<script" not in start.markdown
    assert "<img" not in start.markdown
    assert "](http" not in start.markdown
