"""Which keys move the lattice, and who answers for it in a study."""

from contextlib import suppress
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from sim.aeroplane.build import Solved, solve
from sim.aeroplane.geometry import Aeroplane
from sim.aeroplane.panels import strip_counts
from sim.prepare.prepared import Prepared
from sim.roll.aero_table import Array
from sim.roll.result import simulate_many
from sim.scenario import ScenarioError
from sim.study.evidence import Evidence
from sim.study.lattices import (
    ByGeometry,
    flat,
    prepared_with,
    solved_of,
    strips_of,
    unflat,
)
from sim.study.surrogate import Surrogate, beside, degrees, nodes, on_a_grid, through
from sim.study.variants import Base, variant

MOST_SOLVED = 64
"""Distinct geometries up to which each is solved: a second or so."""
CHECKS = 6
"""Variants rolled both ways to measure what a surrogate does to the result."""
LARGEST_ERROR = 0.0002
"""Change of a distance by the surrogate, over the distance, from which it is not used [-]."""
BETWEEN_NODES = 4
"""Other variants whose lattice numbers tell whether the nodes are close enough together."""
SMOOTH = 1e-3
"""Error of lattice numbers at the check points, over the largest, up to which nodes are close
enough together [-]: distances are then right to a few parts in 100,000."""
BETWEEN = 0.37
"""A third place between the ends of a key, where equal ends are looked at again."""


@dataclass(frozen=True)
class Lattices:
    """How the lattice numbers of variants are found.

    Attributes
    ----------
    columns: indices of the knobs that move the lattice.
    solved: by their values, where each geometry was solved.
    surrogates: where they are interpolated, by the strips of the lattice: numbers step a little
        where a width calls for one strip more, and are smooth with the same strips.
    solutions: lattice solutions these go through.
    error: largest change of a distance at the check points, of it [-] and in metres.

    """

    columns: tuple[int, ...] = ()
    solved: dict[tuple[float, ...], Solved] = field(default_factory=dict)
    surrogates: dict[tuple[int, ...], Surrogate] = field(default_factory=dict)
    solutions: int = 0
    error: tuple[float, float] | None = None

    def at(self, row: Array) -> Solved | ByGeometry | None:
        """Numbers for a row of knob values; None: solve the variant itself."""
        place = row[list(self.columns)]
        if self.surrogates:
            return partial(self._by_strips, place)
        return self.solved.get(tuple(float(value) for value in place))

    def _by_strips(self, place: Array, aeroplane: Aeroplane) -> Solved:
        surrogate = self.surrogates.get(strip_counts(aeroplane))
        return solve(aeroplane) if surrogate is None else unflat(surrogate.at(place))

    @property
    def each_solved(self) -> bool:
        """Whether every variant needs a lattice solution of its own."""
        return bool(self.columns) and not self.surrogates and not self.solved

    def words(self) -> str:
        """How the geometry of the variants was worked out, one sentence; "" when it is one."""
        if self.surrogates and self.error is not None:
            keys = f"{len(self.columns)} key{'s' if len(self.columns) > 1 else ''}"
            return (
                f"lattice numbers interpolated over {keys} through"
                f" {self.solutions} solutions; at {CHECKS} of the variants solved themselves no"
                f" distance differs by more than {1e3 * self.error[1]:.1f} mm"
                f" ({100.0 * self.error[0]:.2g} %)"
            )
        if len(self.solved) > 1:
            return f"lattice solved for each of {len(self.solved)} geometries"
        return "lattice solved for each variant" if self.columns else ""


def lattices_for(base: Base, values: Array) -> Lattices:
    """Find the knobs that move the lattice and decide how its numbers are found.

    The decision rests on all values of a study, never on a part of them, so that results do not
    depend on how the work is cut up.

    Parameters
    ----------
    base
        from `sim.study.variants.base_for`.
    values
        all rows of the study, shape (n, knobs) [SI].

    """
    usable = _usable(base, values)
    here = solved_of(base.scenario)
    if here is None or not len(usable):
        return Lattices()
    columns = tuple(i for i in range(len(base.knobs)) if _moves(base, usable, i, here))
    if not columns:
        return Lattices(solved={(): here})
    places = np.unique(usable[:, list(columns)], axis=0)
    if len(places) <= MOST_SOLVED:
        found = _solve(base, columns, places)
        return Lattices(columns, {tuple(map(float, p)): s for p, s in found if s is not None})
    return _interpolated(base, columns, usable, places, here)


def _usable(base: Base, values: Array) -> Array:
    low = np.array([knob.low for knob in base.knobs])
    high = np.array([knob.high for knob in base.knobs])
    return np.asarray(values[((values >= low) & (values <= high)).all(axis=1)])


def _solve(
    base: Base,
    columns: tuple[int, ...],
    places: Array,
    strips: tuple[int, ...] | None = None,
) -> list[tuple[Array, Solved | None]]:
    """Solutions at places, the other knobs as in the base; None where it is refused."""
    found: list[tuple[Array, Solved | None]] = []
    for place in places:
        row = base.row.copy()
        row[list(columns)] = place
        found.append((place, _try(base, row, strips)))
    return found


def _try(base: Base, row: Array, strips: tuple[int, ...] | None = None) -> Solved | None:
    try:
        return solved_of(variant(base, row), strips)
    except (ScenarioError, ValueError, ArithmeticError):
        return None


