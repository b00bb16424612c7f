"""One aeroplane, from measured geometry to everything the roll needs of its aerodynamics.

What depends on geometry alone (the lattice) is kept by value: the same aeroplane asked for again,
with another flap or elevator angle, mass, CG, strip, air or pilot, costs nothing.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sim.aeroplane.drag import DragPart, Stream, drag_height, drag_parts, total_drag
from sim.aeroplane.geometry import Aeroplane, Section, Surface
from sim.aeroplane.lattice import Lattice, influence, lift_and_moment, tilt
from sim.aeroplane.panels import strip_counts
from sim.aeroplane.stall import surface_max_lift, surface_min_lift, tail_max_lift
from sim.aeroplane.table import build_table, make_solver
from sim.roll.aero_table import TAIL_OWN, WING_LIFT, AeroTable


@dataclass(frozen=True)
class AeroBuild:
    """The aerodynamics of one aeroplane; stations and heights in the builder's datum.

    Attributes
    ----------
    table: coefficients against height and pitch, both of the lift point and so is turning.
    reference_area, reference_chord: S [m2] and c [m], the wing's, carried through the body.
    lift_station, lift_height: the lift point, quarter point of the wing's mean chord [m].
    drag_station, drag_height: where zero-lift drag acts [m].
    wing_centre_station, tail_centre_station: where lift by incidence acts on each [m].
    tail_lag_length: wing centre to tail centre [m].
    wing_max_lift, wing_min_lift: flaps up, up and down magnitudes on S [-].
    tail_max_lift: either way, on S [-].
    drag_parts: zero-lift drag, flaps up, part by part on S.
    tail_own_slope: tail lift per incidence without downwash, free air, on S [1/rad].
    notes: what lies outside the range of a formula, in plain words.

    """

    table: AeroTable
    reference_area: float
    reference_chord: float
    lift_station: float
    lift_height: float
    drag_station: float
    drag_height: float
    wing_centre_station: float
    tail_centre_station: float
    tail_lag_length: float
    wing_max_lift: float
    wing_min_lift: float
    tail_max_lift: float
    drag_parts: tuple[DragPart, ...]
    tail_own_slope: float
    notes: tuple[str, ...]

    @property
    def zero_lift_drag(self) -> float:
        """CD0 on S, flaps up, gear down [-]."""
        return total_drag(self.drag_parts)


@dataclass(frozen=True)
class Solved:
    """What the lattice alone decides.

    Attributes
    ----------
    table: coefficients against height and pitch of the lift point, turning about it.
    wing_centre, tail_centre: stations where each carries lift by incidence [m].
    raised: a surface would have reached the strip, and was solved a little higher.

    """

    table: AeroTable
    wing_centre: float
    tail_centre: float
    raised: bool = False


def solve(aeroplane: Aeroplane) -> Solved:
    """Lattice part of a build, kept by the value of what the lattice sees of the geometry."""
    return _solve(seen_by_lattice(aeroplane))


@lru_cache(maxsize=256)
def _solve(aeroplane: Aeroplane) -> Solved:
    solver = make_solver(aeroplane)
    wing_centre, tail_centre = lift_centres(solver.lattice)
    ground = solver.stand.ground_attitude
    return Solved(
        table=build_table(solver),
        wing_centre=aeroplane.cg_station + wing_centre,
        tail_centre=aeroplane.cg_station + tail_centre,
        raised=solver.lowest(ground) > solver.stand.lowest_height(ground) + 1e-9,
    )


def lift_centres(lattice: Lattice) -> tuple[float, float]:
    """Aft places from the CG [m] where lift by incidence acts, wing and tail each alone."""
    matrix = influence(tilt(lattice, 0.0), np.inf)
    split = lattice.wing.count
    places = []
    for part, block in ((lattice.wing, np.s_[:split]), (lattice.tail, np.s_[split:])):
        strength = np.asarray(np.linalg.solve(matrix[block, block], -part.angles[:, 1:2]))
        lift, moment = lift_and_moment(lattice, part, strength)
        places.append(float(lattice.lift_x - lattice.chord * moment[0] / lift[0]))
    return places[0], places[1]


def seen_by_lattice(aeroplane: Aeroplane) -> Aeroplane:
    """Make aeroplanes equal that differ only in what changes no lattice coefficient.

    That is also the CG: heights and turning are those of the lift point, where the CG is put.
    """
    plain = {"thickness": 0.1, "max_lift": 1.0, "lift_is_surface": False}
    wing = aeroplane.wing
    origin = {"cg_station": wing.quarter_station, "cg_height": wing.mean_chord_height}

    def bare(surface: Surface) -> Surface:
        section = Section(**{**vars(surface.section), **plain})
        return Surface(**{**vars(surface), "section": section})

    tail = type(aeroplane.tail)(
        bare(aeroplane.tail.surface),
        aeroplane.tail.kind,
        aeroplane.tail.elevator_chord_fraction,
    )
    strips = {"strips": strip_counts(aeroplane)}
    changes = {"wing": bare(wing), "tail": tail, "fin_area": None, **origin, **strips}
    return Aeroplane(**{**vars(aeroplane), **changes})


@lru_cache(maxsize=1024)
def build_aeroplane(aeroplane: Aeroplane, stream: Stream) -> AeroBuild:
    """Work out one aeroplane; kept by value.

    `stream` is the air and airspeed the skin friction is worked out for: a typical take-off speed.

    """
    return assembled(solve(aeroplane), aeroplane, stream)


def assembled(solved: Solved, aeroplane: Aeroplane, stream: Stream) -> AeroBuild:
    """The aerodynamics of an aeroplane whose lattice numbers are known."""
    wing = aeroplane.wing
    largest, least = _wing_limits(wing)
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
        tail_max_lift=_tail_limit(aeroplane.tail.surface, wing.area),
        drag_parts=parts,
        tail_own_slope=float(solved.table.values[0, TAIL_OWN][1]),
        notes=tuple(_notes(aeroplane, stream, solved)),
    )


@lru_cache(maxsize=64)
def _wing_limits(wing: Surface) -> tuple[float, float]:
    """Largest lift of the wing up and down, on its area [-]."""
    return surface_max_lift(wing), surface_min_lift(wing)


@lru_cache(maxsize=64)
def _tail_limit(tail: Surface, wing_area: float) -> float:
    """Largest lift of the tail, on the wing's area [-]."""
    return tail_max_lift(tail, wing_area)


