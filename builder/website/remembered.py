"""What pages of many jobs have in common is converted once: Markdown by its parts.

Two jobs differ mostly in their numbers. A page is split at its headings; in each part every number
is swapped for a sign of its own (a private character that Markdown passes through), the part is
converted once, and its HTML is filled with each job's numbers. What is remembered also stands on disk.

This reaches into mkdocs where it offers no way in; so `engine.run` has a plain way beside it, and a test
holds every byte of the quick way against the plain one. A page that does not split cleanly goes the
plain way.
"""

from __future__ import annotations

import hashlib
import itertools
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
HEADING = re.compile(r"^## ", re.M)
H2 = re.compile(r"^(?=<h2[ >])", re.M)
OPENED, CLOSED = re.compile(r"<(?:div|section|details)\b"), re.compile(r"</(?:div|section|details)>")
KEPT = r"^#[^\n]*|^ *!!! [\w -]+|^ *\d+\.(?=\s)|<[^>\n]*>|\]\([^)\n]*\)|\{[^}\n]*\}|&#?\w+;"
NUMBER = r"[0-9]+(?:[.,][0-9]+)*"
LEAST = 4  # characters of a word of the job that is worth a sign
END = "## end"  # what comes after a part decides how it ends: for all of them, a heading
MOST = 20_000  # parts kept on disk; beyond that only what the last build used

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
    used: set[str] = field(default_factory=set)
    grown: bool = False

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
        if SIGN.search(markdown) or not markdown.lstrip().startswith("# "):
            return False
        parts = [_masked(part, masked) for part in _split(markdown)]
        if any(len(numbers) > LAST - FIRST for _, numbers in parts):
            return False
        place = _digest(page.file.src_uri, *sorted(file.src_uri for file in files.documentation_pages()))
        keys = [_digest(place, str(at > 0), text) for at, (text, _) in enumerate(parts)]
        missing = [at for at, key in enumerate(keys) if key not in self.parts]
        if missing:
            before = len(said)
            made = _converted(page, config, files, [parts[at][0] for at in missing], missing[0] == 0)
            if made is None or len(said) > before:
                del said[before:]
                return False
            self.parts |= {keys[at]: part for at, part in zip(missing, made, strict=True)}
            self.grown = True
        self.used.update(keys)
        found = [self.parts[key] for key in keys]
        headings = [heading for part in found for heading in part.headings]
        if len({name for _, name, _ in headings}) < len(headings):
            return False  # Markdown gives the second of two like headings another id
        filled = [_filled(part.html, numbers) for part, (_, numbers) in zip(found, parts, strict=True)]
        page.content = "".join(filled).strip()
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

    def save(self, path: Path) -> None:
        """Put on disk what is new; where that cannot be, the next build converts again."""
        if not self.grown:
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
        self.grown = False


def _split(markdown: str) -> list[str]:
    """The page at its second-level headings that stand in no block of HTML."""
    cuts = [0]
    for heading in HEADING.finditer(markdown):
        since = markdown[cuts[-1] : heading.start()]
        if len(OPENED.findall(since)) == len(CLOSED.findall(since)):
            cuts.append(heading.start())
    return [markdown[start:end].strip("\n") for start, end in zip(cuts, [*cuts[1:], None], strict=True)]


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


def _converted(
    page: pages.Page, config: Any, files: Files, texts: list[str], from_the_top: bool
) -> list[Part] | None:
    """Convert parts as one page, cut again at its headings; None where that gives other parts."""
    stand_in: Any = SimpleNamespace(markdown="\n\n".join([*texts, END]), file=page.file)
    plain_render(stand_in, config, files)
    pieces = H2.split(stand_in.content)[:-1]
    headings = [[entry.level, entry.id, entry.title] for entry in _entries_of(stand_in.toc)][:-1]
    if not from_the_top and pieces.pop(0):
        return None
    starts = [*([0] if from_the_top else []), *(at for at, (level, *_) in enumerate(headings) if level == 2)]
    counts = [len(HEADING.findall(text)) for text in texts]  # a block of HTML may hold headings too
    counts[0] += from_the_top
    if not len(pieces) == len(starts) == sum(counts):
        return None
    ends = list(itertools.accumulate(counts))
    starts.append(len(headings))
    made = []
    for end, count in zip(ends, counts, strict=True):
        first = end - count
        made.append(Part("".join(pieces[first:end]), headings[starts[first] : starts[end]]))
    return made


def _entries_of(links: Any) -> Iterator[Any]:
    for link in links:
        yield link
        yield from _entries_of(link.children)


def _digest(*texts: str) -> str:
    return hashlib.sha256("\0".join(texts).encode()).hexdigest()[:32]
