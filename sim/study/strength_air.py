"""Loads of the air along a roll and in level flight: tail, its servo, flaps.

What the roll takes off a linear tail (its twist, the limit of its lift) and what it adds (the
downwash of an earlier moment) acts where lift by incidence acts, as in the roll itself.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from sim.aeroplane.geometry import Aeroplane
from sim.aeroplane.hinge import moment_per_angle_at_lift, moment_per_lift
from sim.aeroplane.panels import share_of_span
from sim.aeroplane.span_load import SpanLoad, span_loads
from sim.checks.servo import Hinge
from sim.roll.aero_table import TAIL_LIFT, TAIL_OWN, WING_LIFT, Array
from sim.roll.attitude import rotated
from sim.roll.forces import AIRSPEED_FLOOR, effective_elevator, flap_and_mix, tail_stiffness
from sim.roll.lift_limit import carried
from sim.roll.parameters import Setup

if TYPE_CHECKING:
    from sim.report import Report


@dataclass(frozen=True)
class Moments:
    """Instants one after the other; every array has one value per instant (n).

    Attributes
    ----------
    airspeed, pressure: [m/s], dynamic pressure [Pa].
    inputs: of the lattice (1, alpha, flap, elevator, q), shape (5, n).
    tail, wing: lift of each as carried [N].
    elevator, flap: deflections as they stand, up and down positive [rad].

    """

    airspeed: Array
    pressure: Array
    inputs: Array
    tail: Array
    wing: Array
    elevator: Array
    flap: Array


@dataclass(frozen=True)
class Carried:
    """One surface at several instants.

    Attributes
    ----------
    strips: lift of each strip of one half, shape (s, n) [N].
    moment: lift of both halves times its place aft of the CG, shape (n,) [N m].

    """

    strips: Array
    moment: Array


def spread(load: SpanLoad, at: Moments, total: Array) -> Carried:
    """Lift of one surface strip by strip, the halves adding up to `total` [N]."""
    linear = at.pressure * (load.lift @ at.inputs)
    moment = at.pressure * (load.moment @ at.inputs).sum(axis=0)
    rest = 0.5 * total - linear.sum(axis=0)
    return Carried(linear + np.outer(load.own, rest), 2.0 * (moment + rest * load.own_place))


def in_the_roll(report: "Report", flaps: tuple[float, float]) -> Moments:
    """Every row of the trace that has wind; `flaps` as deflected at the start and dropped [rad]."""
    trace, p = report.result.trace, report.prepared.setup.parameters
    assert trace is not None
    rows = trace["airspeed"] > 0.0
    airspeed, travel = trace["airspeed"][rows], trace["flap_travel"][rows]
    alpha, elevator = trace["alpha"][rows], trace["elevator"][rows]
    flap, _ = flap_and_mix(p, travel)
    floored = np.maximum(airspeed, AIRSPEED_FLOOR)
    turn = 0.5 * trace["pitch_rate"][rows] * p.reference_chord / floored
    inputs = np.stack([np.ones_like(alpha), alpha, flap, effective_elevator(p, elevator), turn])
    pressure = 0.5 * p.air_density * (airspeed**2 + trace["climb_rate"][rows] ** 2)
    down = flaps[0] + (flaps[1] - flaps[0]) * travel
    tail, wing = trace["tail_lift"][rows], trace["wing_lift"][rows]
    return Moments(airspeed, pressure, inputs, tail, wing, elevator, down)


def in_level_flight(
    setup: Setup, airspeed: Array, stick: float, flap: tuple[float, float] = (0.0, 0.0)
) -> Moments:
    """The stick put over in level flight before the aeroplane has answered.

    Parameters
    ----------
    setup
        of the roll.
    airspeed
        shape (n,) [m/s].
    stick
        elevator, up positive [rad].
    flap
        as deflected, and effective [rad].

    """
    p, free = setup.parameters, setup.table.values[0]
    pressure = 0.5 * p.air_density * airspeed**2
    area = pressure * p.reference_area
    keeps = tail_stiffness(p, area, free[TAIL_OWN][1])
    wing, tail = free[WING_LIFT], free[TAIL_LIFT]
    straight = wing[0] + wing[2] * flap[1] + keeps * (tail[0] + tail[2] * flap[1])
    alpha = (p.mass * p.gravity / area - straight) / (wing[1] + keeps * tail[1])
    one = np.ones_like(airspeed)
    angle = float(effective_elevator(p, stick))
    inputs = np.stack([one, alpha, flap[1] * one, angle * one, 0.0 * one])
    carry = p.tail_max_lift * carried(keeps * (tail @ inputs) / p.tail_max_lift)
    return Moments(
        airspeed, pressure, inputs, area * carry, area * (wing @ inputs), stick * one, flap[0] * one
    )


def shapes_of_roll(report: "Report", plane: Aeroplane) -> tuple[SpanLoad, SpanLoad]:
    """Wing and tail at the height and pitch of the roll's largest tail load."""
    trace, p = report.result.trace, report.prepared.setup.parameters
    assert trace is not None
    row = int(np.argmax(np.abs(trace["tail_lift"])))
    pitch = float(trace["pitch"][row])
    up = rotated(p.main_x, p.main_z, np.cos(pitch), np.sin(pitch))[1]
    return span_loads(plane, pitch, float(trace["height"][row] - up + p.main_radius))


def tail_moment(plane: Aeroplane, load: SpanLoad, at: Moments) -> Array | None:
    """Moment about pivot or elevator hinge, both halves [N m]; None without a pivot."""
    tail, whole = plane.tail, spread(load, at, at.tail)
    if tail.kind == "hinged":
        chord_fraction = tail.elevator_chord_fraction or 0.0
        edges = np.ones_like(load.places)
        hinge = _hinge(plane, load, True, edges, chord_fraction)
        return hinge.moment(at.pressure, whole.strips, -at.elevator)
    if tail.pivot_station is None:
        return None
    return np.asarray((tail.pivot_station - plane.cg_station) * at.tail - whole.moment)


def flap_moment(plane: Aeroplane, load: SpanLoad, at: Moments) -> Array:
    """Hinge moment of the flaps, both sides, trailing edge down positive [N m]."""
    flaps = plane.flaps
    assert flaps is not None
    half = 0.5 * load.widths
    edges = np.append(load.places - half, load.places[-1] + half[-1])
    covered = share_of_span(edges, flaps.inboard, flaps.outboard)
    hinge = _hinge(plane, load, False, covered, flaps.chord_fraction)
    return hinge.moment(at.pressure, spread(load, at, at.wing).strips, at.flap)


def _hinge(
    plane: Aeroplane, load: SpanLoad, tail: bool, covered: Array, chord_fraction: float
) -> Hinge:
    surface = plane.tail.surface if tail else plane.wing
    return Hinge(
        widths=load.widths,
        chords=np.array([surface.chord_at(float(place)) for place in load.places]),
        covered=covered,
        chord_fraction=chord_fraction,
        per_lift=moment_per_lift(chord_fraction),
        per_angle=moment_per_angle_at_lift(chord_fraction),
    )
