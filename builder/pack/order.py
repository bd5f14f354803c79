"""What a pack is asked for, and what came of it: places, the order of issues, the guide's address."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

from builder.checks import Results

SITE = "guide"  # the site's folder in an issue
MANIFEST, NUMBERS, INDEX = "manifest.json", "numbers.json", "index.html"


@dataclass(frozen=True)
class Order:
    """Where one job's issue goes.

    out, issued: the folders for what is sent and for the record of it. base_url: where `out` is
    published, without a slash at its end, or None. waiting: called once with a sentence where another
    pack of the same job must be waited for.
    """

    worked: Results
    out: Path
    issued: Path
    base_url: str | None = None
    waiting: Callable[[str], None] = lambda sentence: None

    @property
    def ref(self) -> str:
        """The job's reference."""
        return self.worked.job.spec.ref

    @property
    def issue(self) -> str:
        """The issue's letter or letters."""
        return self.worked.job.spec.issue

    @property
    def name(self) -> str:
        """What the zip and the folder in it are called."""
        return f"{self.ref}-{self.issue}"

    @property
    def link_folder(self) -> Path:
        """The folder of all issues of the job, under its link."""
        return self.out / str(self.worked.job.spec.link)

    @property
    def folder(self) -> Path:
        """Where the issue goes."""
        return self.link_folder / self.issue

    @property
    def record_folder(self) -> Path:
        """Where the record of the issue goes."""
        return self.issued / self.ref / self.issue

    @property
    def address(self) -> str | None:
        """The address of this issue's site, a folder; None where nobody said where it is published."""
        if self.base_url is None:
            return None
        return f"{self.base_url}/{self.worked.job.spec.link}/{self.issue}/{SITE}/"


@dataclass(frozen=True)
class Packed:
    """An issue that stands: its folder, how many files are in it, the bytes of its zip.

    done: packed, unchanged or mended. Mended: a part of it was missing, as a run that broke off leaves
    it, and was put back with the same bytes.
    """

    folder: Path
    done: str
    files: int
    zip_size: int


def place_of(issue: str) -> tuple[int, str]:
    """Return the place of an issue among others: A to Z, then AA to ZZ."""
    return len(issue), issue


def base_url_fault(text: str) -> str | None:
    """Say what is wrong with the address the packs are published at, and what to write; None where sound."""
    parts = urlsplit(text)
    if parts.scheme != "https" or not parts.hostname:
        return f"{text!r} is no https address. Write it like https://guides.example"
    if parts.query or parts.fragment or parts.username or any(ord(sign) <= 32 for sign in text):
        return f"{text!r} has more than a host and a folder. Write it like https://guides.example/send"
    return None
