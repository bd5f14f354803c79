"""What a scene hands back: a closed sheet, and the words that go with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from builder.figures.canvas import Point, Sheet


@dataclass(frozen=True)
class Scene:
    """A drawn figure before it becomes a file.

    caption: what the reader should know to read it; description: one sentence on what is shown;
    long_description: the figure in words, with every number it shows; anchors: named points in
    model metres, (x, depth) in sections and (x, y) in plan; printed: the width in metres at which a
    stated scale is true, None where the drawing fills its frame at no scale of its own.
    """

    sheet: Sheet
    title: str
    caption: str
    description: str
    long_description: tuple[str, ...]
    anchors: Mapping[str, Point]
    printed: float | None = None


def thickened(factor: int) -> str:
    """Return the sentence on a shell's wall drawn thicker than it is; empty for a true wall."""
    return f"Only the shell's wall is drawn {factor} times as thick as it is." if factor > 1 else ""


def said(*sentences: str) -> tuple[str, ...]:
    """Return the sentences that say something."""
    return tuple(sentence for sentence in sentences if sentence)
