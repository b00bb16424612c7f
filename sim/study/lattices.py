"""Who answers for the aerodynamics of many variants: solved lattices, or a surrogate through some.

A lattice solution takes about 18 ms, everything else of a variant a hundredth of that. What
depends on the lattice alone is small: the table, and where wing and tail carry lift by incidence.
Few distinct geometries are all solved. For many, these numbers are interpolated over the keys that
move them.
"""

from collections.abc import Callable
from dataclasses import replace
from functools import partial

import numpy as np

from sim.aeroplane.build import AeroBuild, Solved, assembled, build_aeroplane
from sim.aeroplane.drag import Stream
from sim.aeroplane.geometry import Aeroplane
from sim.aeroplane.panels import strip_counts
from sim.prepare import prepare
from sim.prepare.prepared import Prepared
from sim.roll.aero_table import BASIS_TERMS, COLUMNS, AeroTable, Array
from sim.scenario import Scenario

NUMBERS = BASIS_TERMS * COLUMNS + 3
"""Numbers of one lattice solution as a flat row."""


def flat(solved: Solved) -> Array:
    """All numbers of a solution in a row, shape (NUMBERS,)."""
    rest = [solved.table.height_scale, solved.wing_centre, solved.tail_centre]
    return np.concatenate([solved.table.values.ravel(), rest])


def unflat(row: Array) -> Solved:
    """The solution whose numbers stand in a row, shape (NUMBERS,)."""
    values = np.ascontiguousarray(row[: BASIS_TERMS * COLUMNS]).reshape(BASIS_TERMS, COLUMNS)
    scale, wing, tail = (float(value) for value in row[BASIS_TERMS * COLUMNS :])
    return Solved(AeroTable(values, scale), wing, tail)


ByGeometry = Callable[[Aeroplane], Solved]
"""Lattice numbers for the geometry a variant turns out to have."""


def prepared_with(scenario: Scenario, solved: Solved | ByGeometry | None) -> Prepared:
    """A scenario made ready, its lattice numbers given; solved as usual when they are None.

    Raises
    ------
    ScenarioError, ValueError
        As `sim.prepare.prepare`.

    """
    if solved is None:
        return prepare(scenario)
    if isinstance(solved, Solved):
        return prepare(scenario, partial(assembled, solved))
    return prepare(scenario, partial(_assembled, solved))


def _assembled(by: ByGeometry, aeroplane: Aeroplane, stream: Stream) -> AeroBuild:
    return assembled(by(aeroplane), aeroplane, stream)


def solved_of(scenario: Scenario, strips: tuple[int, ...] | None = None) -> Solved | None:
    """Lattice numbers of a scenario; None when its coefficients are given.

    `strips`: of each part of the half span; as the parts are wide when left out.

    Raises
    ------
    ScenarioError, ValueError
        As `sim.prepare.prepare`.

    """
    builds: list[AeroBuild] = []

    def overheard(aeroplane: Aeroplane, stream: Stream) -> AeroBuild:
        builds.append(build_aeroplane(replace(aeroplane, strips=strips), stream))
        return builds[-1]

    prepare(scenario, overheard)
    if not builds:
        return None
    build = builds[0]
    return Solved(build.table, build.wing_centre_station, build.tail_centre_station)


def strips_of(scenario: Scenario, any_numbers: Solved) -> tuple[int, ...]:
    """Strips the lattice of a scenario has; nothing is solved, `any_numbers` stand in.

    Raises
    ------
    ScenarioError, ValueError
        As `sim.prepare.prepare`.

    """
    seen: list[tuple[int, ...]] = []

    def overheard(aeroplane: Aeroplane) -> Solved:
        seen.append(strip_counts(aeroplane))
        return any_numbers

    prepared_with(scenario, overheard)
    return seen[0]
