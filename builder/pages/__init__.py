"""Results in words: one guide of complete Markdown pages from the templates of content/."""

from builder.pages.guide import Guide, NavEntry, Page
from builder.pages.render import render

__all__ = ["Guide", "NavEntry", "Page", "render"]
