"""Whether an issue was made from the very same inputs, so that making it again would give the same bytes.

What was made from what is kept in the project's .cache folder, and nowhere else: where it is lost, the
issue is made again and compared.
"""

from __future__ import annotations

import hashlib
from contextlib import suppress
from pathlib import Path

from builder.pack import record
from builder.pack.order import MANIFEST, Order
from builder.website.unchanged import PROJECT, project_digest

KEPT = PROJECT / ".cache" / "packed"


def known(order: Order) -> bool:
    """Whether the last pack of this issue to this place was made from what it would be made from now."""
    try:
        return _place(order).read_text(encoding="ascii") == _digest(order)
    except (OSError, ValueError):
        return False


def remember(order: Order) -> None:
    """Keep what the issue just packed was made from; where it can't be kept, keep nothing."""
    place = _place(order)
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text(_digest(order), encoding="ascii")
    except OSError:
        with suppress(OSError):
            place.unlink()


def _place(order: Order) -> Path:
    where = f"{order.folder.absolute()}\n{order.record_folder.absolute()}"
    return KEPT / hashlib.sha256(where.encode()).hexdigest()[:32]


def _digest(order: Order) -> str:
    digest = hashlib.sha256(project_digest())
    digest.update(Path(order.worked.job.file).read_bytes())
    digest.update(f"\0{order.base_url}\0".encode())
    last = record.before(order.issued, order.ref, order.issue)
    if last is not None:
        digest.update((last.folder / MANIFEST).read_bytes())
    return digest.hexdigest()
