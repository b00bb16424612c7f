"""When the oracle declares its own roll grazing: written down before any comparison.

A grazing roll is one whose list of events may differ between two correct implementations
because a decision hangs on less than their numerical error (about 1e-8). Criteria, all on the
oracle's own solution:

1. Two decisions (contact lost or made, V zero, pull, drop, abort, law, strip end, screen height,
   steady end) closer than 1e-4 s, unless one of the two is a contact made (settling chatter).
2. A guard that came near zero without crossing it (parabola through three accepted steps):
   load 1e-4 of the weight, gap 1e-5 m, V 1e-3 m/s, airspeed trigger 1e-3 m/s, perceived pitch
   1e-4 rad, screen height 1e-3 m, upset 1e-3 rad, at rest 1e-3 m/s2, steadiness 5e-4.
3. A guard that crossed zero too flat for its time to be sharp: load 0.002 weights/s, place and V
   0.01 m/s or m/s2, airspeed 0.01 m/s2, perceived pitch 1e-3 rad/s, screen height 0.01 m/s.
4. A choice of contacts decided by less than 1e-6 weights (1e-6 g for a point left out), an
   impulse or speed after an impact by less than 1e-6 m/s; energy rising in an impact.
5. An approach speed between 0.9e-4 and 1.1e-4 m/s (1e-4 stops without rebound); more than 20
   contacts made.
6. At V = 0 the accelerations forward or backward within 1e-3 m/s2 of zero; at the start a nose
   load within 1e-4 weights of zero or an aft gap within 1e-5 m.
7. Steady end with the strip end less than 0.5 s ahead, an airspeed trigger within 0.02 m/s, or a
   nose load under 1e-3 weights; the 90 s limit with a trigger or the strip end within 0.1 s; wheels
   down again after screen height.
"""

import itertools

import numpy as np

CLOSE_TIME = 1e-4
NEAR = {
    "release": 1e-4,
    "arrive": 1e-5,
    "zero": 1e-3,
    "loose": 1e-3,
    "airspeed": 1e-3,
    "law": 1e-4,
    "screen": 1e-3,
    "upset": 1e-3,
    "steady": 5e-4,
}
FLAT = {"release": 2e-3, "place": 1e-2, "zero": 1e-2, "airspeed": 1e-2, "law": 1e-3, "screen": 1e-2}
CHOICE = 1e-6
AFTER_IMPACT = 1e-6
APPROACH = (0.9e-4, 1.1e-4)
MANY_ARRIVALS = 20
SURGE = 1e-3
START_LOAD, START_GAP = 1e-4, 1e-5
STEADY_TIME, STEADY_SPEED, STEADY_LOAD = 0.5, 0.02, 1e-3
LIMIT_TIME = 0.1


def near_miss(times: np.ndarray, values: np.ndarray) -> float:
    """Smallest value at an interior minimum while positive, by parabolas; inf if there is none.

    Parameters
    ----------
    times, values: shape (n,); values are positive while the guard is armed.
    """
    t0, t1, t2 = times[:-2], times[1:-1], times[2:]
    v0, v1, v2 = values[:-2], values[1:-1], values[2:]
    dips = (v1 > 0.0) & (v1 < v0) & (v1 <= v2)
    if not np.any(dips):
        return float("inf")
    left, right = (v1 - v0) / (t1 - t0), (v2 - v1) / (t2 - t1)
    bend = (right - left) / (t2 - t0)
    slope = left + bend * (t1 - t0)
    with np.errstate(divide="ignore", invalid="ignore"):
        bottom = np.where(bend > 0.0, v1 - slope**2 / (4.0 * bend), v1)
    return float(np.min(bottom[dips]))


def close_decisions(decisions: list[tuple[float, str]]) -> list[str]:
    """Criterion 1 over (time, kind), sorted by time."""
    out = []
    for (t0, a), (t1, b) in itertools.pairwise(decisions):
        if t1 - t0 < CLOSE_TIME and "arrive" not in (a, b):
            out.append(f"{a} and {b} within {t1 - t0:.1e} s at {t1:.4f} s")
    return out
