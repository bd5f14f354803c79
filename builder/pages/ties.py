"""Where the lid over the tube lies, as pages tell it: so far from this place of the rim."""

from __future__ import annotations

from markupsafe import Markup

from builder.checks import Results
from builder.pages.shown import bold
from builder.pages.typed import markup, typed
from builder.pages.words import Words


def tie_rows(results: Results, words: Words) -> list[tuple[Markup, Markup]]:
    """Return each tie measure: the place of the rim it starts from, and its length to the lid's middle."""
    return [
        (typed(str(row["from"])), markup(bold(words.length(float(row["away"])))))
        for row in results["standpipe.ties"].table.records()
        if isinstance(row["away"], float)
    ]
