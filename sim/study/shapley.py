"""Fair shares of what several changes gain together: exact, over all orders of doing them.

A game is the gain of every combination, shape (2^n,): index bit i set means that change i is in.
Index 0 is the combination with none of them.
"""

from itertools import combinations
from math import factorial

import numpy as np
from numpy.typing import NDArray

from sim.roll.aero_table import Array

MOST_PLAYERS = 16


def players(gains: Array) -> int:
    """Number of changes of a game.

    Raises
    ------
    ValueError
        When its length is no power of two, or above 2^16.

    """
    count = max(len(gains).bit_length() - 1, 0)
    if len(gains) != 1 << count or count > MOST_PLAYERS:
        raise ValueError(f"{len(gains)} combinations are not those of 0 to {MOST_PLAYERS} changes")
    return count


def sizes(count: int) -> NDArray[np.intp]:
    """Number of changes in each combination, shape (2^count,)."""
    masks = np.arange(1 << count)
    return np.asarray(sum((masks >> i & 1 for i in range(count)), np.zeros_like(masks)))


def fair_shares(gains: Array) -> Array:
    """Share of each change: what it adds as it comes, averaged over all orders.

    `phi_i = sum over S without i of |S|! (n - |S| - 1)!/n! [v(S + i) - v(S)]`. Two changes with
    v = 0, 3, 5, 10 (none, first, second, both) get 4 and 6. Source: Shapley, A value for n-person
    games, 1953 (from memory); the only shares that add up to the whole, treat like alike,
    give nothing to who adds nothing, and add over games.

    Parameters
    ----------
    gains
        shape (2^n,), any unit; all finite.

    Returns
    -------
    shape (n,), the unit of the gains; adds up to the gain of all less that of none.

    Raises
    ------
    ValueError
        As `players`.

    """
    count = players(gains)
    weights = np.array(
        [factorial(s) * factorial(count - s - 1) / factorial(count) for s in range(count)]
    )
    masks, size = np.arange(len(gains)), sizes(count)
    shares = np.zeros(count)
    for i in range(count):
        without = masks[masks >> i & 1 == 0]
        added = gains[without | 1 << i] - gains[without]
        shares[i] = float(np.sum(weights[size[without]] * added))
    return shares


def filled(gains: Array) -> Array:
    """Gains in which a combination that cannot be (nan) has that of the best part of it.

    Of changes that exclude each other only some can be done; the best of what fits together is
    what such a wish is worth.

    Parameters
    ----------
    gains
        shape (2^n,), nan where the combination cannot be; that of none is finite.

    """
    count = players(gains)
    full = np.array(gains, dtype=float)
    masks = np.arange(len(full))
    for size in range(1, count + 1):  # parts before wholes
        for mask in masks[(sizes(count) == size) & np.isnan(full)]:
            full[mask] = max(full[mask & ~(1 << i)] for i in range(count) if mask >> i & 1)
    return full


def pair_effects(gains: Array) -> dict[tuple[int, int], float]:
    """What a pair gains beyond the sum of either alone, by (i, j) with i < j.

    `v(ij) - v(i) - v(j) + v(0)`, [unit of the gains]; 0, 3, 5, 10 give 2. nan where the pair, or
    one of it, cannot be.
    """
    count = players(gains)
    return {
        (i, j): float(gains[1 << i | 1 << j] - gains[1 << i] - gains[1 << j] + gains[0])
        for i, j in combinations(range(count), 2)
    }
