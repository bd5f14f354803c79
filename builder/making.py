"""One job on its way through the rooms: spec, levels, numbers, figures and pages, website."""

from __future__ import annotations

import multiprocessing
import traceback
from collections.abc import Iterator, Mapping
from multiprocessing.connection import Connection
from pathlib import Path
from typing import TYPE_CHECKING

from builder import checks, job, levels
from builder.catalogue import Catalogue
from builder.checks import Results

if TYPE_CHECKING:
    from builder.figures import Drawn


def results(path: Path, catalogue: Catalogue | None = None) -> Results:
    """Return every number of the job in the spec file at `path`; raises InputFaults."""
    return checks.work(levels.place(job.read(path, catalogue)))


def guide(worked: Results, out: Path) -> Path:
    """Build the guide of a worked job as the folder `out` and return its first page.

    Raises InputFaults where a page is wrong and CannotWrite where the folder cannot be written.
    The figures are drawn by a second process while this one renders pages and builds the site.
    """
    drawing = Drawing(worked)
    try:
        from builder import pages, website

        return website.build(pages.render(worked), drawing, out)
    finally:
        drawing.close()


class Drawing(Mapping[str, "Drawn"]):
    """The figures of a job by name, drawn by a process of their own; looking one up waits for it."""

    def __init__(self, worked: Results) -> None:
        """Start drawing, in a fork where the system has one, else when first asked."""
        self._worked = worked
        self._drawn: dict[str, Drawn] | None = None
        self._process: multiprocessing.process.BaseProcess | None = None
        if "fork" in multiprocessing.get_all_start_methods():
            context = multiprocessing.get_context("fork")
            self._ours, theirs = context.Pipe(duplex=False)
            self._process = context.Process(target=_draw_and_send, args=(worked, theirs), daemon=True)
            self._process.start()
            theirs.close()

    def close(self) -> None:
        """End the drawing process, whether or not its figures were wanted."""
        if self._process is not None:
            self._ours.close()
            self._process.terminate()
            self._process.join()
            self._process = None

    def __getitem__(self, name: str) -> Drawn:
        """Return one figure."""
        return self._all()[name]

    def __iter__(self) -> Iterator[str]:
        """Iterate over the figures' names."""
        return iter(self._all())

    def __len__(self) -> int:
        """Return how many figures there are."""
        return len(self._all())

    def _all(self) -> dict[str, Drawn]:
        if self._drawn is None:
            self._drawn = _drawn(self._worked) if self._process is None else self._received()
        return self._drawn

    def _received(self) -> dict[str, Drawn]:
        try:
            sent = self._ours.recv()
        except EOFError:
            raise RuntimeError("the drawing process ended without its figures") from None
        if isinstance(sent, str):
            raise RuntimeError(f"a figure could not be drawn:\n{sent}")
        return dict(sent)


def _drawn(worked: Results) -> dict[str, Drawn]:
    from builder import figures

    return {name: figures.draw(name, worked.levels, worked) for name in figures.NAMES}


def _draw_and_send(worked: Results, theirs: Connection) -> None:
    try:
        theirs.send(_drawn(worked))
    except Exception:
        theirs.send(traceback.format_exc())
    finally:
        theirs.close()
