"""WebKitGTK through its own driver, spoken to as the WebDriver standard says."""

from __future__ import annotations

import json
import os
import subprocess
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from tests.browser import engines

ENTER = "\ue007"  # as WebDriver names keys


class WebKit:
    """One window of a session."""

    def __init__(self, driver: str) -> None:
        """Open a session at the driver's address."""
        self._at = driver
        options = {"binary": str(engines.mini_browser()), "args": ["--automation"]}
        session = self._call(
            "POST", "/session", capabilities={"alwaysMatch": {"webkitgtk:browserOptions": options}}
        )
        self._at = f"{driver}/session/{session['sessionId']}"
        self.version = f"{session['capabilities']['browserName']} {session['capabilities']['browserVersion']}"

    def goto(self, where: Path | str) -> None:
        """Go to a file or an address and wait until it stands."""
        self._call("POST", "/url", url=where.as_uri() if isinstance(where, Path) else where)

    def run(self, script: str, *given: Any) -> Any:
        """Run a script's body in the page and return what it returns."""
        return self._call("POST", "/execute/sync", script=script, args=list(given))

    def click(self, css: str) -> None:
        """Click the first element that fits."""
        self._call("POST", f"/element/{self._find(css)}/click")

    def type(self, css: str, text: str) -> None:
        """Empty a field and type into it."""
        element = self._find(css)
        self._call("POST", f"/element/{element}/clear")
        self._call("POST", f"/element/{element}/value", text=text)

    def wait(self, script: str) -> Any:
        """Return what a script returns as soon as that is something."""
        for _ in range(100):
            if found := self.run(script):
                return found
            time.sleep(0.1)
        raise AssertionError(f"never came: {script}")

    def close(self) -> None:
        """End the session."""
        self._call("DELETE", "")

    def _find(self, css: str) -> str:
        return str(next(iter(self._call("POST", "/element", using="css selector", value=css).values())))

    def _call(self, method: str, path: str, **body: Any) -> Any:
        data = json.dumps(body).encode() if method == "POST" else None
        kind = {"Content-Type": "application/json"}
        asked = urllib.request.Request(self._at + path, data, kind, method=method)  # noqa: S310 - our own driver
        try:
            with urllib.request.urlopen(asked, timeout=60) as answer:  # noqa: S310 - our own driver
                return json.load(answer)["value"]
        except urllib.error.HTTPError as refused:
            with refused:
                raise AssertionError(f"{method} {path}: {refused.read().decode()[:500]}") from None


@contextmanager
def screen() -> Iterator[str]:
    """Give a screen that nobody sees; yield its name."""
    read, write = os.pipe()
    command = [
        engines.program("Xvfb"),
        "-displayfd",
        str(write),
        "-screen",
        "0",
        "1280x900x24",
        "-nolisten",
        "tcp",
    ]
    with subprocess.Popen(command, pass_fds=(write,), stderr=subprocess.DEVNULL) as server:
        os.close(write)
        try:
            with os.fdopen(read) as said:
                yield f":{said.readline().strip()}"
        finally:
            server.terminate()


@contextmanager
def opened(home: Path) -> Iterator[WebKit]:
    """Open a window whose storage and settings live in `home`."""
    driver, _ = engines.program("WebKitWebDriver"), engines.mini_browser()
    with screen() as display:
        environment = os.environ | {
            "DISPLAY": display, "GDK_BACKEND": "x11", "HOME": str(home), "XDG_RUNTIME_DIR": str(home),
            "WEBKIT_DISABLE_DMABUF_RENDERER": "1", "NO_AT_BRIDGE": "1",
        }  # fmt: skip
        for name in ("XDG_DATA_HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME"):
            environment.pop(name, None)
        port = _free_port()
        with subprocess.Popen(
            [driver, f"--port={port}"], env=environment, stderr=subprocess.DEVNULL
        ) as server:
            try:
                _answers(f"http://127.0.0.1:{port}/status")
                window = WebKit(f"http://127.0.0.1:{port}")
                yield window
                window.close()
            finally:
                server.terminate()


def _free_port() -> int:
    import socket

    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def _answers(address: str) -> None:
    for _ in range(100):
        try:
            with urllib.request.urlopen(address, timeout=5):  # noqa: S310 - our own driver
                return
        except OSError:
            time.sleep(0.1)
    raise AssertionError("the driver of WebKitGTK does not answer")
