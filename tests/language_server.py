"""The spec's JSON Schema tried with a real language server for YAML, spoken to over stdio.

Not part of the test suite, for it needs Node and the open-source `yaml-language-server`:

    npm install --prefix out/language-server yaml-language-server
    python tests/language_server.py out/language-server/node_modules/.bin/yaml-language-server

It opens a sound spec, one with five faults, and half-written ones; it prints what the server reports,
completes and says on hover, and exits 1 where that is not what an author needs.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

PROJECT = Path(__file__).resolve().parents[1]
JOBS = PROJECT / "jobs"
FAULTY = """# yaml-language-server: $schema=../shared/job.schema.json
ref: QR 0412
title: Quandong Rise
region: nsw
shell: tern-74
ground:
  soil: stiff-clay
  groundwater: 1.9
  tidle: no
backfill: {lift: 150 kg}
"""
FIVE = {2: "ref", 4: "region", 8: "groundwater", 9: "tidle", 10: "lift"}
BEGUN = """# yaml-language-server: $schema=../shared/job.schema.json
ref: A-1
title: 1:2
issued: 2026-11-25
region: {region}
shell: {known}
ground:
  soil: sand
  groundwater: 1.9 m
  tidal: no
backfill:
  {backfill}
"""


class Server:
    """A language server over stdio: requests answered, diagnostics gathered."""

    def __init__(self, command: list[str]) -> None:
        self.process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE)
        self.number = 0
        self.reports: dict[str, list[dict[str, Any]]] = {}

    def send(self, message: dict[str, Any]) -> None:
        body = json.dumps({"jsonrpc": "2.0", **message}).encode()
        assert self.process.stdin is not None
        self.process.stdin.write(b"Content-Length: %d\r\n\r\n%b" % (len(body), body))
        self.process.stdin.flush()

    def receive(self) -> dict[str, Any]:
        """Return the next message, having answered what the server asks."""
        assert self.process.stdout is not None
        length = 0
        while (line := self.process.stdout.readline().strip()) != b"":
            name, _, value = line.partition(b":")
            length = int(value) if name.lower() == b"content-length" else length
        message: dict[str, Any] = json.loads(self.process.stdout.read(length))
        if message.get("method") == "textDocument/publishDiagnostics":
            self.reports[message["params"]["uri"]] = message["params"]["diagnostics"]
        elif "method" in message and "id" in message:
            self.send({"id": message["id"], "result": self.answer(message)})
        return message

    def answer(self, message: dict[str, Any]) -> Any:
        if message["method"] != "workspace/configuration":
            return None
        asked = {
            "yaml": {"validate": True, "hover": True, "completion": True, "schemaStore": {"enable": False}}
        }
        return [asked.get(item.get("section"), {}) for item in message["params"]["items"]]

    def ask(self, method: str, params: dict[str, Any]) -> Any:
        self.number += 1
        number = self.number
        self.send({"id": number, "method": method, "params": params})
        while True:
            message = self.receive()
            if message.get("id") == number and "method" not in message:
                if "error" in message:
                    raise RuntimeError(message["error"])
                return message["result"]

    def open(self, name: str, text: str) -> str:
        """Open a text as a file of the jobs folder; return its address."""
        uri = (JOBS / name).as_uri()
        document = {"uri": uri, "languageId": "yaml", "version": 1, "text": text}
        self.send({"method": "textDocument/didOpen", "params": {"textDocument": document}})
        return uri

    def faults(self, uri: str) -> list[dict[str, Any]]:
        """Return what the server reports of a file."""
        until = time.monotonic() + 30
        while uri not in self.reports and time.monotonic() < until:
            self.receive()
        return self.reports[uri]

    def completed(self, uri: str, line: int, column: int) -> list[dict[str, Any]]:
        params = {"textDocument": {"uri": uri}, "position": {"line": line - 1, "character": column}}
        items: list[dict[str, Any]] = self.ask("textDocument/completion", params)["items"]
        return items

    def hover(self, uri: str, line: int, column: int) -> str:
        params = {"textDocument": {"uri": uri}, "position": {"line": line - 1, "character": column}}
        found = self.ask("textDocument/hover", params)
        return "" if found is None else str(found["contents"]["value"])

    def end(self) -> None:
        self.ask("shutdown", {})
        self.send({"method": "exit"})
        self.process.wait(10)


def main(command: str) -> int:
    """Try everything; return how many things are not as they should be, at most 1."""
    server = Server([command, "--stdio"])
    wrong: list[str] = []

    def hold(true: object, what: str) -> None:
        print(f"  {'ok' if true else 'WRONG'}: {what}")  # noqa: T201 a report
        if not true:
            wrong.append(what)

    can = {"textDocument": {"publishDiagnostics": {}}, "workspace": {"configuration": True}}
    server.ask("initialize", {"processId": None, "rootUri": PROJECT.as_uri(), "capabilities": can})
    server.send({"method": "initialized", "params": {}})
    _sound(server, hold)
    _faulty(server, hold)
    _completion(server, hold)
    server.end()
    print(f"{len(wrong)} wrong")  # noqa: T201
    return 1 if wrong else 0


def _sound(server: Server, hold: Callable[[object, str], None]) -> None:
    for path in [*sorted(JOBS.glob("*.yml")), PROJECT / "tests" / "job" / "full.yml"]:
        text = path.read_text(encoding="utf-8")
        head = "" if path.parent == JOBS else FAULTY.splitlines()[0] + "\n"
        told = server.faults(server.open(path.name, head + text))
        hold(not told, f"{path.name} is reported without a fault {[one['message'] for one in told]}")
    lookalikes = BEGUN.format(region="nz", known="tern-74", backfill="lift: 150 mm")
    told = server.faults(server.open("lookalikes.yml", lookalikes))
    hold(not told, f"1:2, no and a day are no faults {[one['message'] for one in told]}")


def _faulty(server: Server, hold: Callable[[object, str], None]) -> None:
    told = server.faults(server.open("faulty.yml", FAULTY))
    for one in told:
        start = one["range"]["start"]
        print(f"    {start['line'] + 1}:{start['character'] + 1}: {one['message']}")  # noqa: T201
    lines = {one["range"]["start"]["line"] + 1 for one in told}
    for line, what in FIVE.items():
        hold(line in lines, f"the fault of {what} is reported")
    hold(lines == set(FIVE), "nothing else is reported")
    told = server.faults(server.open("bare.yml", FAULTY.replace("150 kg", "150")))
    said = [one["message"] for one in told if one["range"]["start"]["line"] == 9]
    print(f"    a bare number: {said}")  # noqa: T201
    hold(any("150 mm" in message for message in said), "a bare number is answered with what to write")


def _completion(server: Server, hold: Callable[[object, str], None]) -> None:
    uri = server.open("keys.yml", BEGUN.format(region="nz", known="tern-74", backfill="l"))
    server.faults(uri)
    items = server.completed(uri, 12, 3)
    labels = [item["label"] for item in items]
    print(f"    under backfill: {labels}")  # noqa: T201
    hold({"lift", "material", "working_gap"} <= set(labels), "the keys of backfill are offered")
    lift = next((item for item in items if item["label"] == "lift"), {})
    hold("150 mm" in json.dumps(lift), "the key comes with its default")
    uri = server.open("shells.yml", BEGUN.format(region="nz", known="", backfill="lift: 150 mm"))
    server.faults(uri)
    labels = [item["label"] for item in server.completed(uri, 6, 7)]
    print(f"    at shell: {labels}")  # noqa: T201
    hold({"tern-74", "quail-60", "wren-36"} <= set(labels), "the shells of the catalogue are offered")
    uri = server.open("regions.yml", BEGUN.format(region="", known="tern-74", backfill="lift: 150 mm"))
    server.faults(uri)
    labels = [item["label"] for item in server.completed(uri, 5, 8)]
    print(f"    at region: {labels}")  # noqa: T201
    hold("au-nsw" in labels, "the regions are offered")
    uri = server.open("top.yml", BEGUN.format(region="nz", known="tern-74", backfill="lift: 150 mm") + "st")
    server.faults(uri)
    labels = [item["label"] for item in server.completed(uri, 13, 2)]
    print(f"    at the margin: {labels}")  # noqa: T201
    hold({"standpipe", "sump"} <= set(labels), "the groups that are not there yet are offered")
    uri = server.open("hover.yml", BEGUN.format(region="nz", known="tern-74", backfill="lift: 150 mm"))
    server.faults(uri)
    said = server.hover(uri, 12, 4)
    print(f"    over lift: {said!r}")  # noqa: T201
    hold(
        "50 mm to 600 mm" in said and "engineer" in said,
        "what may be written, and who may change it, is said",
    )


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1]))
