"""Cut the guide's typeface from the full one: two weights' range, the signs a guide prints.

    python -m pip install "shellbed[font]"
    python shared/theme/font/subset.py "Overpass[wght].ttf"

The full variable font is Overpass 4.0 (SIL Open Font License 1.1, OFL.txt beside this file). What is
cut is committed, so nobody needs this to build a guide: overpass.woff2 for the screen, and for paper
the two weights a sheet is set in, each a font of its own.
"""

import sys
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import instantiateVariableFont

HERE = Path(__file__).parent
MACRONS = "āēīōūĀĒĪŌŪ"
SIGNS = "–—‘’“”•…′″←→−≤≥≈"  # noqa: RUF001 (each sign is meant)
PAPER = {"regular": 430, "bold": 700}  # on paper, a little over the regular weight reads best in small type
KEPT = [*range(0x20, 0x7F), *range(0xA0, 0x100), *map(ord, MACRONS + SIGNS)]


def main(full: str) -> None:
    """Write overpass.woff2, overpass-regular.ttf and overpass-bold.ttf beside this file."""
    font = instantiateVariableFont(TTFont(full, recalcTimestamp=False), {"wght": (400, 700)})
    options = subset.Options(hinting=False, notdef_outline=True, recalc_timestamp=False)
    options.layout_features = ["kern", "tnum"]
    options.name_IDs = [0, 1, 2, 3, 4, 5, 6, 13, 14]  # 13 and 14: the licence travels in the font too
    cut = subset.Subsetter(options)
    cut.populate(unicodes=KEPT)
    cut.subset(font)
    # The full font counts · and five more as accents on the letter before: browsers give those no width.
    font["GDEF"].table.GlyphClassDef.classDefs = {}
    font.flavor = "woff2"
    font.save(HERE / "overpass.woff2")
    for name, weight in PAPER.items():
        font = instantiateVariableFont(
            TTFont(HERE / "overpass.woff2", recalcTimestamp=False), {"wght": weight}
        )
        font.flavor = None
        font.save(HERE / f"overpass-{name}.ttf")


if __name__ == "__main__":
    main(sys.argv[1])
