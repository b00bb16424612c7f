"""Who answers for the aerodynamics of many variants: solved lattices, or a surrogate through some.

A lattice solution takes about 40 ms, everything else of a variant a hundredth of that. What
depends on the lattice alone is small: the table, and where wing and tail carry lift by incidence.
Few distinct geometries are all solved. For many, these numbers are interpolated over the keys that
move them.
"""

from functools import partial

import numpy as np

from sim.aeroplane.build import AeroBuild, Solved, assembled, build_aeroplane
from sim.aeroplane.drag import Stream
from sim.aeroplane.geometry import Aeroplane
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


def prepared_with(scenario: Scenario, solved: Solved | None) -> Prepared:
    """A scenario made ready, its lattice numbers given; solved as usual when they are None.

    Raises
    ------
    ScenarioError, ValueError
        As `sim.prepare.prepare`.

    """
    return prepare(scenario) if solved is None else prepare(scenario, partial(assembled, solved))


def solved_of(scenario: Scenario) -> Solved | None:
    """Lattice numbers of a scenario; None when its coefficients are given.

    Raises
    ------
    ScenarioError, ValueError
        As `sim.prepare.prepare`.

    """
    builds: list[AeroBuild] = []

    def overheard(aeroplane: Aeroplane, stream: Stream) -> AeroBuild:
        builds.append(build_aeroplane(aeroplane, stream))
        return builds[-1]

    prepare(scenario, overheard)
    if not builds:
        return None
    build = builds[0]
    return Solved(build.table, build.wing_centre_station, build.tail_centre_station)
