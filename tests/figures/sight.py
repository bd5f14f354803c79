"""How a colour is seen: by those who see fewer colours, and how far two colours are apart.

Matrices: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, A Physiologically-based Model for Simulation
of Color Vision Deficiency, IEEE Trans. Vis. Comput. Graph. 15(6), 2009: severity 1.0, for linear RGB.
Difference: CIE 1976 L*a*b*, white D65 (ISO/CIE 11664-4). A difference of about 2.3 is just noticeable
(M. Mahy, L. Van Eycken, A. Oosterlinck, Color Res. Appl. 19(2), 1994).
"""

from __future__ import annotations

import math

Colour = tuple[float, float, float]

MATRICES = {
    "all colours": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
    "no red": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "no green": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "no blue": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}
SRGB = ((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))  # IEC 61966-2-1
WHITE = (0.9505, 1.0, 1.0890)


def linear(code: str) -> Colour:
    """Return a #rrggbb colour as linear light, 0 to 1."""
    channels = [int(code[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return red, green, blue


def seen(light: Colour, by: str) -> Colour:
    """Return linear light as somebody sees it; what a screen can't show is cut off."""
    red, green, blue = (min(1.0, max(0.0, part)) for part in _times(MATRICES[by], light))
    return red, green, blue


def grey(light: Colour) -> Colour:
    """Return linear light as a grey print shows it: the luminance alone."""
    lum = _times(SRGB, light)[1]
    return lum, lum, lum


def apart(one: Colour, other: Colour) -> float:
    """Return how far apart two lights look, in CIE 1976 units."""
    return math.dist(_lab(one), _lab(other))


def contrast(one: Colour, other: Colour) -> float:
    """Return the contrast ratio of two lights (WCAG 2.2)."""
    high, low = sorted((_times(SRGB, light)[1] for light in (one, other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def _lab(light: Colour) -> Colour:
    x, y, z = (_root(part / white) for part, white in zip(_times(SRGB, light), WHITE, strict=True))
    return 116 * y - 16, 500 * (x - y), 200 * (y - z)


def _root(share: float) -> float:
    return share ** (1 / 3) if share > (6 / 29) ** 3 else share * (29 / 6) ** 2 / 3 + 4 / 29


def _times(matrix, light) -> tuple[float, ...]:
    return tuple(sum(factor * part for factor, part in zip(row, light, strict=True)) for row in matrix)
