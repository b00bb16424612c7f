"""Where a condition begins and ends to hold along a key, read off rolls that are close enough."""

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sim.roll.aero_table import Array
from sim.study.condition import Clause, Condition
from sim.study.outcome_columns import VERDICT
from sim.study.samples import Samples

SMOOTH = 1e-3
"""An edge is a crossing if the quantity differs across it by less than this share of its limit
(or of all its values, where that is more)."""

CROSSES, JUMPS, END = "crosses", "jumps", "end of the range"


@dataclass(frozen=True)
class Edge:
    """Where a condition begins or ends to hold.

    Attributes
    ----------
    value: of the key, on the side where it holds [SI].
    kind: the quantity "crosses" its limit, the outcome "jumps", or it holds up to the "end of the
        range" and nobody looked beyond.
    clause: which part of the condition decides; None at the end of the range.
    slope: change of its quantity per unit of the key [SI], nan where it is not known.
    inside, outside: verdicts either side, "" beyond the range.
    width: of the bracket [SI].

    """

    value: float
    kind: str
    clause: Clause | None = None
    slope: float = float("nan")
    inside: str = ""
    outside: str = ""
    width: float = 0.0


@dataclass(frozen=True)
class Interval:
    """Values between two edges, all of which meet the condition."""

    low: Edge
    high: Edge


@dataclass(frozen=True)
class Closest:
    """Where a condition came nearest to holding: value of the key, the quantity there [SI]."""

    value: float
    quantity: float
    verdict: str


@dataclass(frozen=True)
class Found:
    """The answer for one condition.

    Attributes
    ----------
    condition: that is to hold.
    intervals: where it does, rising; none if nowhere.
    closest: where it came nearest, if it holds nowhere and is about one number.
    each: whether each clause holds anywhere, by itself.

    """

    condition: Condition
    intervals: tuple[Interval, ...]
    closest: Closest | None = None
    each: tuple[bool, ...] = ()

    def everywhere(self) -> bool:
        """Whether it holds throughout the range."""
        one = self.intervals[0] if len(self.intervals) == 1 else None
        return one is not None and one.low.kind == one.high.kind == END


Bracket = tuple[float, float]
"""Neighbouring places between which a condition changes [SI]."""


def is_number_met(clause: Clause) -> bool:
    """Whether a clause asks for a number to be met exactly: that happens between two rolls."""
    return clause.sign == "==" and clause.name != VERDICT


def clause_states(clause: Clause, samples: Samples) -> NDArray[np.bool_]:
    """Whether a clause holds at each place; for a number to be met, whether it lies at or below."""
    if is_number_met(clause):
        return np.asarray(clause.margin(samples.rows) <= 0.0)
    return clause.holds(samples.rows)


def states(condition: Condition, samples: Samples) -> NDArray[np.bool_]:
    """Whether every clause is in that state, shape (n,)."""
    every = [clause_states(clause, samples) for clause in condition.clauses]
    return np.asarray(np.logical_and.reduce(every), dtype=bool)


def brackets(condition: Condition, samples: Samples) -> list[Bracket]:
    """Every pair of neighbours between which the condition changes, rising."""
    holds = states(condition, samples)
    changes = np.flatnonzero(holds[1:] != holds[:-1])
    return [(float(samples.x[i]), float(samples.x[i + 1])) for i in changes]


def deciding(condition: Condition, samples: Samples, low: int) -> Clause:
    """The first clause that changes between the place `low` and its neighbour above."""
    for clause in condition.clauses:
        holds = clause_states(clause, samples)
        if holds[low] != holds[low + 1]:
            return clause
    raise ValueError(f"nothing changes in {condition.text!r} above place {low}")


def answer(condition: Condition, samples: Samples, whole: bool = False) -> Found:
    """The intervals in which a condition holds, as far as the samples tell.

    Parameters
    ----------
    condition
        looked for.
    samples
        its brackets closed in on.
    whole
        the key takes whole numbers only: then neighbours differ by one.

    """
    holds = states(condition, samples)
    edges = [
        _edge(condition, samples, int(i), whole) for i in np.flatnonzero(holds[1:] != holds[:-1])
    ]
    each = tuple(bool(clause_states(c, samples).any()) for c in condition.clauses)
    if is_number_met(condition.clauses[0]):
        met = tuple(Interval(edge, edge) for edge in edges if edge.kind == CROSSES)
        return Found(condition, met, None if met else _closest(condition, samples), each)
    if holds[0]:
        edges.insert(0, _range_end(samples, 0))
    if holds[-1]:
        edges.append(_range_end(samples, -1))
    found = tuple(Interval(low, high) for low, high in pairwise(edges))[::2]
    return Found(condition, found, None if found else _closest(condition, samples), each)


def _range_end(samples: Samples, place: int) -> Edge:
    inside = samples.rows.verdict(place if place >= 0 else len(samples.x) - 1)
    return Edge(float(samples.x[place]), END, inside=inside)


def _edge(condition: Condition, samples: Samples, low: int, whole: bool) -> Edge:
    """The edge between a place and its neighbour above."""
    clause = deciding(condition, samples, low)
    rises = bool(states(condition, samples)[low + 1])
    inside, outside = (low + 1, low) if rises else (low, low + 1)
    margin = clause.margin(samples.rows)
    here, there = float(margin[inside]), float(margin[outside])
    value, width = float(samples.x[inside]), float(samples.x[low + 1] - samples.x[low])
    smooth = np.isfinite(here) and np.isfinite(there)
    if smooth and not whole:
        known = margin[np.isfinite(margin)]
        smooth = abs(here - there) <= SMOOTH * max(abs(clause.limit), float(np.ptp(known)))
    if smooth and not whole and here != there:
        share = min(max(here / (here - there), 0.0), 1.0)
        value += share * (float(samples.x[outside]) - value)
    edge = Edge(
        value, CROSSES if smooth else JUMPS, clause, float("nan"),
        samples.rows.verdict(inside), samples.rows.verdict(outside), width,
    )  # fmt: skip
    return replace(edge, slope=_slope(samples, margin, inside, outside, bool(smooth)))


def _slope(samples: Samples, margin: Array, inside: int, outside: int, smooth: bool) -> float:
    """Change of the quantity per unit of the key [SI].

    Over the edge where it crosses, else on the side where the condition holds.
    """
    step = inside - outside
    far_in, far_out = inside + step, outside - step
    last = len(samples.x) - 1
    if not 0 <= far_in <= last:
        far_in = inside
    other = far_out if smooth and 0 <= far_out <= last else outside if smooth else inside
    run = samples.x[far_in] - samples.x[other]
    return float((margin[far_in] - margin[other]) / run) if run != 0.0 else float("nan")


def _closest(condition: Condition, samples: Samples) -> Closest | None:
    """The place where a single number comes nearest to its limit."""
    margin = condition.margin(samples.rows)
    if not np.isfinite(margin).any():
        return None
    best = int(np.nanargmin(np.abs(margin)))
    quantity = float(margin[best]) + condition.clauses[0].limit
    return Closest(float(samples.x[best]), quantity, samples.rows.verdict(best))
