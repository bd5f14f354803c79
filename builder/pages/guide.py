"""What the pages room hands on: a guide of pages, complete Markdown each."""

from __future__ import annotations

from dataclasses import dataclass

NavEntry = tuple[str, str] | tuple[str, tuple[tuple[str, str], ...]]


@dataclass(frozen=True)
class Page:
    """One page: its path in the guide, title, Markdown, and the figures it shows, in order."""

    path: str  # such as steps/pocket.md
    title: str
    markdown: str
    figures: tuple[str, ...]


@dataclass(frozen=True)
class Guide:
    """A job's guide. nav holds (title, path), or (group title, pages of it)."""

    ref: str
    title: str
    issue: str
    issued: str
    region: str  # the region's name for a reader
    audience: str  # owner-builder or crew
    pages: tuple[Page, ...]
    nav: tuple[NavEntry, ...]