def _notes(aeroplane: Aeroplane, stream: Stream, solved: Solved) -> list[str]:
    """Everything outside the range of what was used."""
    notes = []
    for name, surface in (("wing", aeroplane.wing), ("tail", aeroplane.tail.surface)):
        if not surface.section.lift_is_surface and surface.aspect_ratio < 2.5:
            notes.append(
                f"{name}: aspect ratio {surface.aspect_ratio:.1f} is under 2.5; its maximum lift "
                "from the section's is a guess, give the surface's own"
            )
        if abs(surface.sweep_at(0.25)) > 0.7:
            notes.append(
                f"{name}: swept over 40 deg; maximum lift and drag are outside their range"
            )
        reynolds = stream.reynolds(surface.mean_chord)
        if reynolds < 1e5:
            notes.append(f"{name}: Reynolds number {reynolds:.0f} is under 100000; drag is a guess")
    body = aeroplane.body
    if body.length < 4 * (body.width * body.depth) ** 0.5:
        notes.append("body: length is under four times its thickness; its drag is a guess")
    if solved.raised:
        notes.append("a lifting surface reaches the strip on its wheels; solved a little higher")
    if solved.tail_centre < solved.wing_centre:
        notes.append("the tail lies ahead of the wing; downwash lag does not apply to it")
    if solved.table.values[0, WING_LIFT][1] <= 0:
        notes.append("the wing's lift does not grow with incidence; check the geometry")
    return notes
