"""The contact solver: accelerations and loads for a set of touching points, and impulses.

A phase is a set of at most two touching points and a direction of rolling. One small linear
system gives the acceleration of the CG, the pitch acceleration and every load.
"""

from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np

from sim.roll.attitude import rotated
from sim.roll.block import Block

MAIN, NOSE, AFT = 0, 1, 2
POINTS = (MAIN, NOSE, AFT)
POINT_NAMES = ("main", "nose", "aft")
PHASE_NAMES = {
    (MAIN, NOSE): "rolling on three wheels",
    (MAIN,): "rotating about the mains",
    (MAIN, AFT): "dragging the tail",
    (AFT,): "on the tail alone",
    (NOSE,): "wheelbarrowing",
    (NOSE, AFT): "on nose and tail",
    (): "airborne",
}
"""Name of each set of touching points."""
SETS = tuple(PHASE_NAMES)

SOFT_APPROACH = 1e-4
"""Approach speeds all below this are stopped together, which ends chatter [m/s]."""
TOUCHING = 1e-7
"""A gap below this counts as touching when an arrival is worked out [m]."""


@dataclass(frozen=True)
class Contact:
    """One point of each lane seen from the CG, strip frame."""

    along: Any  # r_x [m]
    up: Any  # r_z [m]
    radius: Any
    friction: Any


@dataclass(frozen=True)
class Reaction:
    """What the ground does: accelerations and loads (three arrays, zero where not touching)."""

    speed_rate: Any
    climb_rate: Any
    pitch_rate_rate: Any
    loads: tuple[Any, Any, Any]


def contact_points(p: Any, cos_pitch: Any, sin_pitch: Any) -> tuple[Contact, Contact, Contact]:
    """Main axle, nose axle and aft point in the strip frame."""
    zero = np.zeros_like(cos_pitch)
    main = rotated(p.main_x, p.main_z, cos_pitch, sin_pitch)
    nose = rotated(p.nose_x, p.nose_z, cos_pitch, sin_pitch)
    aft = rotated(p.aft_x, p.aft_z, cos_pitch, sin_pitch)
    return (
        Contact(*main, p.main_radius, p.main_friction),
        Contact(*nose, p.nose_radius, p.nose_friction),
        Contact(*aft, zero, p.aft_friction),
    )


def solve(
    block: Block,
    touching: tuple[int, ...],
    points: tuple[Contact, ...],
    force: tuple[Any, Any, Any],
    pitch_rate: Any,
    direction: Any,
) -> Reaction:
    """Accelerations and loads with the given points touching and friction against `direction`.

    `force` is (along, across, moment) of air and thrust; weight is added here. With two points
    the pitch is locked and its acceleration is exactly zero.
    """
    mass, inertia = block.p.mass, block.p.pitch_inertia
    along = force[0] + block.weight_along
    across = force[1] + block.weight_across
    moment = force[2]
    spin = pitch_rate * pitch_rate
    zero = np.zeros_like(along)
    loads = [zero, zero, zero]
    arms = {i: points[i].along + direction * points[i].friction * points[i].up for i in touching}
    if len(touching) == 1:
        (i,) = touching
        at = points[i]
        loads[i] = -(across / mass + at.along * moment / inertia - at.up * spin) / (
            1.0 / mass + at.along * arms[i] / inertia
        )
    elif len(touching) == 2:
        # pitch locked: sum of loads carries the weight, moments about the CG balance
        i, j = touching
        loads[j] = (arms[i] * across - moment) / (arms[j] - arms[i])
        loads[i] = -across - loads[j]
    friction = sum((points[i].friction * loads[i] for i in touching), zero)
    total = sum((loads[i] for i in touching), zero)
    if len(touching) == 2:
        turning = zero
    else:
        turning = (moment + sum((loads[i] * arms[i] for i in touching), zero)) / inertia
    climbing = (across + total) / mass if len(touching) < 2 else zero
    return Reaction(
        (along - direction * friction) / mass, climbing, turning, (loads[0], loads[1], loads[2])
    )


def solve_at_rest(
    block: Block,
    touching: tuple[int, ...],
    points: tuple[Contact, ...],
    force: tuple[Any, Any, Any],
    pitch_rate: Any,
) -> Reaction:
    """Loads while friction holds the aeroplane: its force balances what pushes along the strip.

    The friction is shared in proportion to mu_i N_i and acts at the axles, so its height
    depends on the loads: a fixed point, contracting by (difference of axle heights)/(wheelbase).
    """
    push = force[0] + block.weight_along
    heights = [points[i].up for i in touching]
    at = sum(heights, np.zeros_like(push)) / len(touching)
    for _ in range(1 if len(touching) == 1 else 12):
        held = (force[0], force[1], force[2] + at * push)
        reaction = solve(block, touching, points, held, pitch_rate, 0.0)
        grip = [points[i].friction * reaction.loads[i] for i in touching]
        total = sum(grip, np.zeros_like(push))
        share = sum((g * h for g, h in zip(grip, heights, strict=True)), np.zeros_like(push))
        at = np.where(total > 0.0, share / np.where(total > 0.0, total, 1.0), at)
    zero = np.zeros_like(push)
    return Reaction(zero, reaction.climb_rate, reaction.pitch_rate_rate, reaction.loads)


