"""Results in words: one guide of complete Markdown pages from the templates of content/."""

from builder.pages.changed import Earlier
from builder.pages.guide import Guide, NavEntry, Page
from builder.pages.manifest import questions
from builder.pages.render import one_page, render

__all__ = ["Earlier", "Guide", "NavEntry", "Page", "one_page", "questions", "render"]
