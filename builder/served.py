"""The process that `serve` shows guides by: a small server for this machine alone.

It reads what the building process tells it through a pipe and never builds. Guides are shown as built,
with one thing more in each page: a script that loads the page again once a newer guide stands, and where
a spec has faults the lines that say so. When the pipe closes, the process ends.
"""

from __future__ import annotations

import html
import os
import signal
import threading
import time
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, field
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import parse_qs, quote, unquote, urlsplit

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

HOST = "127.0.0.1"
NAMES = (HOST, "localhost")
HELD = 20.0  # s an answer waits for something to change
CHANGED = b'window.dispatchEvent(new Event("changed"));'  # what reload.js listens for
WAIT = 60.0  # s a page waits for the first build of its guide
RELOAD = Path(__file__).resolve().parents[1] / "shared" / "serve" / "reload.js"
POLICY = (
    "default-src 'none'; base-uri 'none'; form-action 'none'; img-src data:; font-src data:; "
    "style-src 'self'; script-src 'self'"
)
TYPES = {
    ".html": "text/html; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".pdf": "application/pdf",
    ".svg": "image/svg+xml",
}


@dataclass(frozen=True)
class Shown:
    """What is shown of one job: its name in addresses, its file, a line, its guide if any, its faults."""

    slug: str
    file: str
    line: str = ""
    root: str | None = None
    faults: tuple[str, ...] = ()
    version: int = 0


@dataclass
class Board:
    """What the building process told last; whoever waits is woken when it tells more."""

    pipe: Connection
    stylesheet: str
    begun: int = field(default_factory=time.time_ns)  # pages of an earlier server are out of date
    jobs: dict[str, Shown] = field(default_factory=dict)
    news: threading.Condition = field(default_factory=threading.Condition)

    def listen(self) -> None:
        """Take what is told until the pipe closes, then end the process."""
        try:
            while True:
                self.take(self.pipe.recv())
        except (EOFError, OSError):
            os._exit(0)

    def take(self, told: Iterable[Shown]) -> None:
        """Take what is shown from now on."""
        with self.news:
            self.jobs = {shown.slug: shown for shown in told}
            self.news.notify_all()

    def stamp(self, slug: str) -> str:
        """Return what changes with every build of a job; without a job, with any build and any new job."""
        if (shown := self.jobs.get(slug)) is not None:
            return f"{self.begun}.{shown.version}"
        return f"{self.begun}.{len(self.jobs)}.{sum(one.version for one in self.jobs.values())}"

    def wait(self, slug: str, stamp: str, seconds: float) -> bool:
        """Wait until a job has another stamp; return whether it has."""
        with self.news:
            return self.news.wait_for(lambda: self.stamp(slug) != stamp, seconds)

    def built(self, slug: str) -> Shown | None:
        """Return a job once it was built or told to be at fault; None where there is no such job."""
        with self.news:
            shown = self.jobs.get(slug)
            if shown is not None and not shown.version:
                self.pipe.send(slug)
                self.news.wait_for(lambda: slug not in self.jobs or bool(self.jobs[slug].version), WAIT)
            return self.jobs.get(slug)


def run(pipe: Connection, port: int, stylesheet: str) -> None:
    """Serve until the pipe closes; the first word into it is the port, or why there is none."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C reaches both processes; the other ends this one
    board = Board(pipe, stylesheet)
    try:
        server = Server((HOST, port), board)
    except OSError as error:
        pipe.send(error.strerror or str(error))
        return
    pipe.send(server.server_address[1])
    board.take(pipe.recv())
    threading.Thread(target=board.listen, daemon=True).start()
    server.serve_forever()


class Server(ThreadingHTTPServer):
    """A server with a thread a request, which know the board."""

    daemon_threads = True

    def __init__(self, address: tuple[str, int], board: Board) -> None:
        """Take the address; raises OSError where another has it."""
        self.board = board
        super().__init__(address, Answer)

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Say nothing of a browser that went away."""


