"""Draws that fill a space evenly, each keyed by seed, place in the sequence and names.

Sobol's sequence (scipy.stats.qmc, direction numbers of Joe and Kuo 2008) with a scramble of our
own per name: a random lower triangular matrix over the binary digits, then a digital shift
(Matousek, J. Complexity 14 (1998) 527, from memory). Point 17 is the same whether it is asked for
alone or among thousands, and in whatever order the names are given.
"""

import warnings
from collections.abc import Sequence
from hashlib import sha256

import numpy as np
from numpy.typing import NDArray
from scipy.stats import qmc

from sim.roll.aero_table import Array

BITS = 30
LONGEST = 1 << BITS
MOST_SEEDS = 2**63


def even_draws(seed: int, names: Sequence[str], first: int, last: int) -> Array:
    """Points `first` up to but without `last` of the sequence of a seed.

    Parameters
    ----------
    seed
        0 to 2^63 - 1.
    names
        one for each dimension, all different.
    first, last
        places in the sequence, 0 to 2^30.

    Returns
    -------
    shape (last - first, len(names)), in the order of the names; above 0, below 1.

    Raises
    ------
    ValueError
        For a seed or places out of range, and names that repeat.

    """
    if not (0 <= first <= last <= LONGEST and 0 <= seed < MOST_SEEDS):
        raise ValueError(f"seed {seed}, draws {first} to {last}: out of range")
    if len(set(names)) != len(names) or not names:
        raise ValueError("each draw wants a name of its own")
    order = sorted(names)
    plain = _plain(len(names), first, last)
    points = np.empty(plain.shape)
    for column, name in enumerate(order):
        digits = _scrambled(plain[:, column], seed, name)
        points[:, names.index(name)] = (digits + 0.5) / LONGEST
    return points


def _plain(dimensions: int, first: int, last: int) -> NDArray[np.int64]:
    """Digits of the unscrambled sequence as whole numbers below 2^30."""
    sequence = qmc.Sobol(dimensions, scramble=False, bits=BITS)
    if first:
        sequence.fast_forward(first)
    if first == last:
        return np.zeros((0, dimensions), dtype=np.int64)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", UserWarning)  # any count will do here
        return np.asarray(sequence.random(last - first) * LONGEST, dtype=np.int64)


def _scrambled(digits: NDArray[np.int64], seed: int, name: str) -> NDArray[np.int64]:
    """Digits turned by the matrix and shift of a name."""
    key = int.from_bytes(sha256(name.encode("utf-8")).digest()[:8], "big")
    random = np.random.Generator(np.random.PCG64(np.random.SeedSequence([seed, key])))
    matrix, shift = random.integers(0, LONGEST, size=BITS), int(random.integers(0, LONGEST))
    out = np.full(digits.shape, shift, dtype=np.int64)
    for place in range(BITS):  # from the highest digit down
        # a row of the triangle: this digit itself and a random choice of those above it
        above = -1 << (BITS - place)
        row = (int(matrix[place]) & above & (LONGEST - 1)) | 1 << (BITS - 1 - place)
        out ^= _parity(digits & row) << (BITS - 1 - place)
    return out


def _parity(words: NDArray[np.int64]) -> NDArray[np.int64]:
    """1 where the number of ones among the binary digits is odd."""
    for step in (16, 8, 4, 2, 1):
        words = words ^ words >> step
    return words & 1
