"""The right-hand side: what changes how fast, in every phase."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.block import Block
from sim.roll.contacts import (
    MAIN,
    NOSE,
    Contact,
    Reaction,
    contact_points,
    solve,
    solve_at_rest,
)
from sim.roll.forces import Aerodynamics, Motion, aerodynamics, full_thrust
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
X, V, Z, ZDOT, PITCH, RATE, SPOOL, ELEVATOR, PERCEIVED, LAGGED, W_THRUST, W_AIR, W_FRICTION = range(13)

STATE_SCALE = np.array([1, 1, 0.1, 0.1, 0.1, 0.1, 1, 0.1, 0.1, 0.1, 10, 10, 10])[:, None]
"""Size at which a state's absolute tolerance equals the relative one [m, m/s, rad, -, J]."""


@dataclass(frozen=True)
class Phase:
    """Touching points and direction of rolling: +1 forward, 0 at rest, -1 backward."""

    touching: tuple[int, ...]
    direction: int

    @property
    def locked(self) -> bool:
        """True with two points touching: pitch and height stay as they are."""
        return len(self.touching) == 2


THREE_WHEELS = (MAIN, NOSE)


@dataclass(frozen=True)
class Forces:
    """Everything acting at one instant, for the integrator, the events and the trace."""

    air: Aerodynamics
    thrust: Any
    reaction: Reaction
    points: tuple[Contact, Contact, Contact]
    total: tuple[Any, Any, Any]  # along, across, moment of air and thrust
    break_forward: Any  # acceleration were it rolling forward; only at rest
    break_backward: Any
    height: Any  # of the CG, climb and pitch rate as the touching points have them
    climb: Any
    rate: Any


def constrained(phase: Phase, block: Block, y: Array) -> tuple[Any, Any, Any, Any, Any]:
    """Height, climb, pitch rate and cos, sin of pitch, consistent with the touching points."""
    cos_pitch, sin_pitch = np.cos(y[PITCH]), np.sin(y[PITCH])
    height, climb, rate = y[Z], y[ZDOT], y[RATE]
    if phase.touching:
        at = contact_points(block.p, cos_pitch, sin_pitch)[phase.touching[0]]
        rate = np.zeros_like(rate) if phase.locked else rate
        height, climb = at.radius - at.up, -at.along * rate
    return height, climb, rate, cos_pitch, sin_pitch


def forces(phase: Phase, block: Block, time: Any, y: Array) -> Forces:
    """Air, thrust, loads and accelerations of every lane of one phase."""
    height, climb, rate, cos_pitch, sin_pitch = constrained(phase, block, y)
    p = block.p
    speed = y[V] if phase.direction else np.zeros_like(y[V])
    air = aerodynamics(
        block,
        Motion(
            time, speed, height, climb, y[PITCH], rate, cos_pitch, sin_pitch,
            y[SPOOL], y[ELEVATOR], y[LAGGED],
        ),
    )  # fmt: skip
    thrust = spool_now(block, y) * full_thrust(block, speed + p.headwind)
    cos_tilt, sin_tilt = np.cos(p.thrust_tilt), np.sin(p.thrust_tilt)
    total = (
        air.along + thrust * (cos_pitch * cos_tilt - sin_pitch * sin_tilt),
        air.across + thrust * (sin_pitch * cos_tilt + cos_pitch * sin_tilt),
        air.moment - p.thrust_z * cos_tilt * thrust,
    )
    points = contact_points(p, cos_pitch, sin_pitch)
    forward = backward = np.zeros_like(thrust)
    if phase.direction or not phase.touching:
        reaction = solve(block, phase.touching, points, total, rate, float(phase.direction))
    else:
        reaction = solve_at_rest(block, phase.touching, points, total, rate)
        forward = solve(block, phase.touching, points, total, rate, 1.0).speed_rate
        backward = solve(block, phase.touching, points, total, rate, -1.0).speed_rate
    return Forces(
        air, thrust, reaction, points, total, forward, backward, height, climb, rate
    )


def spool_now(block: Block, y: Array) -> Any:
    """Fraction of full thrust; a power system without spool time follows the throttle at once."""
    return np.where(block.p.spool_rate > 0.0, y[SPOOL], y[SPOOL] * block.s.throttle)


def derivatives(phase: Phase, block: Block, time: Any, y: Array) -> tuple[Array, Forces]:
    """Rates of all states, shape of `y` (13, lanes), and the forces they follow from."""
    f = forces(phase, block, time, y)
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
    """Power lost to rolling and scraping, friction times the speed of its axle [W]."""
    lost = np.zeros_like(speed)
    for i in phase.touching:
        at = f.points[i]
        lost = lost + phase.direction * at.friction * f.reaction.loads[i] * (speed - at.up * rate)
    return lost
