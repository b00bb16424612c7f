"""The right-hand side: what changes how fast, in every phase."""

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np

from sim.roll.attitude import cosine_and_sine, rotated
from sim.roll.block import Block
from sim.roll.contacts import Contact, ContactPoints, Reaction, solve, solve_at_rest
from sim.roll.forces import Aerodynamics, Motion, aerodynamics, full_thrust
from sim.roll.phases import THREE_WHEELS, Phase
from sim.roll.pilot import elevator_rate, perceived_rate
from sim.roll.standing import Standing, air_on_standing, standing

STATES = (
    "distance",
    "speed",
    "height",
    "climb",
    "pitch",
    "pitch_rate",
    "spool",
    "elevator",
    "perceived_pitch",
    "lagged_alpha",
    "thrust_work",
    "air_work",
    "friction_work",
)
X, V, Z, ZDOT, PITCH, RATE, SPOOL, ELEVATOR, PERCEIVED, LAGGED = range(10)
W_THRUST, W_AIR, W_FRICTION = range(10, 13)
FELT = slice(V, LAGGED + 1)
"""States on which the rates depend; distance and works are only summed up."""

STATE_SCALE = np.array([1, 1, 0.1, 1, 0.1, 1, 1, 0.1, 0.1, 0.3, 10, 10, 10])[:, None]
"""Size at which a state's absolute tolerance equals the relative one [m, m/s, rad, -, J].

A swing in pitch of 0.1 rad at 10 rad/s goes with 1 rad/s and with a climb of 1 m/s or more; the
lagged angle acts only through the downwash at the tail, a third of its slope.
"""


class Posture(NamedTuple):
    """Where the aeroplane is and how it moves across the strip, as the touching points have it.

    With two points touching it stays as it is for the whole phase and is worked out once
    (`posture_of_phase`).
    """

    cos_pitch: Any
    sin_pitch: Any
    points: Sequence[Contact]
    height: Any  # of the CG [m]
    climb: Any  # [m/s]
    rate: Any  # pitch rate [rad/s]
    coefficients: Any  # of the aerodynamic table, (32, lanes); None if not wanted
    thrust_way: tuple[Any, Any]  # direction of thrust along and across the strip
    standing: Standing | None = None  # what else stays as it is for the whole phase


class Forces(NamedTuple):
    """Everything acting at one instant, for the integrator, the events and the trace."""

    air: Aerodynamics
    thrust: Any
    thrust_along: Any
    thrust_across: Any
    reaction: Reaction
    points: Sequence[Contact]
    total: tuple[Any, Any, Any]  # along, across, moment of air and thrust
    break_forward: Any  # acceleration were it rolling forward; only at rest
    break_backward: Any
    height: Any  # of the CG, climb and pitch rate as the touching points have them
    climb: Any
    rate: Any
    wind: Any  # airspeed along the strip [m/s]
    thrust_moment: Any  # of the thrust about the CG, nose down [N m]


def posture(phase: Phase, block: Block, y: Any, with_air: bool = True) -> Posture:
    """Posture of every lane, consistent with the touching points; air coefficients if wanted."""
    cos_pitch, sin_pitch = cosine_and_sine(block.math.tan(0.5 * y[PITCH]))
    points = ContactPoints(block.thin, cos_pitch, sin_pitch)
    height, climb, rate = y[Z], y[ZDOT], y[RATE]
    if phase.touching:
        at = points[phase.touching[0]]
        rate = block.nil if phase.locked else rate
        height, climb = at.radius - at.up, -at.along * rate
    way = (cos_pitch, sin_pitch)
    coefficients = block.passing_coefficients(height, y[PITCH], way) if with_air else None
    if not block.thrust_along_body:
        way = rotated(block.cos_tilt, block.sin_tilt, cos_pitch, sin_pitch)
    return Posture(cos_pitch, sin_pitch, points, height, climb, rate, coefficients, way)


def posture_of_phase(phase: Phase, block: Block, y: Any) -> Posture | None:
    """Posture that lasts as long as the phase; None where pitch and height change."""
    if not phase.locked:
        return None
    at = posture(phase, block, y, with_air=False)
    turn = at.cos_pitch, at.sin_pitch
    kept = block.coefficients(at.height, y[PITCH], turn)
    return at._replace(coefficients=kept, standing=standing(block, kept, y[PITCH], turn))


