"""The contact solver: accelerations and loads for a set of touching points.

A phase is a set of at most two touching points and a direction of rolling. One small linear
system gives the acceleration of the CG, the pitch acceleration and every load.
"""

from collections.abc import Sequence
from typing import Any, NamedTuple

from sim.roll.attitude import rotated
from sim.roll.block import Block
from sim.roll.phases import AFT, MAIN, NOSE, PHASE_NAMES, POINT_NAMES, POINTS, SETS


class Contact(NamedTuple):
    """One point of each lane seen from the CG, strip frame."""

    along: Any  # r_x [m]
    up: Any  # r_z [m]
    radius: Any
    friction: Any


class Reaction(NamedTuple):
    """What the ground does: accelerations and loads (three arrays, zero where not touching)."""

    speed_rate: Any
    climb_rate: Any
    pitch_rate_rate: Any
    loads: tuple[Any, ...]
    grip: Any = 0.0  # friction along the strip is -grip mu N: the direction, between at rest
    friction: Any = 0.0  # sum of grip mu N, backward positive [N]


class ContactPoints(Sequence[Contact]):
    """Main axle, nose axle and aft point in the strip frame, each worked out when asked for."""

    def __init__(self, p: Any, cos_pitch: Any, sin_pitch: Any) -> None:
        self._p, self._cos, self._sin = p, cos_pitch, sin_pitch
        self._known: dict[int, Contact] = {}

    def __len__(self) -> int:
        """Three."""
        return len(POINTS)

    def __getitem__(self, i: Any) -> Any:
        """One point by its index."""
        if i not in self._known:
            self._known[i] = self._worked_out(i)
        return self._known[i]

    def _worked_out(self, i: int) -> Contact:
        p = self._p
        x, z, radius, friction = (
            (p.main_x, p.main_z, p.main_radius, p.main_friction),
            (p.nose_x, p.nose_z, p.nose_radius, p.nose_friction),
            (p.aft_x, p.aft_z, 0.0, p.aft_friction),
        )[i]
        return Contact(*rotated(x, z, self._cos, self._sin), radius, friction)


def contact_points(p: Any, cos_pitch: Any, sin_pitch: Any) -> tuple[Contact, Contact, Contact]:
    """Main axle, nose axle and aft point in the strip frame."""
    main, nose, aft = ContactPoints(p, cos_pitch, sin_pitch)
    return main, nose, aft


def solve(
    block: Block,
    touching: tuple[int, ...],
    points: Sequence[Contact],
    force: tuple[Any, Any, Any],
    pitch_rate: Any,
    direction: Any,
) -> Reaction:
    """Accelerations and loads with the given points touching and friction against `direction`.

    `force` is (along, across, moment) of air and thrust; weight is added here. With two points
    the pitch is locked and its acceleration is exactly zero.
    """
    over_mass, over_inertia = block.over_mass, block.over_inertia
    along, across = force[0] + block.weight_along, force[1] + block.weight_across
    moment = force[2]
    zero = block.nil
    if not touching:
        return Reaction(
            along * over_mass, across * over_mass, moment * over_inertia, (zero, zero, zero)
        )
    loads = [zero, zero, zero]
    arms = [points[i].along + direction * points[i].friction * points[i].up for i in touching]
    if len(touching) == 1:
        (i,) = touching
        at = points[i]
        spin = pitch_rate * pitch_rate
        rising = at.along * over_inertia
        loads[i] = (at.up * spin - across * over_mass - rising * moment) / (
            over_mass + rising * arms[0]
        )
        friction = points[i].friction * loads[i]
        climbing = (across + loads[i]) * over_mass
        turning = (moment + loads[i] * arms[0]) * over_inertia
    else:
        # pitch locked: sum of loads carries the weight, moments about the CG balance
        i, j = touching
        loads[j] = (arms[0] * across - moment) / (arms[1] - arms[0])
        loads[i] = -across - loads[j]
        friction = points[i].friction * loads[i] + points[j].friction * loads[j]
        climbing = turning = zero
    friction = direction * friction
    speeding = (along - friction) * over_mass
    return Reaction(speeding, climbing, turning, tuple(loads), direction, friction)


def solve_at_rest(
    block: Block,
    touching: tuple[int, ...],
    points: Sequence[Contact],
    force: tuple[Any, Any, Any],
    pitch_rate: Any,
) -> Reaction:
    """Loads while friction holds the aeroplane: its force balances what pushes along the strip.

    The friction is f mu_i N_i at each axle with one f between -1 and 1 (`grip`). Beyond what
    friction can hold the loads are those of sliding; the speed stays zero all the same.
    """
    if len(touching) == 1:
        grip = _grip_of_one(block, touching[0], points, force, pitch_rate)
    else:
        grip = _grip_of_two(block, touching, points, force)
    reaction = solve(block, touching, points, force, pitch_rate, grip)
    return reaction._replace(speed_rate=block.nil)


def _grip_of_one(
    block: Block, i: int, points: Sequence[Contact], force: tuple[Any, Any, Any], pitch_rate: Any
) -> Any:
    """Solve f mu N = push, the friction's moment about the CG being r_z push."""
    push = force[0] + block.weight_along
    held = (force[0], force[1], force[2] + points[i].up * push)
    load = solve(block, (i,), points, held, pitch_rate, 0.0).loads[i]
    return _clipped_ratio(block, push, points[i].friction * load)


def _grip_of_two(
    block: Block,
    touching: tuple[int, ...],
    points: Sequence[Contact],
    force: tuple[Any, Any, Any],
) -> Any:
    """Solve f (mu_i N_i + mu_j N_j) = push with N_i, N_j depending on f through the axle heights.

    With A the load-free force across, M the moment and arms x + f mu z this is
    a f^2 + b f + c = 0; wanted is the root that stays when the axles are equally high.
    """
    push = force[0] + block.weight_along
    across, moment = force[1] + block.weight_across, force[2]
    one, two = (points[i] for i in touching)
    a = -across * one.friction * two.friction * (two.up - one.up)
    b = (
        (one.friction - two.friction) * moment
        - across * (one.friction * two.along - two.friction * one.along)
        - push * (two.friction * two.up - one.friction * one.up)
    )
    c = -push * (two.along - one.along)
    root = block.math.sqrt(block.math.maximum(b * b - 4.0 * a * c, 0.0))
    return _clipped_ratio(block, -2.0 * c, b + block.math.copysign(root, b))


def _clipped_ratio(block: Block, push: Any, most: Any) -> Any:
    """Ratio kept within -1..1, and the sign of the push where there is no friction at all."""
    of, slips = block.math, most == 0.0
    ratio = push / of.where(slips, 1.0, most)
    return of.clip(of.where(slips, of.sign(push), ratio), -1.0, 1.0)


def gap_acceleration(point: Contact, reaction: Reaction, pitch_rate: Any) -> Any:
    """Acceleration of a point away from the strip [m/s2]."""
    return (
        reaction.climb_rate
        + point.along * reaction.pitch_rate_rate
        - point.up * pitch_rate * pitch_rate
    )


__all__ = [
    "AFT", "MAIN", "NOSE", "PHASE_NAMES", "POINTS", "POINT_NAMES", "SETS", "Contact",
    "ContactPoints", "Reaction", "contact_points", "gap_acceleration", "solve", "solve_at_rest",
]  # fmt: skip
