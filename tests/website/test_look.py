"""The page's own colours: what a reader in the sun can read. The drawings' roles have their own test."""

import re

import pytest

from builder.figures.style import ROLES, colour, contrast
from builder.website.look import THEME

CSS = (THEME / "guide.css").read_text(encoding="utf-8")
LIGHT = CSS.split(":root {")[1].split("\n}")[0]
DARK = CSS.split(':root[data-look="dark"] {')[1].split("\n}")[0]
RULE = re.compile(r"^  --([a-z-]+): ([^;]+);", re.M)
MODES = ("light", "dark")


def colour_of(name: str, mode: str) -> str:
    """Return a role of the page as a colour, through the drawing's role it may stand for."""
    value = dict(RULE.findall(LIGHT))[name]
    if mode == "dark":
        value = dict(RULE.findall(DARK)).get(name, value)
    if value.startswith("var(--fig-"):
        return colour(value.removeprefix("var(--fig-").rstrip(")"), mode)  # type: ignore[arg-type]
    return "#" + "".join(sign * 2 for sign in value[1:]) if len(value) == 4 else value


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("on", ["paper", "wash", "watch-wash", "stop-wash", "ok-wash", "unsure-wash"])
def test_body_text_has_seven_to_one_on_whatever_it_stands_on(mode: str, on: str) -> None:
    assert contrast(colour_of("ink", mode), colour_of(on, mode)) >= 7


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("text", ["quiet", "lead"])
def test_quiet_text_and_links_have_seven_to_one_on_paper(mode: str, text: str) -> None:
    assert contrast(colour_of(text, mode), colour_of("paper", mode)) >= 7


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("word", ["ok", "watch", "stop", "unsure"])
def test_a_verdict_has_four_and_a_half_to_one_on_paper_and_on_its_own_wash(mode: str, word: str) -> None:
    for on in ("paper", f"{word}-wash"):
        assert contrast(colour_of(word, mode), colour_of(on, mode)) >= 4.5


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("word", ["danger", "warning", "caution", "notice"])
def test_a_signal_word_has_four_and_a_half_to_one_on_its_plate(mode: str, word: str) -> None:
    assert contrast(colour_of(f"on-{word}", mode), colour_of(word, mode)) >= 4.5


def test_the_page_shares_its_roles_with_the_drawings() -> None:
    shared = re.findall(r"var\(--fig-([a-z-]+)\)", LIGHT)
    assert len(shared) >= 8
    assert set(re.findall(r"--fig-([a-z-]+)", CSS)) <= set(ROLES)
