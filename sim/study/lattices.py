"""Who answers for the aerodynamics of many variants: solved lattices, or a surrogate through some.

A lattice solution takes about 40 ms, everything else of a variant a hundredth of that. What
depends on the lattice alone is small: the table, and where wing and tail carry lift by incidence.
Few distinct geometries are all solved. For many, these numbers are interpolated over the keys that
move them.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache, partial
from threading import RLock, get_ident

import numpy as np

from sim.aeroplane.build import AeroBuild, build_aeroplane
from sim.aeroplane.drag import Stream, drag_height, drag_parts
from sim.aeroplane.geometry import Aeroplane, Surface
from sim.aeroplane.stall import surface_max_lift, surface_min_lift, tail_max_lift
from sim.prepare import measured, prepare
from sim.prepare.prepared import Prepared
from sim.roll.aero_table import BASIS_TERMS, COLUMNS, TAIL_OWN, AeroTable, Array
from sim.scenario import Scenario

Builder = Callable[[Aeroplane, Stream], AeroBuild]
"""What makes aerodynamics of geometry, as `sim.aeroplane.build.build_aeroplane`."""

_ONE_AT_A_TIME = RLock()

NUMBERS = BASIS_TERMS * COLUMNS + 3
"""Numbers of one lattice solution as a flat row."""


@dataclass(frozen=True)
class Solved:
    """What the lattice alone decides: the table, and stations of lift by incidence [m]."""

    table: AeroTable
    wing_centre: float
    tail_centre: float

    def flat(self) -> Array:
        """All its numbers in a row, shape (NUMBERS,)."""
        rest = [self.table.height_scale, self.wing_centre, self.tail_centre]
        return np.concatenate([self.table.values.ravel(), rest])


def unflat(row: Array) -> Solved:
    """The solution whose numbers stand in a row, shape (NUMBERS,)."""
    values = np.ascontiguousarray(row[: BASIS_TERMS * COLUMNS]).reshape(BASIS_TERMS, COLUMNS)
    scale, wing, tail = (float(value) for value in row[BASIS_TERMS * COLUMNS :])
    return Solved(AeroTable(values, scale), wing, tail)


def assembled(solved: Solved, aeroplane: Aeroplane, stream: Stream) -> AeroBuild:
    """The aerodynamics of an aeroplane whose lattice numbers are known; its notes are left out."""
    wing = aeroplane.wing
    largest, least, tail = _limits(wing, aeroplane.tail.surface)
    parts = drag_parts(aeroplane, stream)
    return AeroBuild(
        table=solved.table,
        reference_area=wing.area,
        reference_chord=wing.mean_chord,
        lift_station=wing.quarter_station,
        lift_height=wing.mean_chord_height,
        drag_station=wing.quarter_station,
        drag_height=drag_height(parts),
        wing_centre_station=solved.wing_centre,
        tail_centre_station=solved.tail_centre,
        tail_lag_length=abs(solved.tail_centre - solved.wing_centre),
        wing_max_lift=largest,
        wing_min_lift=least,
        tail_max_lift=tail,
        drag_parts=parts,
        tail_own_slope=float(solved.table.values[0, TAIL_OWN][1]),
        notes=(),
    )


@lru_cache(maxsize=64)
def _limits(wing: Surface, tail: Surface) -> tuple[float, float, float]:
    """Largest lift of the wing up and down and of the tail, on the wing's area [-]."""
    return surface_max_lift(wing), surface_min_lift(wing), tail_max_lift(tail, wing.area)


def prepared_with(scenario: Scenario, solved: Solved | None) -> Prepared:
    """A scenario made ready, its lattice numbers given; solved as usual when they are None.

    Raises
    ------
    ScenarioError, ValueError
        As `sim.prepare.prepare`.

    """
    if solved is None:
        return prepare(scenario)
    with answering(partial(assembled, solved)):
        return prepare(scenario)


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

    with answering(overheard):
        prepare(scenario)
    if not builds:
        return None
    build = builds[0]
    return Solved(build.table, build.wing_centre_station, build.tail_centre_station)


@contextmanager
def answering(builder: Builder) -> Iterator[None]:
    """While this lasts, `prepare` takes its aerodynamics from `builder`.

    It has no argument for that; the name it looks up is replaced and put back. One thread at a
    time, and whoever prepares in another meanwhile is answered as usual.
    """
    names, owner = vars(measured), get_ident()

    def answer(aeroplane: Aeroplane, stream: Stream) -> AeroBuild:
        own = get_ident() == owner
        return builder(aeroplane, stream) if own else build_aeroplane(aeroplane, stream)

    with _ONE_AT_A_TIME:
        usual = names["build_aeroplane"]
        names["build_aeroplane"] = answer
        try:
            yield
        finally:
            names["build_aeroplane"] = usual
