"""What is watched in each phase: quantities positive until something happens.

A guard fires where its value falls to zero. Triggers and departures also fire when they are
at or below zero as a phase begins; arrivals then only if the point is moving down.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.block import Block
from sim.roll.dynamics import PERCEIVED, PITCH, SPOOL, V, X
from sim.roll.lift_limit import TOP_AT
from sim.roll.parameters import NEVER
from sim.roll.phases import MAIN, POINTS, Phase

EDGE = 1e-12
"""Arrivals and the stop are watched this far beyond zero [m, m/s], so that a point that has
just left, or an aeroplane that has just broken loose, is on the proper side. A fall through it
gives a point sqrt(2 g EDGE) = 4e-6 m/s, well below the speed that is stopped without rebound."""
UPSET_PITCH = math.pi / 4
STEADY_ACCELERATION = 0.005
STEADY_PITCH_RATE = 1e-3
STEADY_PITCH_ACCELERATION = 1e-2
SPOOLED = 0.999

Value = Callable[[Block, Array, Any], Any]
"""Value of a guard for the lanes of a block, their states and their forces or posture."""


@dataclass(frozen=True)
class Guard:
    """One thing to watch: name, value, the point it is about, and how it is armed.

    `armed`: at the beginning of a phase it only counts if moving the wrong way.
    `by_forces`: its value needs the forces; others need only the posture.
    """

    name: str
    value: Value
    point: int = -1
    armed: bool = False
    by_forces: bool = False


def gap(i: int, f: Any) -> Any:
    """Height of a contact point above the strip [m]."""
    return f.height + f.points[i].up - f.points[i].radius


def approach(i: int, f: Any) -> Any:
    """Speed of a contact point away from the strip [m/s]."""
    return f.climb + f.points[i].along * f.rate


def _departure(i: int) -> Guard:
    return Guard("leaves", lambda b, y, f: f.reaction.loads[i], i, by_forces=True)


def _arrival(i: int) -> Guard:
    return Guard("arrives", lambda b, y, f: gap(i, f) + EDGE, i, armed=True)


def _pending(b: Block, active: Any, value: Callable[[], Any]) -> Any:
    """The value where it counts; it is not worked out if it counts in no lane."""
    if not b.math.any(active):
        return NEVER
    return value() if b.math.all(active) else np.where(active, value(), NEVER)


def _left(b: Block, y: Any, place: Any, airspeed: Any) -> Any:
    """What is still missing to a place [m] or an airspeed [m/s], the lesser number."""
    return b.math.minimum(place - y[X], airspeed - (y[V] + b.p.headwind))


def _pull(b: Block, y: Any, f: Any) -> Any:
    waiting = (b.s.pulled == 0) & (b.s.aborted == 0)
    return _pending(b, waiting, lambda: _left(b, y, b.p.pull_place, b.p.pull_airspeed))


def _drop(b: Block, y: Any, f: Any) -> Any:
    waiting = (b.s.drop_start == NEVER) & b.drops_by_motion
    return _pending(b, waiting, lambda: _left(b, y, b.p.drop_place, b.p.drop_airspeed))


def _abort(b: Block, y: Any, f: Any) -> Any:
    waiting = (b.s.aborted == 0) & (b.s.nose_was_off == 0) & b.aborts
    return _pending(b, waiting, lambda: _left(b, y, b.p.abort_place, b.p.abort_airspeed))


def _law(b: Block, y: Any, f: Any) -> Any:
    waiting = (b.p.law_on > 0) & (b.s.law == 0) & (b.s.law_spent == 0)
    return _pending(b, waiting, lambda: b.p.notice_threshold - (y[PERCEIVED] - b.attitude))


def _strip_end(b: Block, y: Any, f: Any) -> Any:
    return _pending(b, b.s.past_strip == 0, lambda: b.p.strip_length - y[X])


def _obstacle(b: Block, y: Any, f: Any) -> Any:
    waiting = (b.s.past_obstacle == 0) & b.has_obstacle
    return _pending(b, waiting, lambda: b.p.obstacle_distance - y[X])


def _screen(b: Block, y: Any, f: Any) -> Any:
    waiting = (b.s.screen_at == NEVER) & (b.s.lifted_at < NEVER)
    return _pending(b, waiting, lambda: b.p.screen_height - gap(MAIN, f))


def _wing_stall(b: Block, y: Any, f: Any) -> Any:
    return _pending(b, b.s.wing_stalled == 0, lambda: TOP_AT - f.air.wing_use)


def _tail_stall(b: Block, y: Any, f: Any) -> Any:
    return _pending(b, b.s.tail_stalled == 0, lambda: TOP_AT - abs(f.air.tail_use))


def movement_pending(b: Block) -> Any:
    """True where elevator or flaps are under way."""
    flaps_moving = (b.s.drop_start < NEVER) & (b.s.time < b.s.drop_start + b.p.drop_duration)
    return (b.s.elevator_stop < NEVER) | flaps_moving


def _something_pending(b: Block) -> Any:
    """True where something set by place or time is still to come, so that it is not yet steady."""
    s, p = b.s, b.p
    pull = (s.pulled == 0) & (s.aborted == 0)
    pull &= (p.pull_place < NEVER) | (p.pull_time < NEVER)
    drop = (s.drop_start == NEVER) & ((p.drop_place < NEVER) | (p.drop_time < NEVER))
    abort = (s.nose_was_off == 0) & (s.aborted == 0) & (p.abort_place < NEVER)
    return pull | drop | abort | movement_pending(b)


def _steady(b: Block, y: Any, f: Any) -> Any:
    """Largest of the accelerations and rates over their thresholds, less one."""
    waits = _something_pending(b)
    if b.math.all(waits):
        return NEVER
    most, where = b.math.maximum, b.math.where
    still = most(
        abs(f.reaction.speed_rate) / STEADY_ACCELERATION,
        most(
            abs(f.rate) / STEADY_PITCH_RATE,
            abs(f.reaction.pitch_rate_rate) / STEADY_PITCH_ACCELERATION,
        ),
    )
    spooling = where(b.p.spool_rate > 0.0, abs(b.s.throttle - y[SPOOL]), 0.0)
    still = most(still, spooling / (1.0 - SPOOLED))
    return where(waits, NEVER, still - 1.0)


_TRIGGERS = (
    Guard("abort", _abort),
    Guard("pull", _pull),
    Guard("drop", _drop),
    Guard("law", _law),
    Guard("tail-stall", _tail_stall, by_forces=True),
    Guard("obstacle", _obstacle),
    Guard("upset", lambda b, y, f: UPSET_PITCH - abs(y[PITCH])),
)
_MOVING = {
    1: (
        Guard("stops", lambda b, y, f: y[V] + EDGE, armed=True),
        Guard("steady", _steady, by_forces=True),
    ),
    -1: (
        Guard("stops", lambda b, y, f: EDGE - y[V], armed=True),
        Guard("steady", _steady, by_forces=True),
    ),
    0: (
        Guard("breaks-loose", lambda b, y, f: -f.break_forward, by_forces=True),
        Guard("rolls-back", lambda b, y, f: f.break_backward, by_forces=True),
    ),
}


@cache
def guards_of(phase: Phase) -> tuple[Guard, ...]:
    """Everything watched in a phase, in the order in which simultaneous ones are taken."""
    contacts = tuple(_departure(i) for i in phase.touching)
    contacts += tuple(_arrival(i) for i in POINTS if i not in phase.touching)
    if not phase.touching:
        stall = Guard("wing-stall", _wing_stall, by_forces=True)
        return (*contacts, Guard("screen", _screen), stall, *_TRIGGERS)
    return (*contacts, Guard("strip-end", _strip_end), *_TRIGGERS, *_MOVING[phase.direction])


def values(guards: tuple[Guard, ...], block: Block, y: Any, f: Any) -> Array:
    """Value of every guard, shape (guards, lanes)."""
    rows = np.empty((len(guards), block.lanes.size))
    block.math.fill(rows, (guard.value(block, y, f) for guard in guards))
    return rows


def due_at_once(phase: Phase, f: Any, now: Array) -> Any:
    """Which guards of a phase fire without a step, shape as `now`, their present values."""
    due = now <= 0.0
    for row, guard in enumerate(guards_of(phase)):
        if not guard.armed or not due[row].any():
            continue
        if guard.point >= 0:
            due[row] &= approach(guard.point, f) < 0.0
        else:
            due[row] &= f.reaction.speed_rate * np.copysign(1.0, phase.direction) < 0.0
    return due


__all__ = [
    "Guard", "approach", "due_at_once", "gap", "guards_of", "movement_pending", "values",
]  # fmt: skip
