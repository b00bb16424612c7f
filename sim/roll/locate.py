"""Finding when, within one step, the first of several guards falls to zero."""

from collections.abc import Callable
from typing import Any

import numpy as np

from sim.roll.aero_table import Array

TIME_TOLERANCE = 1e-12
"""Width of the bracket at which a lane is frozen, as a fraction of the step."""
MOST_ITERATIONS = 80


def first_crossing(
    value: Callable[[Any, Array], Array], lanes: int, end_value: Array, start_value: Any = None
) -> Array:
    """Fraction of the step, in 0..1, just before the smallest fired guard reaches zero.

    `value(which, s)` gives that smallest guard for some lanes at fractions `s` of their steps;
    it is `start_value` (positive) at 0 and `end_value` (not positive) at 1. Inverse quadratic
    interpolation guarded by bisection (Chandrupatla 1997, Adv. Eng. Software 28, 145-149); each
    lane stops moving at its own convergence, whatever its company.
    """
    if start_value is None:
        start_value = value(np.arange(lanes), np.zeros(lanes))
    found = _Bracket(start_value, end_value)
    for _ in range(MOST_ITERATIONS):
        which = np.flatnonzero(found.high - found.low > TIME_TOLERANCE)
        if not which.size:
            break
        s = found.trial(which)
        found.narrow(which, s, value(which, s))
    return found.low


class _Bracket:
    """Where the crossing of each lane lies, and the end each has given up last."""

    def __init__(self, at_low: Array, at_high: Array) -> None:
        self.low, self.high = np.zeros(at_low.size), np.ones(at_low.size)
        self.at_low, self.at_high = np.array(at_low), np.array(at_high)
        self.low_is_new = np.zeros(at_low.size, dtype=bool)
        self.old, self.at_old = np.full(at_low.size, np.nan), np.full(at_low.size, np.nan)

    def trial(self, which: Any) -> Array:
        """Next fractions to look at, at least half a tolerance inside the bracket."""
        low, high, new = self.low[which], self.high[which], self.low_is_new[which]
        at_low, at_high = self.at_low[which], self.at_high[which]
        x = (np.where(new, low, high), np.where(new, high, low), self.old[which])
        f = (np.where(new, at_low, at_high), np.where(new, at_high, at_low), self.at_old[which])
        spare = 0.5 * TIME_TOLERANCE
        trial = x[0] + _share(x, f) * (x[1] - x[0])
        return np.asarray(np.clip(trial, low + spare, high - spare))

    def narrow(self, which: Any, s: Array, found: Array) -> None:
        """Move one end of every bracket to where its value has been found."""
        positive = found > 0.0
        up, down = which[positive], which[~positive]
        self.old[up], self.at_old[up] = self.low[up], self.at_low[up]
        self.old[down], self.at_old[down] = self.high[down], self.at_high[down]
        self.low[up], self.at_low[up] = s[positive], found[positive]
        self.high[down], self.at_high[down] = s[~positive], found[~positive]
        self.low_is_new[up], self.low_is_new[down] = True, False


def _share(x: tuple[Array, ...], f: tuple[Array, ...]) -> Array:
    """Share of the way from the newest end to the opposite one; third is the end given up.

    The inverse quadratic where it is monotone, a straight line at first, else a half.
    """
    first = np.isnan(x[2])
    with np.errstate(divide="ignore", invalid="ignore"):
        place = (x[0] - x[1]) / (x[2] - x[1])
        level = (f[0] - f[1]) / (f[2] - f[1])
        bend = (x[2] - x[0]) / (x[1] - x[0]) * f[0] / (f[2] - f[0]) * f[1] / (f[2] - f[1])
        curved = f[0] / (f[1] - f[0]) * f[2] / (f[1] - f[2]) + bend
        straight = f[0] / (f[0] - f[1])
        monotone = (level**2 < place) & ((1.0 - level) ** 2 < 1.0 - place)
    share = np.where(monotone, curved, np.where(first, straight, 0.5))
    return np.asarray(np.where(np.isfinite(share), share, 0.5))
