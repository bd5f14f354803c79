"""The templates of content/: read strictly, with every fault told by file and line.

An undefined name, a missing number, a working number on a page for acting, a fault of syntax: each
is one line, `content/steps/pocket.md:12:1: …`, for an author who has never opened Python.
"""

from __future__ import annotations

import re
import traceback
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

import jinja2
from jinja2.runtime import Context
from markupsafe import Markup

from builder.errors import Fault, InputFaults
from builder.pages.shown import PageError, bold, bold_depth, mark
from builder.pages.typed import finalize, markup
from builder.pages.words import Words, lower_first, upper_first
from builder.say import SPACE

CACHE = Path(__file__).resolve().parents[2] / ".cache" / "pages"


def _bytecode_cache() -> jinja2.BytecodeCache | None:
    """Compiled templates kept on disk by their source's checksum; none where the disk takes none."""
    try:
        CACHE.mkdir(parents=True, exist_ok=True)
    except OSError:
        return None
    return jinja2.FileSystemBytecodeCache(str(CACHE))


class Templates:
    """The templates of one content folder; compiled once, used for every job."""

    def __init__(self, folder: Path) -> None:
        """Read templates from `folder`, which faults call by its own name."""
        self.folder = folder
        self.environment = jinja2.Environment(
            loader=jinja2.FileSystemLoader(folder),
            undefined=jinja2.StrictUndefined,
            autoescape=True,
            finalize=finalize,
            comment_start_string="<#",  # {#id} is how a heading gets its address
            comment_end_string="#>",
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
            auto_reload=False,
            bytecode_cache=_bytecode_cache(),
        )
        self.environment.filters.update(
            mm=_mm, taped=_taped, depth=_depth, below_peg=_below_peg, density=_density, count=_count
        )
        self.environment.filters.update(
            code=_code, address=_address, lower_first=lower_first, upper_first=upper_first, bare=_bare
        )
        self.environment.globals.update(anchor=_anchor, verdict_mark=mark)

    def render(self, path: str, context: Mapping[str, Any]) -> str:
        """Return the template at `path` put out with `context`; raises InputFaults."""
        try:
            return self.environment.get_template(path).render(context)
        except jinja2.TemplateSyntaxError as exc:
            raise InputFaults(
                [
                    _fault(
                        self._called(exc.filename or path),
                        exc.lineno,
                        exc.message or "this is no template",
                        _MEND,
                    )
                ]
            ) from exc
        except jinja2.TemplateNotFound as exc:
            raise InputFaults(
                [
                    _fault(
                        f"{self.folder.name}/{path}",
                        1,
                        f"there is no template {exc.name!r}",
                        "Write it, or mend its name",
                    )
                ]
            ) from exc
        except jinja2.UndefinedError as exc:
            raise InputFaults([self._at(exc, path, exc.message or "a name is not defined", _NAMES)]) from exc
        except PageError as exc:
            raise InputFaults([self._at(exc, path, exc.wrong, exc.instead)]) from exc
        except (TypeError, ValueError, AttributeError, KeyError) as exc:
            raise InputFaults([self._at(exc, path, f"{exc}", _MEND)]) from exc

    def sentence(self, text: str, place: tuple[str, int], context: Mapping[str, Any]) -> Markup:
        """Return a sentence of a data file put out with `context`; faults are told at `place`."""
        if "{" not in text:
            return markup(text)
        try:
            return markup(_sentence(self.environment, text).render(context))
        except (jinja2.TemplateError, ValueError, TypeError) as exc:
            raise InputFaults([_fault(*place, str(exc), _NAMES)]) from exc
        except PageError as exc:
            raise InputFaults([_fault(*place, exc.wrong, exc.instead)]) from exc

    def _at(self, exc: BaseException, path: str, wrong: str, instead: str) -> Fault:
        """Return the fault at the innermost line of a template that the error passed through."""
        file, line = f"{self.folder.name}/{path}", 1
        for frame in traceback.extract_tb(exc.__traceback__):
            if Path(frame.filename).is_relative_to(self.folder):
                file, line = self._called(frame.filename), frame.lineno or 1
        return _fault(file, line, wrong, instead)

    def _called(self, file: str) -> str:
        """Return how faults call a template: content/steps/pocket.md."""
        path = Path(file)
        inside = path.relative_to(self.folder) if path.is_relative_to(self.folder) else path
        return f"{self.folder.name}/{inside.as_posix()}"


_MEND = "Mend the line, or compare with a page that works"
_NAMES = "Check the spelling, and compare with a page that works"


@lru_cache(maxsize=4)
def templates(folder: Path) -> Templates:
    """Return the templates of a folder, compiled at most once."""
    return Templates(folder)


@lru_cache(maxsize=512)
def _sentence(environment: jinja2.Environment, text: str) -> jinja2.Template:
    return environment.from_string(text)


def _fault(file: str, line: int, wrong: str, instead: str) -> Fault:
    return Fault(file, line, 1, "", re.sub(r"\s+", " ", wrong), instead)


@jinja2.pass_context
def _mm(context: Context, value: float) -> Markup:
    """A length of the spec as typed."""
    return markup(bold(_words(context).exact(value)))


@jinja2.pass_context
def _depth(context: Context, value: float) -> Markup:
    """A level in words, below the rim."""
    return bold_depth(_words(context).depth(value, "the rim"))


@jinja2.pass_context
def _taped(context: Context, value: float) -> Markup:
    """A length as a tape is read on site."""
    return markup(bold(_words(context).length(value)))


@jinja2.pass_context
def _below_peg(context: Context, value: float) -> Markup:
    """A level in words, below the peg's mark, for the days before the rim is there."""
    return bold_depth(_words(context).depth(value - context["levels"].peg, "the peg"))


def _bare(depth: Markup) -> Markup:
    """A level in a column whose heading says below what; one above it keeps its word."""
    return markup(re.sub(r" below the (rim|peg)$", "", str(depth)))


def _density(value: float) -> Markup:
    return markup(bold(f"{value:,.0f}{SPACE}kg/m³"))


def _code(text: str) -> Markup:
    """A name of ours inside backticks, where an entity would show as itself."""
    if not re.fullmatch(r"[\w.\[\]-]+", text):
        raise PageError(f"{text!r} cannot stand as code", "Print it as text, without backticks")
    return markup(text)


def _address(text: str) -> Markup:
    """An id as part of an address."""
    return markup(re.sub(r"[^A-Za-z0-9_-]+", "-", text))


def _anchor(*parts: str) -> Markup:
    """The fixed id of a heading, at the end of its line."""
    return Markup("{{#{}}}").format(_address("".join(parts)))


def _count(value: int) -> Markup:
    return markup(bold(f"{value:,}"))


def _words(context: Context) -> Words:
    words = context["words"]
    if not isinstance(words, Words):
        raise TypeError("a page is rendered with the words of its region")
    return words
