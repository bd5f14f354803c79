"""A fresh job spec: every key in reading order, with what is given, or its default commented out.

The text is read back like any author's, so a spec with its required values is whole from the start.
Nothing that stands is ever written over.
"""

from __future__ import annotations

import os
import secrets
from contextlib import suppress
from pathlib import Path

from builder.catalogue import Catalogue
from builder.errors import CannotWrite
from builder.job.fresh_lines import Given, Writer

SCHEMA = Path(__file__).resolve().parents[2] / "shared" / "job.schema.json"
LETTERS = "abcdefghijklmnopqrstuvwxyz234567"  # base32 of RFC 4648, in small letters
LINK = 26  # letters of five bits each: 130 bits nobody guesses
HEAD = """\
# Fill in the lines that say *required*, then run `check` on this file. Every size has its unit: 75 mm.
# A line that begins with `# ` shows its default, or an example where it has none; to change it take the
# `# ` off, and off the line of its group. `## ` is another way to write what stands above it: keep one.
# Who has to agree to a change, where it is not the author alone, stands in brackets.
"""


def link() -> str:
    """Return a link that nobody guesses: drawn, never derived from a job."""
    return "".join(secrets.choice(LETTERS) for _ in range(LINK))


def text(given: Given, catalogue: Catalogue, path: Path) -> str:
    """Return the spec that is to stand at `path`, with a fresh link unless one is given.

    given: what is filled in, by dotted path: text, or lists and mappings of text. Raises InputFaults where
    the catalogue is at fault.
    """
    filled = {"link": link(), **given}
    lines = [f"# yaml-language-server: $schema={_way_to_schema(path)}", *HEAD.splitlines(), ""]
    lines += (line.said for line in Writer(filled, catalogue).spec())
    return "\n".join(lines) + "\n"


def put(path: Path, content: str) -> None:
    """Write a file that is not there yet, whole or not at all; raises CannotWrite."""
    beside = path.with_name(f".{path.name}.{secrets.token_hex(8)}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            with beside.open("x", encoding="utf-8", newline="\n") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            _name(beside, path)
        finally:
            with suppress(OSError):
                beside.unlink()
    except FileExistsError:
        raise CannotWrite(path, "a file stands there already", "Choose another name") from None
    except OSError as error:
        why = error.strerror or str(error)
        raise CannotWrite(path, why, "Free the place, or choose another") from error


def _name(beside: Path, path: Path) -> None:
    """Give a file its name unless another has it; where a disk has no links, look first."""
    try:
        os.link(beside, path)
    except FileExistsError:
        raise
    except OSError:
        if path.exists() or path.is_symlink():
            raise FileExistsError(path) from None
        os.rename(beside, path)


def _way_to_schema(path: Path) -> str:
    try:
        way = os.path.relpath(SCHEMA, path.absolute().parent)
    except ValueError:  # another drive
        return SCHEMA.as_uri()
    return Path(way).as_posix()
