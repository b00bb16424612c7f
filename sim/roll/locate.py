"""Finding when, within one step, the first of several guards falls to zero."""

from collections.abc import Callable
from typing import Any

import numpy as np

from sim.roll.aero_table import Array

TIME_TOLERANCE = 1e-12
"""Width of the bracket at which a lane is frozen, as a fraction of the step."""
MOST_ITERATIONS = 80


def first_crossing(value: Callable[[Any, Array], Array], lanes: int, end_value: Array) -> Array:
    """Fraction of the step, in 0..1, just before the smallest fired guard reaches zero.

    `value(which, s)` gives that smallest guard for some lanes at fractions `s` of their steps;
    it is positive at 0 and `end_value` (not positive) at 1. Illinois regula falsi guarded by
    bisection; each lane stops moving at its own convergence, whatever its company.
    """
    low, high = np.zeros(lanes), np.ones(lanes)
    at_low, at_high = value(np.arange(lanes), low.copy()), end_value.copy()
    side = np.zeros(lanes, dtype=int)
    for iteration in range(MOST_ITERATIONS):
        which = np.flatnonzero(high - low > TIME_TOLERANCE)
        if not which.size:
            break
        s = _trial(low[which], high[which], at_low[which], at_high[which], iteration)
        found = value(which, s)
        positive = found > 0.0
        up, down = which[positive], which[~positive]
        low[up], at_low[up] = s[positive], found[positive]
        high[down], at_high[down] = s[~positive], found[~positive]
        at_high[up[side[up] == 1]] *= 0.5
        at_low[down[side[down] == -1]] *= 0.5
        side[up], side[down] = 1, -1
    return low


def _trial(low: Array, high: Array, at_low: Array, at_high: Array, iteration: int) -> Array:
    middle = 0.5 * (low + high)
    if iteration % 4 == 3:
        return middle
    slope = at_low - at_high
    secant = low + (high - low) * at_low / np.where(slope > 0.0, slope, 1.0)
    # step a little past the secant point so that both ends of the bracket move
    width = high - low
    nudged = secant + np.where(iteration % 2 == 0, 1.0, -1.0) * 0.25 * TIME_TOLERANCE
    inside = (slope > 0.0) & (nudged > low + 0.1 * TIME_TOLERANCE) & (nudged < high)
    return np.where(inside & (width > 0.0), nudged, middle)
