"""When points reach the ground: impulses, and which points touch afterwards.

Every lane has its own set of points at zero height; subsets of at most two are tried for all
lanes together and each lane keeps the one that fits.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.block import Block
from sim.roll.contacts import Contact, Reaction, gap_acceleration, solve, solve_at_rest
from sim.roll.phases import POINTS

SOFT_APPROACH = 1e-4
"""Normal speeds of two or more points all below this are stopped together: ends chatter [m/s]."""
SUBSETS = tuple(s for size in (2, 1, 0) for s in combinations(POINTS, size))
"""Sets of at most two points, largest first."""
IMPULSE_SLACK = 1e-12
CHOICE_SLACK = 1e-9


@dataclass(frozen=True)
class Impact:
    """Velocities after an arrival and the energy lost, each shape (lanes,)."""

    speed: Any
    climb: Any
    rate: Any
    loss: Any


def _available(subset: tuple[int, ...], at_zero: Any) -> Any:
    """Lanes all of whose points of the subset are at zero height."""
    return np.logical_and.reduce([at_zero[i] for i in subset], axis=0, initial=True)


def impact(
    block: Block, points: Sequence[Contact], at_zero: Any, velocity: tuple[Any, Any, Any]
) -> Impact:
    """Apply impulses J >= 0 so that normal speeds after are >= 0 and J v = 0.

    `at_zero` says which points are at zero height, shape (3, lanes); `velocity` is
    (V, Zdot, thetadot). Drag impulses mu J act at the axles against the motion; they are left
    out where they would reverse it or add energy (a wheel spun backward by the pitching).
    """
    speed, climb, rate = velocity
    normal = np.array([np.abs(climb + p.along * rate) for p in points])
    soft = (at_zero.sum(axis=0) > 1) & (np.where(at_zero, normal, 0.0) < SOFT_APPROACH).all(axis=0)
    way = np.sign(speed)
    kept = _struck(block, points, at_zero, velocity, way)
    before = _energy(block, velocity)
    wrong = (kept[0] * way < 0.0) | (_energy(block, kept) > before)
    if wrong.any():
        plain = _struck(block, points, at_zero, velocity, np.zeros_like(way))
        kept = np.where(wrong, plain, kept)
    kept = np.where(soft, [speed, np.zeros_like(speed), np.zeros_like(speed)], kept)
    loss = before - _energy(block, kept)
    if (loss < -1e-12 * (1.0 + before)).any():
        raise AssertionError("an impact must not gain energy")
    return Impact(kept[0], kept[1], kept[2], loss)


def _energy(block: Block, velocity: Any) -> Any:
    speed, climb, rate = velocity
    p = block.p
    return 0.5 * p.mass * (speed * speed + climb * climb) + 0.5 * p.pitch_inertia * rate * rate


def _struck(
    block: Block, points: Sequence[Contact], at_zero: Any, velocity: Any, way: Any
) -> Array:
    """Velocities after the subset that fits each lane best, shape (3, lanes)."""
    best = np.array(velocity)
    least = np.full(way.shape, np.inf)
    for subset in SUBSETS:
        impulses = _impulses(block, points, subset, velocity, way)
        after = _after(block, points, impulses, velocity, way)
        violation = np.zeros_like(least)
        for i, point in enumerate(points):
            if i in subset:
                violation = np.maximum(violation, -impulses[i] / block.p.mass)
            else:
                rising = after[1] + point.along * after[2]
                violation = np.maximum(violation, np.where(at_zero[i], -rising, 0.0))
        better = _available(subset, at_zero) & (violation < least - IMPULSE_SLACK)
        best = np.where(better, after, best)
        least = np.where(better, violation, least)
    return best


def _impulses(
    block: Block, points: Sequence[Contact], subset: tuple[int, ...], velocity: Any, way: Any
) -> dict[int, Any]:
    """Impulses that stop the points of a subset: one or two linear equations per lane [N s]."""
    _, climb, rate = velocity
    over_mass, inertia = 1.0 / block.p.mass, block.p.pitch_inertia
    arms = [points[i].along + way * points[i].friction * points[i].up for i in subset]
    wanted = [-(climb + points[i].along * rate) for i in subset]
    rows = [[over_mass + points[i].along * arm / inertia for arm in arms] for i in subset]
    if len(subset) == 0:
        return {}
    if len(subset) == 1:
        return {subset[0]: wanted[0] / rows[0][0]}
    (a, b), (c, d) = rows
    size = a * d - b * c
    size = np.where(size == 0.0, np.nan, size)  # two points in one place: never the best subset
    return {
        subset[0]: (wanted[0] * d - wanted[1] * b) / size,
        subset[1]: (wanted[1] * a - wanted[0] * c) / size,
    }


def _after(
    block: Block, points: Sequence[Contact], impulses: dict[int, Any], velocity: Any, way: Any
) -> Array:
    speed, climb, rate = velocity
    mass, inertia = block.p.mass, block.p.pitch_inertia
    for i, impulse in impulses.items():
        arm = points[i].along + way * points[i].friction * points[i].up
        speed = speed - way * points[i].friction * impulse / mass
        climb = climb + impulse / mass
        rate = rate + arm * impulse / inertia
    return np.array([speed, climb, rate])


def choose_sets(
    block: Block,
    at_rest_on: Any,
    points: Sequence[Contact],
    force: tuple[Any, Any, Any],
    motion: tuple[Any, Any],
) -> Any:
    """Which points touch next: loads not negative, no point left out accelerating down.

    `at_rest_on` says which points lie on the strip without normal speed, shape (3, lanes);
    `motion` is (V, thetadot). Returns an index into SUBSETS per lane.
    """
    speed, pitch_rate = motion
    chosen = np.full(speed.shape, len(SUBSETS) - 1)
    least = np.full(speed.shape, np.inf)
    for index, subset in enumerate(SUBSETS):
        r = _reaction(block, subset, points, force, motion)
        violation = np.zeros_like(least)
        for i, point in enumerate(points):
            if i in subset:
                violation = np.maximum(violation, -r.loads[i] / block.p.mass)
            else:
                rising = gap_acceleration(point, r, pitch_rate)
                violation = np.maximum(violation, np.where(at_rest_on[i], -rising, 0.0))
        better = _available(subset, at_rest_on) & (violation < least - CHOICE_SLACK)
        chosen = np.where(better, index, chosen)
        least = np.where(better, violation, least)
    return chosen


def _reaction(
    block: Block,
    subset: tuple[int, ...],
    points: Sequence[Contact],
    force: tuple[Any, Any, Any],
    motion: tuple[Any, Any],
) -> Reaction:
    speed, pitch_rate = motion
    way = np.sign(speed)
    if subset and (way == 0.0).any():
        held = solve_at_rest(block, subset, points, force, pitch_rate)
        way = np.where(way == 0.0, held.grip, way)
    return solve(block, subset, points, force, pitch_rate, way)
