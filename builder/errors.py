"""Every fault we report.

    ShellbedError
    ├── InputFaults    the reader's files are wrong: a list of Fault, exit 2
    ├── CannotWrite    something could not be written, exit 3
    └── FormulaError   a printed formula does not parse or evaluate: a defect of ours

A fault a user can cause is one line, `file:line:column: path: what is wrong. What to write
instead.`, and all faults of a file are reported together.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


class ShellbedError(Exception):
    """Root of everything the command line prints without a traceback."""


@dataclass(frozen=True, order=True)
class Fault:
    """One thing that is wrong in a file, and what to write instead.

    line and column count from 1; path is the dotted path of the key, empty for the whole file.
    """

    file: str
    line: int
    column: int
    path: str
    wrong: str
    instead: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}:{self.column}: "
        subject = f"{self.path}: " if self.path else ""
        return f"{place}{subject}{_sentence(self.wrong)} {_sentence(self.instead)}"


class InputFaults(ShellbedError):
    """The faults of one or more files, in reading order."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        """Sort and keep the faults; the message is one line a fault."""
        self.faults = tuple(sorted(set(faults)))
        super().__init__("\n".join(str(fault) for fault in self.faults))


class CannotWrite(ShellbedError):
    """A file or folder could not be written."""

    def __init__(
        self, path: object, why: str, instead: str = "Free the place, or name another with --out"
    ) -> None:
        """Keep the place and the system's reason; instead: what to do."""
        self.path = str(path)
        self.why = why
        super().__init__(f"{self.path}: could not be written: {why}. {_sentence(instead)}")


class FormulaError(ShellbedError):
    """A printed formula that the evaluator cannot read or work out."""


def _sentence(text: str) -> str:
    return text if text.endswith((".", "!", "?")) else f"{text}."