def subsets(candidates: tuple[int, ...]) -> list[tuple[int, ...]]:
    """Sets of at most two of the candidate points, largest first."""
    sizes = range(min(2, len(candidates)), -1, -1)
    return [s for size in sizes for s in combinations(candidates, size)]


def choose_set(
    block: Block,
    candidates: tuple[int, ...],
    points: tuple[Contact, ...],
    force: tuple[Any, Any, Any],
    pitch_rate: Any,
    direction: float,
) -> tuple[int, ...]:
    """Set of touching points of one lane: loads not negative, no point left accelerating down."""
    best, least = (), np.inf
    for touching in subsets(candidates):
        if direction == 0.0 and touching:
            r = solve_at_rest(block, touching, points, force, pitch_rate)
        else:
            r = solve(block, touching, points, force, pitch_rate, direction)
        violation = max(
            [0.0]
            + [-float(r.loads[i][0]) / float(block.p.mass[0]) for i in touching]
            + [
                -float(gap_acceleration(points[i], r, pitch_rate)[0])
                for i in candidates
                if i not in touching
            ]
        )
        if violation < least - 1e-9:
            best, least = touching, violation
    return best


def gap_acceleration(point: Contact, reaction: Reaction, pitch_rate: Any) -> Any:
    """Acceleration of a point away from the strip [m/s2]."""
    return (
        reaction.climb_rate
        + point.along * reaction.pitch_rate_rate
        - point.up * pitch_rate * pitch_rate
    )


@dataclass(frozen=True)
class Impact:
    """Velocities of one lane after an arrival, and the energy lost."""

    speed: float
    climb: float
    pitch_rate: float
    loss: float


def impact(
    mass: float,
    inertia: float,
    points: list[tuple[float, float, float]],
    velocity: tuple[float, float, float],
) -> Impact:
    """Apply impulses J >= 0 so that normal speeds after are >= 0 and J v = 0.

    `points` are (r_x, r_z, mu) of all points at zero height; `velocity` is (V, Zdot, thetadot).
    The subset of struck points is found by trying them all; drag impulses mu J act at the
    axles against the motion, and are left out where they would reverse it.
    """
    speed, climb, rate = velocity
    normal = [climb + x * rate for x, _, _ in points]
    if len(points) > 1 and all(abs(v) < SOFT_APPROACH for v in normal):
        kept = (speed, 0.0, 0.0)
    else:
        way = float(np.sign(speed))
        kept = _struck(mass, inertia, points, velocity, way)
        if kept[0] * way < 0.0:
            kept = _struck(mass, inertia, points, velocity, 0.0)
    energy = [0.5 * mass * (v * v + z * z) + 0.5 * inertia * w * w for v, z, w in (velocity, kept)]
    loss = energy[0] - energy[1]
    if loss < -1e-9 * (1.0 + energy[0]):
        raise AssertionError("an impact must not gain energy")
    return Impact(*kept, loss)


def _struck(
    mass: float,
    inertia: float,
    points: list[tuple[float, float, float]],
    velocity: tuple[float, float, float],
    way: float,
) -> tuple[float, float, float]:
    speed, climb, rate = velocity
    best, least = velocity, np.inf
    for struck in subsets(tuple(range(len(points)))):
        arms = [points[i][0] + way * points[i][1] * points[i][2] for i in struck]
        matrix = np.array(
            [
                [1.0 / mass + points[i][0] * arm / inertia for arm in arms]
                for i in struck
            ]
        ).reshape(len(struck), len(struck))
        wanted = np.array([-(climb + points[i][0] * rate) for i in struck])
        impulses = np.linalg.solve(matrix, wanted) if struck else np.zeros(0)
        after_climb = climb + float(impulses.sum()) / mass
        after_rate = rate + float(impulses @ np.array(arms)) / inertia if struck else rate
        drag = sum(points[i][2] * float(j) for i, j in zip(struck, impulses, strict=True))
        normal = [after_climb + x * after_rate for x, _, _ in points]
        violation = max(
            [0.0]
            + [-float(j) / mass for j in impulses]
            + [-v for i, v in enumerate(normal) if i not in struck]
        )
        if violation < least - 1e-12:
            best, least = (speed - way * drag / mass, after_climb, after_rate), violation
    return best
