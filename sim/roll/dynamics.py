"""The right-hand side: what changes how fast, in every phase."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.attitude import cosine_and_sine
from sim.roll.block import Block
from sim.roll.contacts import Contact, ContactPoints, Reaction, solve, solve_at_rest
from sim.roll.forces import Aerodynamics, Motion, aerodynamics, full_thrust
from sim.roll.phases import THREE_WHEELS, Phase
from sim.roll.pilot import elevator_rate, perceived_rate

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


@dataclass(frozen=True)
class Posture:
    """Where the aeroplane is and how it moves across the strip, as the touching points have it.

    With two points touching it stays as it is for the whole phase and is worked out once.
    """

    cos_pitch: Any
    sin_pitch: Any
    points: Sequence[Contact]
    height: Any  # of the CG [m]
    climb: Any  # [m/s]
    rate: Any  # pitch rate [rad/s]
    coefficients: Array | None  # of the aerodynamic table, (32, lanes); None if not wanted


@dataclass(frozen=True)
class Forces:
    """Everything acting at one instant, for the integrator, the events and the trace."""

    air: Aerodynamics
    thrust: Any
    reaction: Reaction
    points: Sequence[Contact]
    total: tuple[Any, Any, Any]  # along, across, moment of air and thrust
    break_forward: Any  # acceleration were it rolling forward; only at rest
    break_backward: Any
    height: Any  # of the CG, climb and pitch rate as the touching points have them
    climb: Any
    rate: Any


def posture(phase: Phase, block: Block, y: Array, with_air: bool = True) -> Posture:
    """Posture of every lane, consistent with the touching points; air coefficients if wanted."""
    cos_pitch, sin_pitch = cosine_and_sine(y[PITCH])
    points = ContactPoints(block.p, cos_pitch, sin_pitch)
    height, climb, rate = y[Z], y[ZDOT], y[RATE]
    if phase.touching:
        at = points[phase.touching[0]]
        rate = np.zeros_like(rate) if phase.locked else rate
        height, climb = at.radius - at.up, -at.along * rate
    coefficients = block.coefficients(height, y[PITCH]) if with_air else None
    return Posture(cos_pitch, sin_pitch, points, height, climb, rate, coefficients)


def forces(phase: Phase, block: Block, time: Any, y: Array, posed: Posture | None = None) -> Forces:
    """Air, thrust, loads and accelerations of every lane; `posed` if the posture is known."""
    at = posed or posture(phase, block, y)
    p = block.p
    speed = y[V] if phase.direction else np.zeros_like(y[V])
    air = aerodynamics(
        block,
        Motion(
            time, speed, at.height, at.climb, y[PITCH], at.rate, at.cos_pitch, at.sin_pitch,
            y[SPOOL], y[ELEVATOR], y[LAGGED], at.coefficients,
        ),
    )  # fmt: skip
    thrust = spool_now(block, y) * full_thrust(block, speed + p.headwind)
    cos_tilt, sin_tilt = block.cos_tilt, block.sin_tilt
    total = (
        air.along + thrust * (at.cos_pitch * cos_tilt - at.sin_pitch * sin_tilt),
        air.across + thrust * (at.sin_pitch * cos_tilt + at.cos_pitch * sin_tilt),
        air.moment - p.thrust_z * cos_tilt * thrust,
    )
    forward = backward = None
    if phase.direction or not phase.touching:
        reaction = solve(block, phase.touching, at.points, total, at.rate, float(phase.direction))
    else:
        reaction = solve_at_rest(block, phase.touching, at.points, total, at.rate)
        forward = solve(block, phase.touching, at.points, total, at.rate, 1.0).speed_rate
        backward = solve(block, phase.touching, at.points, total, at.rate, -1.0).speed_rate
    return Forces(
        air, thrust, reaction, at.points, total, forward, backward, at.height, at.climb, at.rate
    )


def spool_now(block: Block, y: Array) -> Any:
    """Fraction of full thrust; a power system without spool time follows the throttle at once."""
    if block.all_spool:
        return y[SPOOL]
    return np.where(block.p.spool_rate > 0.0, y[SPOOL], y[SPOOL] * block.s.throttle)


def derivatives(
    phase: Phase, block: Block, time: Any, y: Array, posed: Posture | None = None
) -> tuple[Array, Forces]:
    """Rates of all states, shape of `y` (13, lanes), and the forces they follow from."""
    f = forces(phase, block, time, y, posed)
    climb, rate = f.climb, f.rate
    p, s = block.p, block.s
    speed = y[V] if phase.direction else np.zeros_like(y[V])
    wind = np.maximum(speed + p.headwind, 0.0)
    rates = np.empty_like(y)
    rates[X] = speed
    rates[V] = f.reaction.speed_rate
    rates[Z] = climb
    rates[ZDOT] = f.reaction.climb_rate
    rates[PITCH] = rate
    rates[RATE] = f.reaction.pitch_rate_rate
    rates[SPOOL] = p.spool_rate * (s.throttle - y[SPOOL])
    rates[ELEVATOR] = elevator_rate(block, y[PITCH], y[PERCEIVED], y[ELEVATOR])
    rates[PERCEIVED] = perceived_rate(block, y[PITCH], y[PERCEIVED])
    rates[LAGGED] = (f.air.alpha - y[LAGGED]) * wind / p.tail_lag_length
    thrust_along, thrust_across = f.total[0] - f.air.along, f.total[1] - f.air.across
    rates[W_THRUST] = (
        thrust_along * speed + thrust_across * climb + (f.total[2] - f.air.moment) * rate
    )
    rates[W_AIR] = f.air.along * speed + f.air.across * climb + f.air.moment * rate
    rates[W_FRICTION] = friction_power(phase, f, speed, rate)
    return rates, f


def friction_power(phase: Phase, f: Forces, speed: Any, rate: Any) -> Any:
    """Power lost to rolling and scraping: friction times the speed of its axle [W]."""
    lost = np.zeros_like(speed)
    for i in phase.touching:
        at = f.points[i]
        lost = lost + at.friction * f.reaction.loads[i] * (speed - at.up * rate)
    return f.reaction.grip * lost


__all__ = [
    "ELEVATOR", "FELT", "LAGGED", "PERCEIVED", "PITCH", "RATE", "SPOOL", "STATES", "STATE_SCALE",
    "THREE_WHEELS", "W_AIR", "W_FRICTION", "W_THRUST", "ZDOT", "Forces", "Phase", "Posture",
    "V", "X", "Z", "derivatives", "forces", "posture", "spool_now",
]  # fmt: skip
