"""One job on its way through the rooms: spec, levels, numbers, figures and pages, website."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from builder import checks, job, levels
from builder.catalogue import Catalogue, nearest
from builder.checks import Results
from builder.errors import InputFaults

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.process import BaseProcess

    from builder.figures import Drawn
    from builder.pack import Order, Packed
    from builder.pack.send import Documents


def results(path: Path, catalogue: Catalogue | None = None) -> Results:
    """Return every number of the job in the spec file at `path`; raises InputFaults.

    Whoever answers for a stop names it by the key of a number; a key that no number has is a fault.
    """
    worked = checks.work(levels.place(job.read(path, catalogue)))
    faults = []
    for at, entry in enumerate(worked.job.spec.accepted):
        if entry.check not in worked:
            near = nearest(entry.check, list(worked)) or "a key that `check` prints in brackets"
            wrong = f"no number of this job is called {entry.check}"
            faults.append(worked.job.fault(("accepted", at, "check"), wrong, f"Write {near}"))
    if faults:
        raise InputFaults(faults)
    return worked


def guide(worked: Results, out: Path) -> Path:
    """Build the guide of a worked job as the folder `out` and return its first page.

    Raises InputFaults where a page is wrong and CannotWrite where the folder cannot be written.
    The figures are drawn by a second process while this one renders pages and builds the site.
    """
    drawing = Drawing(worked)
    try:
        from builder import pages, website

        return website.build(pages.render(worked), drawing, out, drawing.papers)
    finally:
        drawing.close()


def pack(order: Order, prints: Documents | None = None) -> Packed:
    """Pack the issue of a worked job and return what stands then.

    prints: what makes the printed documents, where it is not the project's own. Raises InputFaults where
    the spec must say more or a page is wrong, CannotWrite where a folder cannot be written.
    """
    from builder import pack as room

    if faults := room.faults_of(order):
        raise InputFaults(faults)
    if (packed := room.standing(order)) is not None:
        return packed
    drawing = Drawing(order.worked)
    try:
        return room.send(order, drawing, drawing.papers, prints or _printed())
    finally:
        drawing.close()


def _printed() -> Documents:
    from builder.pack.print import documents

    found: Documents = documents
    return found


class Drawing(Mapping[str, "Drawn"]):
    """The figures of a job by name, drawn by a process of their own; looking one up waits for it.

    One guide is quickest where only that process loads the drawing library. From the second on this
    process loads it too, once, and every further one has it from its start.
    """

    _begun = False

    def __init__(self, worked: Results) -> None:
        """Start drawing, in a fork where the system has one, else when first asked."""
        import multiprocessing  # late: only a guide is drawn
        import signal

        self._worked = worked
        self._made: tuple[dict[str, Drawn], dict[str, bytes]] | None = None
        self._process: BaseProcess | None = None
        alone = multiprocessing.parent_process() is None  # else every core has a job of its own already
        if alone and "fork" in multiprocessing.get_all_start_methods():
            if Drawing._begun:
                from builder.figures import draw, true_size  # noqa: F401  loaded here, every fork has them
            Drawing._begun = True
            context = multiprocessing.get_context("fork")
            self._ours, theirs = context.Pipe(duplex=False)
            self._process = context.Process(target=_draw_and_send, args=(worked, theirs), daemon=True)
            # Held back until the fork ignores Ctrl-C: before that it would end with a traceback.
            held = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
            try:
                self._process.start()
            finally:
                signal.pthread_sigmask(signal.SIG_SETMASK, held)
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

    def papers(self) -> Mapping[str, bytes]:
        """Return the sheets that are true to size: PDFs by where each stands in the guide's folder."""
        return self._both()[1]

    def _all(self) -> dict[str, Drawn]:
        return self._both()[0]

    def _both(self) -> tuple[dict[str, Drawn], dict[str, bytes]]:
        if self._made is None:
            self._made = _drawn(self._worked) if self._process is None else self._received()
        return self._made

    def _received(self) -> tuple[dict[str, Drawn], dict[str, bytes]]:
        try:
            sent = self._ours.recv()
        except EOFError:
            raise RuntimeError("the drawing process ended without its figures") from None
        if isinstance(sent, str):
            raise RuntimeError(f"a figure could not be drawn:\n{sent}")
        drawn, papers = sent
        return dict(drawn), dict(papers)


def _drawn(worked: Results) -> tuple[dict[str, Drawn], dict[str, bytes]]:
    from builder import figures

    drawn = {name: figures.draw(name, worked.levels, worked) for name in figures.NAMES}
    papers = figures.papers_of(worked.job.region.units)
    return drawn, {figures.path_of(name): figures.true_size(worked.levels, worked, name) for name in papers}


def _draw_and_send(worked: Results, theirs: Connection) -> None:
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C reaches both processes; ours ends this one
    try:
        theirs.send(_drawn(worked))
    except Exception:
        import traceback

        theirs.send(traceback.format_exc())
    finally:
        theirs.close()
