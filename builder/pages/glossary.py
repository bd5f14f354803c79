"""Terms of the trade, linked to the glossary where a page first uses them."""

from __future__ import annotations

import re
import string
from collections.abc import Mapping
from functools import lru_cache

from builder.pages.manifest import Entry
from builder.pages.typed import CLOSE, OPEN
from builder.pages.wording import Term

GLOSSARY = "glossary.md"
LOWER = str.maketrans(string.ascii_uppercase, string.ascii_lowercase)  # minding case is quicker

# What is left alone: headings, box titles, raw HTML blocks and tags, links, code, typed text, attributes.
_KEPT = re.compile(
    r"^(?:#|!!!|\|)[^\n]*|<(dl|figure|section|summary|ul|p)\b.*?</\1>|<[^>]*>|\[[^\]]*\]\([^)]*\)(?:\{[^}]*\})?|`[^`]*`"
    rf"|{OPEN}.*?{CLOSE}|\*\*[A-Z]+\*\*|^\{{[^}}]*\}}$",
    re.MULTILINE | re.DOTALL,
)


def linked(page: str, entry: Entry, terms: Mapping[str, Term]) -> str:
    """Return the page's Markdown with the first use of each term linked; the glossary itself is left."""
    if entry.path == GLOSSARY:
        return page
    find, ids = _finder(tuple((term.id, form) for term in terms.values() for form in term.forms))
    target = "../" * entry.path.count("/") + GLOSSARY
    seen: set[str] = set()

    def with_links(text: str) -> str:
        out, at = [], 0
        for found in find.finditer(text.translate(LOWER)):
            name = ids[found.group()]
            if name not in seen:
                seen.add(name)
                word = text[found.start() : found.end()]
                out += [text[at : found.start()], f"[{word}]({target}#{name}){{.term}}"]
                at = found.end()
        return "".join([*out, text[at:]])

    out, at = [], 0
    for kept in _KEPT.finditer(page):
        out += [with_links(page[at : kept.start()]), kept.group()]
        at = kept.end()
    out.append(with_links(page[at:]))
    return "".join(out)


@lru_cache(maxsize=4)
def _finder(forms: tuple[tuple[str, str], ...]) -> tuple[re.Pattern[str], Mapping[str, str]]:
    ids = {form.lower(): name for name, form in forms}
    longest_first = sorted(ids, key=len, reverse=True)
    return re.compile(rf"\b(?:{'|'.join(map(re.escape, longest_first))})\b"), ids
