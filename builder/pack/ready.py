"""Whether a job may go out at all: its link, its day, its issue, and who answers for each stop."""

from __future__ import annotations

from collections.abc import Iterator

from builder.errors import Fault
from builder.job.fresh import link as fresh_link
from builder.pack.order import Order, place_of
from builder.pack.record import records


def faults_of(order: Order) -> list[Fault]:
    """Return what the spec must say before it can be packed."""
    job, spec = order.worked.job, order.worked.job.spec
    faults = []
    if spec.link is None:
        wrong = "this job has no link, and what is sent stands under it"
        faults.append(job.fault(("link",), wrong, f"Write `link: {fresh_link()}`, drawn just now"))
    if spec.issued is None:
        wrong = "this issue has no day, and its guide and zip bear it"
        faults.append(job.fault(("issued",), wrong, "Write it, year first, such as `issued: 2026-11-25`"))
    for one in records(order.issued):
        if one.ref != spec.ref and one.link == spec.link:
            wrong = f"{one.ref} has this link already"
            faults.append(job.fault(("link",), wrong, f"Write `link: {fresh_link()}`, drawn just now"))
            break
    own = sorted(records(order.issued, spec.ref), key=lambda one: place_of(one.issue))
    if own and spec.link is not None and own[-1].link != spec.link:
        wrong = f"issue {own[-1].issue} went out under another link, and people have that one"
        instead = f"Write `link: {own[-1].link}`, or give the job a new reference if that link must die"
        faults.append(job.fault(("link",), wrong, instead))
    if (
        own
        and spec.issue not in {one.issue for one in own}
        and place_of(own[-1].issue) > place_of(spec.issue)
    ):
        wrong = f"issue {own[-1].issue} went out already"
        faults.append(job.fault(("issue",), wrong, f"Write `issue: {after(own[-1].issue)}`"))
    return faults


def stop_lines(order: Order) -> Iterator[Fault]:
    """Yield one fault for each stop that nobody answers for, with what to write."""
    job = order.worked.job
    for number in order.worked.open_stops:
        entry = f"{{check: {number.key}, by: a role, reason: why the work may go on}}"
        wrong = f"{number.key} is a stop: {number.reason or number.words}"
        yield job.fault(("accepted",), wrong, f"Mend the job, or write `- {entry}` under accepted:")


def after(issue: str) -> str:
    """Return the issue that comes after one: B after A, AA after Z."""
    head, last = issue[:-1], issue[-1]
    if last != "Z":
        return head + chr(ord(last) + 1)
    return after(head) + "A" if head else "AA"
