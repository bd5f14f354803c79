"""A pump on its hose: friction, system head, and the flow at which both curves meet."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from builder.calc.constants import G

VISCOSITY = 1.0034e-6  # m2/s, kinematic, water at 20 C: IAPWS 1.0016 mPa s over 998.2 kg/m3
ROUGHNESS = 1.5e-6  # m, plastic hose (design; common in handbooks)
MINOR = 1.5  # fittings along the hose (design; common practice)
EXIT = 1.0  # the velocity head is lost at the end
LAMINAR = 2300.0  # Reynolds number below which flow is taken as laminar


def friction_factor(reynolds: float, relative_roughness: float) -> float:
    """Return Darcy's friction factor: 64/Re up to Re 2300, beyond it Colebrook's, to 1e-12.

    Raises ValueError for a Reynolds number that is not positive.
    """
    if reynolds <= 0:
        raise ValueError("friction needs a flow")
    if reynolds <= LAMINAR:
        return 64 / reynolds
    inverse_root = 8.0
    for _ in range(100):
        new = -2 * math.log10(relative_roughness / 3.7 + 2.51 * inverse_root / reynolds)
        if abs(new - inverse_root) < 1e-12:
            break
        inverse_root = new
    return 1 / inverse_root**2


def system_head(flow: float, *, static: float, bore: float, length: float) -> float:
    """Return the head in m that a hose of `bore` and `length` (m) asks for at `flow` (m3/s).

    static lift + (f L/D + fittings + exit) v^2/2g, Darcy-Weisbach.
    """
    if flow <= 0:
        return static
    speed = flow / (math.pi / 4 * bore * bore)
    factor = friction_factor(speed * bore / VISCOSITY, ROUGHNESS / bore)
    return static + (factor * length / bore + MINOR + EXIT) * speed * speed / (2 * G)


def pump_head(curve: Sequence[tuple[float, float]], flow: float) -> float:
    """Return the pump's head in m at `flow`, on straight lines between its (flow, head) points.

    Raises ValueError for a flow off the curve.
    """
    for (q0, h0), (q1, h1) in itertools.pairwise(curve):
        if q0 <= flow <= q1:
            return h0 + (h1 - h0) * (flow - q0) / (q1 - q0)
    raise ValueError("the flow is off the pump's curve")


def duty(
    curve: Sequence[tuple[float, float]], *, static: float, bore: float, length: float
) -> tuple[float, float] | None:
    """Return (flow, head) where pump and system curves meet; None where the pump can't lift so high.

    The last point of the curve where the pump still gives more than the hose asks for is the duty
    itself: a pump whose curve ends there runs off its curve, and its end is returned.
    """
    first, last = curve[0][0], curve[-1][0]

    def spare(flow: float) -> float:
        return pump_head(curve, flow) - system_head(flow, static=static, bore=bore, length=length)

    if spare(first) <= 0:
        return None
    if spare(last) >= 0:
        return last, pump_head(curve, last)
    low, high = first, last
    for _ in range(100):
        middle = (low + high) / 2
        if middle in (low, high):  # no number lies between
            break
        if spare(middle) > 0:
            low = middle
        else:
            high = middle
    return low, pump_head(curve, low)
