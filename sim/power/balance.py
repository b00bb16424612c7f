"""Roots on many lanes at once: where a falling balance crosses zero, the largest such place."""

from collections.abc import Callable

import numpy as np

from sim.roll.aero_table import Array

SCAN = 65
HALVINGS = 52
DOUBLINGS = 40

Function = Callable[[Array], Array]
"""From values, shape (..., k), to a balance of the same shape, each lane for itself."""


def upper_bound(balance: Function, start: Array) -> Array:
    """Grow `start`, shape (k,), by halves until the balance there is not positive.

    Raises
    ------
    ValueError
        When it stays positive however far.

    """
    high = np.array(start, dtype=float)
    for _ in range(DOUBLINGS):
        short = balance(high) > 0.0
        if not np.any(short):
            return high
        high = np.where(short, 1.5 * high, high)
    raise ValueError("nothing the rotor asks for balances what drives it")


def largest_root(balance: Function, high: Array) -> Array:
    """Largest root below `high`, shape (k,), by a scan and then halving to the last digits.

    A balance that only falls has one root; where a stalled propeller makes it fold, the largest
    is the one a motor settles at when it comes down from high speed.

    Raises
    ------
    ValueError
        When the balance is nowhere positive: nothing turns.

    """
    grid = np.linspace(0.0, 1.0, SCAN)[:, None] * high
    grid[0] = 1e-6 * high
    positive = balance(grid) > 0.0
    if not np.all(np.any(positive[:-1], axis=0)):
        raise ValueError("the drive cannot turn the rotor at all")
    last = SCAN - 2 - np.argmax(positive[-2::-1], axis=0)
    lanes = np.arange(len(high))
    low, top = grid[last, lanes], grid[last + 1, lanes]
    for _ in range(HALVINGS):
        middle = 0.5 * (low + top)
        above = balance(middle) > 0.0
        low, top = np.where(above, middle, low), np.where(above, top, middle)
    return np.asarray(0.5 * (low + top))


def first_zero(curve: Function, end: float, rounds: int = 6) -> float:
    """First argument in 0..end at which a curve that starts positive is no longer so; else end."""
    low, high = 0.0, end
    for k in range(rounds):
        grid = np.linspace(low, high, SCAN)
        down = np.flatnonzero(curve(grid) <= 0.0)
        if not len(down):
            return end if k == 0 else high
        i = max(int(down[0]), 1)
        low, high = float(grid[i - 1]), float(grid[i])
    return high
