"""The sheets of a job that are true to size, for one paper: slot template, then story-pole strips."""

from __future__ import annotations

from builder.figures.index import Results
from builder.figures.paper import pdf
from builder.figures.paper_frame import number_pages
from builder.figures.papers import PAPERS
from builder.figures.pole_strips import strips
from builder.figures.reader import Reader
from builder.figures.template import template
from builder.levels import Levels


def true_size(levels: Levels, worked: Results, paper: str) -> bytes:
    """Return the PDF of a job's slot template and story-pole strips, every length true to size.

    paper: a key of PAPERS, else KeyError. Same bytes every time.
    """
    sheet = PAPERS[paper]
    read = Reader(levels, worked, worked.groundwater)
    sheets = [*template(read, sheet), *strips(read, sheet)]
    number_pages(sheets)
    return pdf(sheets, f"{levels.job.spec.ref}: true to size, {sheet.name}")
