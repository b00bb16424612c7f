"""Interpolation of lattice numbers over the keys that move them.

One key or two: three, five or nine Chebyshev nodes along each, every coarser set among the finer.
More: a quadratic with cross terms through the
middle, two places on every axis and two corners (of many keys one) of every pair of keys, by least
squares. Chebyshev polynomials carry all of them: values stay bounded between the nodes.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sim.roll.aero_table import Array

DEGREES = (2, 4, 8)
"""Polynomial degrees along one or two keys, coarse to fine; more keys take a full quadratic."""
MOST_EVEN = 2
"""Keys up to which nodes stand on a grid."""
AXIS, PAIR = 0.87, 0.75
"""Places of the quadratic's nodes, share of the half range; 0.87 is the outer Chebyshev node."""
FULL_PAIRS = 6
"""Keys up to which each pair has two nodes; beyond them one, or solutions would be too many."""


@dataclass(frozen=True)
class Surrogate:
    """A polynomial over a box.

    Attributes
    ----------
    low, high: corners of the box, shape (keys,) [SI].
    degree: along each key.
    powers: degree of each term in each key, shape (terms, keys).
    weights: shape (terms, numbers).

    """

    low: Array
    high: Array
    degree: int
    powers: Array
    weights: Array

    def at(self, place: Array) -> Array:
        """Numbers at one place of the box, shape (keys,) -> (numbers,).

        One place at a time, so that its last digits do not depend on others.
        """
        return np.asarray(_terms(self._inside(place)[None, :], self.powers)[0] @ self.weights)

    def _inside(self, place: Array) -> Array:
        return np.asarray((2.0 * place - self.low - self.high) / (self.high - self.low))


def on_a_grid(keys: int) -> bool:
    """Whether nodes of so many keys stand on a grid."""
    return keys <= MOST_EVEN


def degrees(keys: int) -> tuple[int, ...]:
    """Degrees to try for so many keys, coarse to fine."""
    return DEGREES if on_a_grid(keys) else DEGREES[:1]


def nodes(low: Array, high: Array, degree: int) -> Array:
    """Places to solve at, shape (nodes, keys) [SI], for a box with corners `low` and `high`."""
    share = np.array(_shares(len(low), degree))
    return np.asarray(0.5 * (low + high) + 0.5 * (high - low) * share)


def through(low: Array, high: Array, places: Array, numbers: Array, degree: int) -> Surrogate:
    """The polynomial through (for a quadratic: near) numbers at places.

    Parameters
    ----------
    low, high
        corners of the box, shape (keys,).
    places
        from `nodes`, shape (nodes, keys).
    numbers
        shape (nodes, numbers).
    degree
        as that of the nodes.

    """
    powers = np.array(_powers(len(low), degree))
    scaled = (2.0 * places - low - high) / (high - low)
    weights = np.linalg.lstsq(_terms(scaled, powers), numbers, rcond=None)[0]
    return Surrogate(low, high, degree, powers, np.ascontiguousarray(weights))


def beside(known: Surrogate, places: Array, numbers: Array) -> Surrogate:
    """Another set of numbers that runs alongside a known one: what differs is taken as straight.

    Parameters
    ----------
    known
        over one or two keys.
    places
        the corners of its box, from `nodes` of degree 1.
    numbers
        there, shape (corners, numbers).

    """
    apart = numbers - np.array([known.at(place) for place in places])
    straight = through(known.low, known.high, places, apart, 1)
    rows = [known.powers.tolist().index(row) for row in straight.powers.tolist()]
    weights = known.weights.copy()
    weights[rows] += straight.weights
    return Surrogate(known.low, known.high, known.degree, known.powers, weights)


def _terms(scaled: Array, powers: Array) -> Array:
    """Products of Chebyshev polynomials, shape (places, terms)."""
    angle = np.arccos(np.clip(scaled, -1.0, 1.0))
    return np.asarray(np.prod(np.cos(powers[None, :, :] * angle[:, None, :]), axis=2))


def _powers(keys: int, degree: int) -> Sequence[tuple[int, ...]]:
    """Degrees of every term: all combinations for one or two keys, else up to two in all."""
    if on_a_grid(keys):
        return list(itertools.product(range(degree + 1), repeat=keys))
    terms = [tuple(0 for _ in range(keys))]
    for first in range(keys):
        terms.append(tuple(int(k == first) for k in range(keys)))
    for first, second in itertools.combinations_with_replacement(range(keys), 2):
        terms.append(tuple(int(k == first) + int(k == second) for k in range(keys)))
    return terms


def _shares(keys: int, degree: int) -> Sequence[tuple[float, ...]]:
    """Nodes in shares of the half range; on a grid the extremes of a Chebyshev polynomial."""
    if on_a_grid(keys):
        line = -np.cos(np.pi * np.arange(degree + 1) / degree)
        return list(itertools.product(line, repeat=keys))
    found = [tuple(0.0 for _ in range(keys))]
    for key, side in itertools.product(range(keys), (-AXIS, AXIS)):
        found.append(tuple(side if k == key else 0.0 for k in range(keys)))
    for count, (first, second) in enumerate(itertools.combinations(range(keys), 2)):
        turn = 1.0 if count % 2 else -1.0
        for side in (-PAIR, PAIR) if keys <= FULL_PAIRS else (PAIR * (-1.0) ** (count // 2),):
            place = {first: side, second: side * turn}
            found.append(tuple(place.get(k, 0.0) for k in range(keys)))
    return found
