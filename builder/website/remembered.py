"""What pages of many jobs have in common is converted once: Markdown by its parts.

Two jobs differ mostly in their numbers. A page is split into its blocks (a heading, a paragraph, a
list); in each part every number is swapped for a sign of its own (a private character that Markdown
passes through), the part is converted once, and its HTML is filled with each job's numbers. What is
remembered also stands on disk.

This reaches into mkdocs where it offers no way in; so `engine.run` has a plain way beside it, and a test
holds every byte of the quick way against the plain one. A page that does not split cleanly goes the
plain way.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass, field
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

from markdown.extensions.toc import nest_toc_tokens  # type: ignore[import-untyped]
from mkdocs.structure import pages, toc

if TYPE_CHECKING:
    from mkdocs.structure.files import Files

FIRST, LAST = 0xE100, 0xF8FF  # the private characters that stand for a part's numbers, by their place
SIGN = re.compile(f"([{chr(FIRST)}-{chr(LAST)}])")
CUT = chr(FIRST - 1)  # a paragraph of its own between parts that are converted together
BREAK = re.compile(r"\n(?:[ \t]*\n)+(?=[^\s:])")  # before a block that does not go on with the last one
LIST = re.compile(r"(?:[-*+]|[0-9]+\.)[ \t]")
HEADING = re.compile(r'<h[1-6][^>]*? id="([^"]*)"')
AGAIN = re.compile(r"_[0-9]+$")  # the id of the second of two like headings
BLOCKS = r"(?:div|section|details|dl|ul|ol|p|table|figure|nav|fieldset|form)\b"
OPENED, CLOSED = re.compile(f"<{BLOCKS}"), re.compile(f"</{BLOCKS}")
ELSEWHERE = re.compile(r"^ {0,3}\[[^\]\n]+\]:|\[\^", re.M)  # what stands in one part and acts in another
KEPT = r"^#[^\n]*|^ *!!! [\w -]+|^ *\d+\.(?=\s)|<[^>\n]*>|\]\([^)\n]*\)|\{[^}\n]*\}|&#?\w+;"
NUMBER = r"[0-9]+(?:[.,][0-9]+)*"
LEAST = 4  # characters of a word of the job that is worth a sign
ENOUGH = 1.05  # times as many parts as on disk are worth writing them all again
MOST = 40_000  # parts kept on disk; beyond that only what the last build used

plain_render = pages.Page.render


@dataclass(frozen=True)
class Part:
    """A converted part of a page: HTML, and its headings (level, id, title)."""

    html: str
    headings: list[list[Any]]


@dataclass
class Memory:
    """Converted parts, by a digest of what they were made from."""

    parts: dict[str, Part] = field(default_factory=dict)
    same: dict[tuple[str, str], Part] = field(default_factory=dict)  # by page and text: no number in them
    used: set[str] = field(default_factory=set)
    kept: int = 0  # how many of the parts stand on disk

    @contextmanager
    def at_work(self, own: Sequence[str], said: list[str]) -> Iterator[None]:
        """Let mkdocs convert pages by this memory.

        own: words of the job that stand in many sentences, as they stand in Markdown.
        said: where mkdocs' warnings are gathered; what gave one is not remembered.
        """
        masks = [re.escape(word) for word in sorted(own, key=len, reverse=True) if len(word) >= LEAST]
        masked = re.compile(f"{KEPT}|({'|'.join([*masks, NUMBER])})", re.M)

        def render(page: pages.Page, config: Any, files: Files) -> None:
            if not self._render(page, config, files, masked, said):
                plain_render(page, config, files)

        pages.Page.render = render  # type: ignore[method-assign, assignment]
        try:
            yield
        finally:
            pages.Page.render = plain_render  # type: ignore[method-assign]

    def _render(
        self, page: pages.Page, config: Any, files: Files, masked: re.Pattern[str], said: list[str]
    ) -> bool:
        """Give the page its HTML and headings; False where it does not go by parts."""
        markdown = page.markdown or ""
        if SIGN.search(markdown) or CUT in markdown or ELSEWHERE.search(markdown):
            return False
        if not markdown.lstrip().startswith("# "):
            return False
        place = _digest(page.file.src_uri, *sorted(file.src_uri for file in files.documentation_pages()))
        texts = _split(markdown)
        new = {text: _masked(text, masked) for text in texts if (place, text) not in self.same}
        if any(len(numbers) > LAST - FIRST for _, numbers in new.values()):
            return False
        keys = {text: _digest(place, signed) for text, (signed, _) in new.items()}
        missing = {key: new[text][0] for text, key in keys.items() if key not in self.parts}
        if missing:
            before = len(said)
            made = _converted(page, config, files, list(missing.values()))
            if made is None or len(said) > before:
                del said[before:]
                return False
            self.parts |= dict(zip(missing, made, strict=True))
        for text, (_, numbers) in new.items():
            if not numbers:
                self.same[place, text] = self.parts[keys[text]]
        self.used.update(keys.values())
        found = [self.parts[keys[text]] if text in new else self.same[place, text] for text in texts]
        headings = [heading for part in found for heading in part.headings]
        if len({name for _, name, _ in headings}) < len(headings):
            return False  # Markdown gives the second of two like headings another id
        page.content = "\n".join(
            _filled(part.html, new[text][1]) if text in new else part.html
            for text, part in zip(texts, found, strict=True)
        )
        page.toc = toc.get_toc(
            nest_toc_tokens([{"level": level, "id": name, "name": title} for level, name, title in headings])
        )
        page.present_anchor_ids = set()
        return True

    def load(self, path: Path) -> None:
        """Read what stands on disk, if it can be read."""
        with suppress(OSError, ValueError, TypeError, KeyError):
            stored = json.loads(path.read_text(encoding="utf-8"))
            self.parts |= {key: Part(**part) for key, part in stored["parts"].items()}
            self.kept = len(self.parts)

    def save(self, path: Path) -> None:
        """Put what is new on disk, once it is a twentieth of all; where that cannot be, it is made again."""
        if len(self.parts) <= self.kept * ENOUGH:
            return
        if len(self.parts) > MOST:
            self.parts = {key: part for key, part in self.parts.items() if key in self.used}
        stored = {"parts": {key: asdict(part) for key, part in self.parts.items()}}
        beside = path.with_name(f"{path.name}.{os.getpid()}")
        with suppress(OSError):
            path.parent.mkdir(parents=True, exist_ok=True)
            for old in path.parent.glob(f"*{path.suffix}"):
                if old != path:
                    old.unlink()
            beside.write_text(json.dumps(stored, ensure_ascii=False), encoding="utf-8")
            beside.replace(path)
        self.kept = len(self.parts)


def _split(markdown: str) -> list[str]:
    """The page at its blank lines, but not inside a block of HTML, nor between two items of a list."""
    markdown = markdown.strip("\n")
    cuts, start = [], 0
    for blank in BREAK.finditer(markdown):
        since = markdown[start : blank.start()]
        if len(OPENED.findall(since)) != len(CLOSED.findall(since)):
            continue
        if LIST.match(markdown, blank.end()) and LIST.match(since):
            continue
        cuts.append((start, blank.start()))
        start = blank.end()
    return [markdown[begin:end] for begin, end in [*cuts, (start, len(markdown))]]


def _masked(part: str, masked: re.Pattern[str]) -> tuple[str, list[str]]:
    numbers: list[str] = []

    def swap(found: re.Match[str]) -> str:
        if found.group(1) is None:
            return found.group()
        numbers.append(found.group(1))
        return chr(FIRST + len(numbers) - 1)

    return masked.sub(swap, part), numbers


def _filled(text: str, numbers: Sequence[str]) -> str:
    pieces = SIGN.split(text)
    pieces[1::2] = [numbers[ord(sign) - FIRST] for sign in pieces[1::2]]
    return "".join(pieces)


def _converted(page: pages.Page, config: Any, files: Files, texts: list[str]) -> list[Part] | None:
    """Convert parts as one page, cut again where they meet; None where that gives other parts."""
    stand_in: Any = SimpleNamespace(markdown=f"\n\n{CUT}\n\n".join(texts), file=page.file)
    plain_render(stand_in, config, files)
    pieces = stand_in.content.split(f"\n<p>{CUT}</p>\n")
    headings = {entry.id: [entry.level, entry.id, entry.title] for entry in _entries_of(stand_in.toc)}
    made = [
        Part(piece, [headings.pop(name) for name in HEADING.findall(piece) if name in headings])
        for piece in pieces
    ]
    odd = any(AGAIN.search(name) for part in made for _, name, _ in part.headings)
    return made if len(made) == len(texts) and not headings and not odd else None


def _entries_of(links: Any) -> Iterator[Any]:
    for link in links:
        yield link
        yield from _entries_of(link.children)


def _digest(*texts: str) -> str:
    return hashlib.sha256("\0".join(texts).encode()).hexdigest()[:32]
