"""The same job packs to the same bytes on another day, in another place, for another user."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import sys
import zipfile
import zlib
from pathlib import Path

from tests.pack.jobs import LINK, files_of, write

PROJECT = Path(__file__).resolve().parents[2]
LATER = f"""
import datetime, os, platform, runpy, socket, sys, time
os.umask(0o077)
ahead = 400 * 86400
socket.gethostname = platform.node = lambda: "wombathost"
clock, local, utc = time.time, time.localtime, time.gmtime
time.time = lambda: clock() + ahead
time.localtime = lambda s=None: local(time.time() if s is None else s)
time.gmtime = lambda s=None: utc(time.time() if s is None else s)
class Later(datetime.datetime):
    @classmethod
    def now(cls, tz=None):
        return super().now(tz) + datetime.timedelta(seconds=ahead)
    @classmethod
    def utcnow(cls):
        return cls.now()
    @classmethod
    def today(cls):
        return cls.now()
datetime.datetime = Later
sys.argv[0] = {str(PROJECT / "tests" / "pack" / "stand_in.py")!r}
runpy.run_path(sys.argv[0], run_name="__main__")
"""
STRANGE = {
    "TZ": "Pacific/Kiritimati", "USER": "wombatuser", "LOGNAME": "wombatuser", "HOSTNAME": "wombathost",
    "LANG": "C", "LC_ALL": "C", "SOURCE_DATE_EPOCH": "1999999999",
}  # fmt: skip


def packed(folder: Path, *how: str, **environment: str) -> dict[str, bytes]:
    """Pack with a process of its own, in a folder of its own, and return what it wrote."""
    folder.mkdir(parents=True)
    write(folder)
    command = [sys.executable, *how, "pack", "job.yml"]
    done = subprocess.run(
        command, cwd=folder, env={**os.environ, **environment}, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    return files_of(folder / "out") | {f"issued/{k}": v for k, v in files_of(folder / "issued").items()}


def test_two_packs_on_two_days_by_two_users_in_two_places_are_the_same_bytes(tmp_path: Path) -> None:
    home = tmp_path / "wombathome" / "wombatuser"
    one = packed(tmp_path / "here", str(PROJECT / "tests" / "pack" / "stand_in.py"))
    two = packed(home / "deep" / "down", "-c", LATER, HOME=str(home), **STRANGE)
    assert two.keys() == one.keys()
    assert [name for name in one if one[name] != two[name]] == []
    _tells_nothing(two, str(home), "wombat")


def test_a_job_packs_to_the_same_bytes_after_others_as_alone(tmp_path: Path) -> None:
    """Nothing of another job gets in, whatever the process did before."""
    alone = packed(tmp_path / "alone", str(PROJECT / "tests" / "pack" / "stand_in.py"))
    folder = tmp_path / "batch"
    folder.mkdir()
    other = {"ref": "OT-9", "title": "Wobbegong Reach", "link": "b" * 26}
    write(folder, "other.yml", "notes: numbat at the gate\n", **other)
    write(folder)
    command = [
        sys.executable,
        str(PROJECT / "tests" / "pack" / "stand_in.py"),
        "pack",
        "other.yml",
        "job.yml",
    ]
    subprocess.run(command, cwd=folder, capture_output=True, check=True)
    shutil.rmtree(folder / "out" / "send" / ("b" * 26))
    shutil.rmtree(folder / "issued" / "OT-9")
    both = files_of(folder / "out") | {f"issued/{k}": v for k, v in files_of(folder / "issued").items()}
    assert both == alone
    _tells_nothing(both, "OT-9", "Wobbegong", "numbat", "b" * 26)


def _tells_nothing(files: dict[str, bytes], *words: str) -> None:
    """Nowhere in the files, nor in what the zip holds, stands a word, a path of this machine, or today."""
    found = {name: content for name, content in files.items() if not name.endswith(".zip")}
    for name, content in files.items():
        if name.endswith(".pdf"):
            found[name] += b"".join(_inflated(piece) for piece in content.split(b"stream")[1::2])
        if name.endswith(".zip"):
            with zipfile.ZipFile(io.BytesIO(content)) as held:
                found |= {f"{name}/{inside}": held.read(inside) for inside in held.namelist()}
    paths = (str(PROJECT), str(Path(sys.executable).parent), str(Path.home()) + "/")
    for name, content in found.items():
        text = content.decode("latin-1")
        for word in (*words, *(path for path in paths if len(path) > 3)):
            assert word not in text, f"{word} in {name}"
    assert LINK not in "".join(
        text.decode("latin-1") for name, text in found.items() if name.endswith(".html")
    )


def _inflated(stream: bytes) -> bytes:
    try:
        return zlib.decompressobj().decompress(stream.lstrip(b"\r\n"))
    except zlib.error:
        return b""