def _moves(base: Base, values: Array, index: int, here: Solved) -> bool:
    """Whether a knob moves the lattice numbers between the ends of its values.

    Where nothing can be said, it is taken to.
    """
    low, high = float(values[:, index].min()), float(values[:, index].max())
    if low == high or base.knobs[index].form not in ("number", "whole"):
        return False
    for value in (low, high, low + BETWEEN * (high - low)):
        if base.knobs[index].form == "whole" and value != int(value):
            continue
        row = base.row.copy()
        row[index] = value
        there = _try(base, row)
        if there is None or not np.array_equal(flat(there), flat(here)):
            return True
    return False


def _interpolated(
    base: Base, columns: tuple[int, ...], values: Array, places: Array, here: Solved
) -> Lattices:
    """Surrogates, or each variant solved where that is cheaper or they are not good enough."""
    between = values[_check_rows(len(values), BETWEEN_NODES)][:, list(columns)]
    surrogates: dict[tuple[int, ...], Surrogate] = {}
    solutions, known = 0, None
    for strips in _strips_met(base, values, here):
        if known is not None and on_a_grid(len(columns)):
            fitted, count = _alongside(base, columns, known, strips)
        else:
            fitted, count = _fitted(base, columns, places, between, strips)
        if fitted is None:
            return Lattices(columns)
        surrogates[strips], known = fitted, known or fitted
        solutions += count
    if not surrogates or solutions >= len(places):
        return Lattices(columns)
    tried = Lattices(columns, surrogates=surrogates, solutions=solutions)
    error = surrogate_error(base, tried, values)
    if error is None or error[0] > LARGEST_ERROR:
        return Lattices(columns)
    return replace(tried, error=error)


def _strips_met(base: Base, values: Array, here: Solved) -> list[tuple[int, ...]]:
    """Strips of the lattices of some of the variants; of a kind not met each is solved."""
    found = set()
    for index in _check_rows(len(values), min(len(values), MOST_SOLVED)):
        with suppress(ScenarioError, ValueError, ArithmeticError):
            found.add(strips_of(variant(base, values[index]), here))
    return sorted(found)


def _fitted(
    base: Base,
    columns: tuple[int, ...],
    places: Array,
    checks: Array,
    strips: tuple[int, ...],
) -> tuple[Surrogate | None, int]:
    """Numbers with the same strips all over the box, through as few nodes as will do; how many."""
    low, high = places.min(axis=0), places.max(axis=0)
    there = _numbers(base, columns, checks, strips)
    fitted, count = None, 0
    for degree in degrees(len(columns)):
        where = nodes(low, high, degree)
        if len(where) >= len(places) or there is None:
            break
        numbers = _numbers(base, columns, where, strips)
        if numbers is None:
            return None, 0
        fitted, count = through(low, high, where, numbers, degree), len(where)
        if _apart(fitted, checks, there) < SMOOTH:
            break
    return fitted, count


def _alongside(
    base: Base, columns: tuple[int, ...], known: Surrogate, strips: tuple[int, ...]
) -> tuple[Surrogate | None, int]:
    """Numbers with other strips, from those known and the corners alone; how many these are.

    They differ by some 0.3 % at most, and what differs hardly bends.
    """
    corners = nodes(known.low, known.high, 1)
    numbers = _numbers(base, columns, corners, strips)
    return (None if numbers is None else beside(known, corners, numbers)), len(corners)


def _numbers(
    base: Base, columns: tuple[int, ...], places: Array, strips: tuple[int, ...]
) -> Array | None:
    """Lattice numbers at places, shape (places, numbers); None if there are none at one of them."""
    solutions = [solved for _, solved in _solve(base, columns, places, strips)]
    found = [flat(solved) for solved in solutions if solved is not None]
    return np.array(found) if len(found) == len(places) else None


def _apart(surrogate: Surrogate, places: Array, numbers: Array) -> float:
    """Largest error of the numbers over the largest of their kind, of all places [-]."""
    found = np.array([surrogate.at(place) for place in places])
    return float(np.max(np.abs(found - numbers)) / np.max(np.abs(numbers)))


def _check_rows(count: int, checks: int) -> NDArray[np.intp]:
    """Rows of a study that are looked at more closely, evenly taken."""
    return np.linspace(0, count - 1, checks + 2).astype(np.intp)[1:-1]


def surrogate_error(
    base: Base, lattices: Lattices, values: Array, checks: int = CHECKS
) -> tuple[float, float] | None:
    """Largest change of a distance by a surrogate, relative [-] and [m], over some of the rows.

    Each is rolled with its own solution and with the surrogate. Compared are the places of
    lift-off and of the nose wheel's leaving where both have them, else where the rolls end.
    Verdicts may differ: a hair decides at a border. None when no row can be prepared.
    """
    pairs: list[tuple[Prepared, Prepared]] = []
    for index in _check_rows(len(values), checks):
        try:
            scenario = variant(base, values[index])
            pairs.append(
                (prepared_with(scenario, None), prepared_with(scenario, lattices.at(values[index])))
            )
        except (ScenarioError, ValueError, ArithmeticError):
            continue
    if not pairs:
        return None
    many = simulate_many([prepared.setup for pair in pairs for prepared in pair])
    evidence = Evidence(many, np.full(many.batch.lanes, np.nan))
    names = ("lift-off.distance", "nose-wheel-off.distance", "end_distance_m")
    places = np.array([evidence.column(name) for name in names]).reshape(3, len(pairs), 2)
    ends = places[2:]
    places = np.where(np.isfinite(places[:2]).any(axis=0), places[:2], ends)
    apart = np.abs(places[..., 0] - places[..., 1])
    known = np.isfinite(apart)
    if not known.any():
        return None
    share = apart / np.maximum(np.abs(places[..., 0]), 1.0)
    return float(np.max(share[known])), float(np.max(apart[known]))
