"""Lengths in a figure's words."""

from __future__ import annotations

import pytest

from builder.figures.wording import Words

MM, FEET = Words(feet=False), Words(feet=True)


def test_a_length_has_a_comma_at_the_thousand_and_is_rounded_to_five_millimetres():
    assert MM.length(1.7824) == "1,780"
    assert MM.length(1.7824, "up") == "1,785"
    assert MM.length(-0.04) == "40"


def test_a_size_as_typed_keeps_its_tenth_of_a_millimetre():
    assert MM.exact_mm(0.0015) == "1.5\u00a0mm"
    assert MM.exact_mm(0.075) == "75\u00a0mm"


@pytest.mark.parametrize(
    ("depth", "said"), [(1.7, "1,700 below rim"), (-0.04, "40 above rim"), (0.0, "level with rim")]
)
def test_a_level_says_which_side_of_the_rim_it_is(depth, said):
    assert MM.level(depth) == said


def test_feet_and_inches_go_to_an_eighth_on_the_safe_side():
    # by hand: 1.785 m = 70.276 in = 5 ft 10 2.2/8 in
    assert FEET.length(1.785) == "5′\u00a010\u00a01/4″"
    assert FEET.length(1.785, "up") == "5′\u00a010\u00a03/8″"
    assert FEET.length(0.3048) == "1′"
    assert FEET.length(0.0508) == "2″"


def test_a_small_size_is_a_fraction_of_an_inch_or_millimetres_never_decimals():
    # by hand: 0.8 mm / 25.4 = 0.0315 in, 1/32 is 0.03125; 8 mm is 0.315 in, 5/16 is 0.3125
    assert FEET.exact(0.0008) == "1/32″"
    assert FEET.exact(0.008) == "5/16″"
    assert FEET.exact(0.0015) == "1.5\u00a0mm"  # 0.059 in: 1/16 is 6 % off