class Answer(BaseHTTPRequestHandler):
    """Answers one request."""

    server: Server
    protocol_version = "HTTP/1.1"

    def do_GET(self) -> None:
        """Answer with a page, a file, a script, or not at all."""
        if self.headers.get("Host", "").rpartition(":")[0] not in NAMES:
            return self.answer(b"", "text/plain", HTTPStatus.FORBIDDEN)  # another name leads here: not ours
        board, asked = self.server.board, urlsplit(self.path)
        first, _, rest = unquote(asked.path).lstrip("/").partition("/")
        if asked.path == "/reload.js":
            return self.answer(RELOAD.read_bytes(), TYPES[".js"])
        if asked.path == "/guide.css":
            return self.answer(board.stylesheet.encode(), TYPES[".css"])
        if asked.path == "/changed.js":
            return self.changed(parse_qs(asked.query))
        if not first:
            return self.home()
        shown = board.built(first)
        if shown is None:
            return self.missing("There is no such job.")
        if rest in ("", "index.html") and (not asked.path.endswith("/index.html")):
            return self.send_to(f"/{quote(first)}/index.html")
        return self.file(shown, rest)

    def changed(self, query: dict[str, list[str]]) -> None:
        """Answer once a job was built anew, or after a while that it was not."""
        slug, stamp = query.get("job", [""])[0], query.get("stamp", [""])[0]
        newer = self.server.board.wait(slug, stamp, HELD)
        self.answer(CHANGED if newer else b"", TYPES[".js"])

    def home(self) -> None:
        """Answer with the list of jobs, or lead to the only one."""
        jobs = self.server.board.jobs
        if len(jobs) == 1:
            return self.send_to(f"/{quote(next(iter(jobs)))}/index.html")
        rows = "".join(
            f'<li><a href="/{quote(one.slug)}/index.html">{html.escape(one.line or one.file)}</a>'
            f"<br>{html.escape(one.file)}: {_state(one)}</li>"
            for one in jobs.values()
        )
        self.answer(self.page("Jobs", f"<ul>{rows}</ul>"), TYPES[".html"])

    def file(self, shown: Shown, name: str) -> None:
        """Answer with a file of a guide; its pages get the script, and the faults where there are some."""
        if shown.root is None:
            body = self.page(shown.line or shown.file, faults_box(shown), shown)
            return self.answer(body, TYPES[".html"], HTTPStatus.SERVICE_UNAVAILABLE)
        root, content = Path(shown.root).resolve(), None
        with suppress(OSError, ValueError):  # no such file, or no name a file can have
            path = (root / name).resolve()
            content = path.read_bytes() if path.is_relative_to(root) else None
        if content is None:
            return self.missing("This guide has no such page.", shown)
        if path.suffix == ".html":
            content = self.with_script(content, shown)
        self.answer(content, TYPES.get(path.suffix, "application/octet-stream"))

    def with_script(self, content: bytes, shown: Shown) -> bytes:
        """Return a page with the script that loads it again, and with the faults of its spec."""
        content = content.replace(b"</head>", self.script(shown).encode() + b"</head>", 1)
        mark = b'<main id="_main">'
        return content.replace(mark, mark + faults_box(shown).encode(), 1) if shown.faults else content

    def script(self, shown: Shown | None = None) -> str:
        """Return the element that asks whether a job, or any job, was built anew since."""
        board = self.server.board
        stamp = board.stamp("") if shown is None else f"{board.begun}.{shown.version}"
        ask = f"job={quote(shown.slug if shown else '')}&stamp={stamp}"
        return f'<script src="/reload.js" data-ask="{html.escape(ask)}"></script>\n'

    def page(self, title: str, body: str, shown: Shown | None = None) -> bytes:
        """Return a page of our own."""
        title = html.escape(title)
        return (
            '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
            f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">'
            '<meta name="viewport" content="width=device-width, initial-scale=1">'
            f'<title>{title}</title><link rel="stylesheet" href="/guide.css">{self.script(shown)}</head>'
            f'<body><div class="frame"><main id="_main"><h1>{title}</h1>{body}</main></div></body></html>\n'
        ).encode()

    def missing(self, words: str, shown: Shown | None = None) -> None:
        """Answer that something is not there."""
        back = "/" if shown is None else f"/{quote(shown.slug)}/index.html"
        body = self.page("Not found", f'<p>{words} <a href="{back}">Back</a></p>', shown)
        self.answer(body, TYPES[".html"], HTTPStatus.NOT_FOUND)

    def send_to(self, address: str) -> None:
        """Answer that the page is elsewhere here."""
        self.answer(b"", "text/plain", HTTPStatus.FOUND, address)

    def answer(
        self, content: bytes, kind: str, status: HTTPStatus = HTTPStatus.OK, address: str | None = None
    ) -> None:
        """Send an answer that nobody keeps."""
        self.send_response(status)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(content)))
        self.send_header("Cache-Control", "no-store")
        self.send_header("X-Content-Type-Options", "nosniff")
        self.send_header("Cross-Origin-Resource-Policy", "same-origin")  # no other site shows or runs it
        if address is not None:
            self.send_header("Location", address)
        self.end_headers()
        self.wfile.write(content)

    def log_message(self, format: str, *args: Any) -> None:
        """Say nothing of each request."""


def faults_box(shown: Shown) -> str:
    """Return the faults as a box of the guide's look."""
    older = "What follows is the last guide that was built." if shown.root else "No guide is built yet."
    rows = "".join(f"<li>{html.escape(fault)}</li>" for fault in shown.faults)
    return (
        '<div class="admonition need"><p class="admonition-title">Mend these first</p>'
        f"<ul>{rows}</ul><p>{older}</p></div>"
    )


def _state(shown: Shown) -> str:
    if not shown.version:
        return "built when it is opened"
    return f"{len(shown.faults)} to mend" if shown.faults else "built"