def _air(block: Block, time: Any, y: Any, at: Posture, wind: Any) -> Aerodynamics:
    if at.standing is not None:
        return air_on_standing(block, at.standing, time, wind, (y[ELEVATOR], y[LAGGED]))
    return aerodynamics(
        block,
        Motion(
            time, wind, at.height, at.climb, y[PITCH], at.rate, at.cos_pitch, at.sin_pitch,
            y[SPOOL], y[ELEVATOR], y[LAGGED], at.coefficients,
        ),
    )  # fmt: skip


def forces(phase: Phase, block: Block, time: Any, y: Any, posed: Posture | None = None) -> Forces:
    """Air, thrust, loads and accelerations of every lane; `posed` if the posture is known."""
    at = posed or posture(phase, block, y)
    speed = y[V] if phase.direction else block.nil
    wind = speed + block.thin.headwind
    air = _air(block, time, y, at, wind)
    thrust = spool_now(block, y) * full_thrust(block, wind)
    pull = thrust * at.thrust_way[0], thrust * at.thrust_way[1]
    turn = block.thrust_arm * thrust
    total = (air.along + pull[0], air.across + pull[1], air.moment - turn)
    forward = backward = None
    if phase.direction or not phase.touching:
        reaction = solve(block, phase.touching, at.points, total, at.rate, float(phase.direction))
    else:
        reaction = solve_at_rest(block, phase.touching, at.points, total, at.rate)
        forward = solve(block, phase.touching, at.points, total, at.rate, 1.0).speed_rate
        backward = solve(block, phase.touching, at.points, total, at.rate, -1.0).speed_rate
    return Forces(
        air, thrust, *pull, reaction, at.points, total, forward, backward, at.height, at.climb,
        at.rate, wind, turn,
    )  # fmt: skip


def spool_now(block: Block, y: Any) -> Any:
    """Fraction of full thrust; a power system without spool time follows the throttle at once."""
    if block.all_spool:
        return y[SPOOL]
    return block.math.where(block.p.spool_rate > 0.0, y[SPOOL], y[SPOOL] * block.s.throttle)


def derivatives(
    phase: Phase,
    block: Block,
    time: Any,
    y: Any,
    posed: Posture | None = None,
    out: Any = None,
) -> tuple[Any, Forces]:
    """Rates of all states, shape of `y` (13, lanes), and the forces they follow from."""
    f = forces(phase, block, time, y, posed)
    p, s = block.thin, block.s
    speed = y[V] if phase.direction else block.nil
    rates = np.empty_like(y) if out is None else out
    rates[X] = speed
    rates[V] = f.reaction.speed_rate
    rates[SPOOL] = p.spool_rate * (s.throttle - y[SPOOL])
    rates[PERCEIVED] = seen = perceived_rate(block, y[PITCH], y[PERCEIVED])
    rates[ELEVATOR] = elevator_rate(block, seen, y[PERCEIVED], y[ELEVATOR])
    lag = block.math.maximum(f.wind, 0.0) * (1.0 / p.tail_lag_length)
    rates[LAGGED] = (f.air.alpha - y[LAGGED]) * lag
    rates[W_THRUST] = f.thrust_along * speed
    rates[W_AIR] = f.air.along * speed
    if phase.locked:
        rates[Z] = rates[ZDOT] = rates[PITCH] = rates[RATE] = 0.0
    else:
        _across(rates, block, f)
    rates[W_FRICTION] = friction_power(phase, f, speed, f.rate)
    return rates, f


def _across(rates: Any, block: Block, f: Forces) -> None:
    """Rates of height and pitch, and the work done in both."""
    rates[Z], rates[ZDOT] = f.climb, f.reaction.climb_rate
    rates[PITCH], rates[RATE] = f.rate, f.reaction.pitch_rate_rate
    rates[W_AIR] += f.air.across * f.climb
    rates[W_AIR] += f.air.moment * f.rate
    rates[W_THRUST] += f.thrust_across * f.climb
    rates[W_THRUST] -= f.thrust_moment * f.rate


def friction_power(phase: Phase, f: Forces, speed: Any, rate: Any) -> Any:
    """Power lost to rolling and scraping: friction times the speed of its axle [W]."""
    if not phase.touching:
        return 0.0
    if phase.locked:
        return f.reaction.friction * speed
    (i,) = phase.touching
    return f.reaction.friction * (speed - f.points[i].up * rate)


__all__ = [
    "ELEVATOR", "FELT", "LAGGED", "PERCEIVED", "PITCH", "RATE", "SPOOL", "STATES", "STATE_SCALE",
    "THREE_WHEELS", "W_AIR", "W_FRICTION", "W_THRUST", "ZDOT", "Forces", "Phase", "Posture",
    "V", "X", "Z", "derivatives", "forces", "posture", "posture_of_phase", "spool_now",
]  # fmt: skip
