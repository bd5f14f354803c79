"""What a reader's eye, fingers and screen reader find wrong with an open page, as lines."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from tests.browser import engines

LOOKS = Path(__file__).with_name("looks.js").read_text(encoding="utf-8")
WIDTHS = (195, 360, 390)  # CSS pixels of two phones; 195: the larger one with letters twice as large
LEAST_TEXT = 10  # CSS pixels of the smallest letters in a drawing, on a phone 390 wide
COLOUR_RULES = ["color-contrast", "link-in-text-block"]  # all that another colour scheme can change


def _ask(page: Any, what: str, given: Any = None) -> Any:
    return page.evaluate(f"given => ({LOOKS.strip()}).{what}(given)", given)


def too_wide(page: Any, *widths: int) -> list[str]:
    """Return what makes the page scroll sideways at these widths; at the present one where none is given."""
    faults = [] if widths else _ask(page, "wide")
    for width in widths:
        page.set_viewport_size({"width": width, "height": 844})
        faults += _ask(page, "wide")
    return list(faults)


def small_letters(page: Any) -> list[str]:
    """Return the letters of drawings that are too small to read on a phone; at the present width."""
    return list(_ask(page, "small", LEAST_TEXT))


def rules_broken(page: Any, colours: bool = True) -> list[str]:
    """Return what breaks a rule of accessibility.

    colours: whether those that look at colours are held too, which takes longest: in light and in dark.
    """
    if not page.evaluate("typeof axe === 'object'"):
        page.evaluate(engines.checker("axe-core/axe.min.js").read_text(encoding="utf-8"))
    without = {rule: {"enabled": False} for rule in COLOUR_RULES}
    faults = list(_ask(page, "rules", {} if colours else {"rules": without}))
    if colours:
        page.emulate_media(color_scheme="dark")
        faults += [f"dark: {one}" for one in _ask(page, "rules", {"runOnly": COLOUR_RULES})]
        page.emulate_media(color_scheme="light")
    return faults


def wrong_on_paper(page: Any) -> list[str]:
    """Return what is printed and should not be, and what should be and is not."""
    page.emulate_media(media="print")
    faults = _ask(page, "paper")
    page.emulate_media(media="screen")
    return list(faults)


def not_shown(page: Any) -> list[str]:
    """Return what stands in the page and cannot be seen."""
    return list(_ask(page, "unshown"))


def flat_in_forced_colours(page: Any) -> list[str]:
    """Return the shapes, edges and letters that vanish where the system forces its own colours."""
    return list(_ask(page, "flat"))


def wrong_by_keyboard(page: Any, most: int = 600) -> list[str]:
    """Press Tab from the top of an open page to its end; return what cannot be reached or seen."""
    faults: list[str] = []
    for _ in range(most):
        page.keyboard.press("Tab")
        here = _ask(page, "focused")
        if here is None:
            return faults + list(_ask(page, "unreached"))
        faults += here
    return [*faults, f"Tab went on for {most} places"]
