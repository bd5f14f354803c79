"""The square code that leads to a guide's own address."""

from __future__ import annotations

BORDER = 4  # modules of quiet zone: ISO/IEC 18004 asks for four


def svg(address: str) -> str:
    """Return an address as a QR code, an SVG of dark squares on white: error level M, quiet zone in it.

    White is drawn, so that a dark page does not swallow it.
    """
    import segno  # late: only what is sent out needs it

    made = segno.make(address, error="m", micro=False)
    drawn = made.svg_inline(
        scale=1, border=BORDER, dark="#000", light="#fff", omitsize=True, svgclass=None, lineclass=None
    )
    return str(drawn)
