"""A page whose every complaint and every request is written down."""

from __future__ import annotations

from pathlib import Path
from typing import Any

INSIDE = ("file:", "data:", "blob:", "about:", "http://127.0.0.1:")


class Watched:
    """A page of a browser context. faults: errors of scripts, of the page's policy, requests outside."""

    def __init__(self, context: Any) -> None:
        """Open a page in the context and begin to listen."""
        self.faults: list[str] = []
        context.on("request", self._requested)
        context.on("requestfailed", lambda one: self._note("did not load", one.url[:200]))
        context.on(
            "response", lambda one: self._note(str(one.status), one.url) if one.status >= 400 else None
        )
        context.on("weberror", lambda one: self._note("script", one.error.message))
        context.on("console", self._said)
        self.page = context.new_page()

    def goto(self, where: Path | str) -> Any:
        """Go to a file or an address and return the page."""
        self.page.goto(where.as_uri() if isinstance(where, Path) else where)
        return self.page

    def _note(self, what: str, more: str) -> None:
        self.faults.append(f"{self.page.url.rpartition('/')[2]}: {what}: {more}")

    def _said(self, message: Any) -> None:
        if message.type in {"error", "warning", "assert"}:
            self._note(message.type, message.text)

    def _requested(self, request: Any) -> None:
        if not request.url.startswith(INSIDE):
            self._note("asks outside", request.url)
