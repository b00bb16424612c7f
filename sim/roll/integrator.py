"""Dormand-Prince 5(4) for many lanes, each with its own time and step, and its dense output.

Dormand & Prince (1980), J. Comp. Appl. Math. 6, 19-26; the fourth-order interpolant is
Shampine's (1986), Math. Comp. 46, 135-150.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.roll.aero_table import Array

NODES = (0.0, 1 / 5, 3 / 10, 4 / 5, 8 / 9, 1.0, 1.0)
STAGES: tuple[tuple[float, ...], ...] = (
    (),
    (1 / 5,),
    (3 / 40, 9 / 40),
    (44 / 45, -56 / 15, 32 / 9),
    (19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729),
    (9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656),
    (35 / 384, 0.0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84),
)
ERROR = (71 / 57600, 0.0, -71 / 16695, 71 / 1920, -17253 / 339200, 22 / 525, -1 / 40)
DENSE = np.array(
    [
        [1, -8048581381 / 2820520608, 8663915743 / 2820520608, -12715105075 / 11282082432],
        [0, 0, 0, 0],
        [0, 131558114200 / 32700410799, -68118460800 / 10900136933, 87487479700 / 32700410799],
        [0, -1754552775 / 470086768, 14199869525 / 1410260304, -10690763975 / 1880347072],
        [0, 127303824393 / 49829197408, -318862633887 / 49829197408, 701980252875 / 199316789632],
        [0, -282668133 / 205662961, 2019193451 / 616988883, -1453857185 / 822651844],
        [0, 40617522 / 29380423, -110615467 / 29380423, 69997945 / 29380423],
    ]
)

Rates = Callable[[Array, Array, Array], Any]
"""Writes the rates at a time and state into its third argument and returns the forces there."""
LANES_PER_PRODUCT = 16
"""Products are padded to a multiple of this many lanes: then every lane goes through the same
inner loop of the linear-algebra library and its last digits do not depend on its company."""
FEW_LANES = 1024
"""With fewer lanes all states are worked on together, with more one after the other: in reach of
the processor. The digits are the same."""
_NOW = tuple(np.array(row) for row in STAGES)
_ERROR = np.array(ERROR)
_DENSE = np.ascontiguousarray(DENSE.T)


def padded(lanes: int) -> int:
    """Number of lanes a product is made for."""
    return lanes + -lanes % LANES_PER_PRODUCT


@dataclass(frozen=True)
class Step:
    """One step of every lane: start, size, the rates of its stages, end and error."""

    start_time: Array
    size: Array
    start: Array
    stages: Any  # (7, states, lanes) or a list of seven
    end: Array
    error: Array  # (states, lanes), unscaled
    forces_at_end: Any


class _Stages:
    """Rates of all stages in one piece of memory, so that a sum over them is one product."""

    def __init__(self, first: Array) -> None:
        states, self.lanes = first.shape
        self.width = padded(self.lanes)
        self.whole = np.empty((len(NODES), states, self.width))
        self.whole[:, :, self.lanes :] = 0.0
        self.rates = self.whole[:, :, : self.lanes]
        self.rates[0] = first
        self._flat = self.whole.reshape(len(NODES), -1)

    def summed(self, weights: Array, rows: slice, size: Array) -> Array:
        """Sum of the first stages times weights and size, for some states."""
        start, stop, _ = rows.indices(self.whole.shape[1])
        part = self._flat[: weights.size, start * self.width : stop * self.width]
        with np.errstate(invalid="ignore"):  # the error tells afterwards whether it is a number
            total = np.matmul(weights, part).reshape(stop - start, self.width)[:, : self.lanes]
        total *= size
        return np.asarray(total)


def take_step(
    rates: Rates, time: Array, size: Array, y: Array, first: Array, felt: slice = slice(None)
) -> Step:
    """One Dormand-Prince step; `first` is the rate at its start (the last stage of the one before).

    Shapes: time, size (lanes,); y, first (states, lanes). `felt`: the states on which the rates
    depend; the others are only summed up and need no values inside the step.
    """
    stages = _Stages(first)
    inside, everything = y.copy(), slice(None)
    for k in range(1, len(NODES) - 1):
        np.add(stages.summed(_NOW[k], felt, size), y[felt], out=inside[felt])
        rates(time + NODES[k] * size, inside, stages.rates[k])
    end = stages.summed(_NOW[-1], everything, size)
    end += y
    forces = rates(time + size, end, stages.rates[-1])
    error = stages.summed(_ERROR, everything, size)
    return Step(time, size, y, stages.rates, end, error, forces)


def error_norm(step: Step, tolerance: float, scale: Array) -> Array:
    """Largest error over tolerance of each lane; at most one is a good step.

    Not the root mean square: on three wheels half the states stand still, and would dilute it.
    """
    states, lanes = step.error.shape
    at_once = states if lanes < FEW_LANES else 1
    worst = np.zeros(lanes)
    for first in range(0, states, at_once):
        rows = slice(first, first + at_once)
        size = np.abs(step.start[rows])
        np.maximum(size, np.abs(step.end[rows]), out=size)
        size += scale[rows]
        np.divide(step.error[rows], size, out=size)
        np.abs(size, out=size)
        np.maximum(worst, size.max(axis=0) if at_once > 1 else size[0], out=worst)
    worst *= 1.0 / tolerance
    return worst


def next_size(size: Array, error: Array) -> Array:
    """Step size to try after a step with this error: order five, safety 0.9, factor 0.2 to 5."""
    factor = 0.9 * np.maximum(error, 1e-10) ** -0.2
    return np.asarray(size * np.minimum(np.maximum(factor, 0.2), 5.0))


def dense_terms(stages: Any) -> list[Array]:
    """Polynomial of steps: y(s) = y0 + size (s d0 + s^2 d1 + s^3 d2 + s^4 d3), s in 0..1.

    `stages`: rates of their stages, shape (7, states, lanes).
    """
    stages = np.asarray(stages)
    count, states, lanes = stages.shape
    whole = np.zeros((count, states, padded(lanes)))
    whole[:, :, :lanes] = stages
    terms = np.matmul(_DENSE, whole.reshape(count, -1)).reshape(len(_DENSE), states, -1)
    return [term[:, :lanes] for term in terms]


def dense_value(start: Array, size: Any, terms: list[Array], s: Any) -> Array:
    """State within a step at the fraction `s` of it."""
    slope = terms[0] + s * (terms[1] + s * (terms[2] + s * terms[3]))
    return np.asarray(start + size * s * slope)
