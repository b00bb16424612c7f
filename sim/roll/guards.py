"""What is watched in each phase: quantities positive until something happens.

A guard fires where its value falls to zero. Triggers and departures also fire when they are
at or below zero as a phase begins; arrivals then only if the point is moving down.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.block import Block
from sim.roll.contacts import AFT, MAIN, NOSE, POINTS
from sim.roll.dynamics import PERCEIVED, PITCH, Forces, Phase, V, X
from sim.roll.lift_limit import TOP_AT

EDGE = 1e-9
"""Arrivals and the stop are watched this far beyond zero [m, m/s], so that a point that has
just left, or an aeroplane that has just broken loose, is on the proper side."""
UPSET_PITCH = np.pi / 4
NEVER = np.inf

Value = Callable[[Block, Array, Forces], Any]


@dataclass(frozen=True)
class Guard:
    """One thing to watch: a name, its value, and whether it must be armed first."""

    name: str
    value: Value
    point: int = -1
    armed: bool = False


def _departure(i: int) -> Guard:
    return Guard("leaves", lambda b, y, f: f.reaction.loads[i], i)


def gap(i: int, f: Forces) -> Any:
    """Height of a contact point above the strip [m]."""
    return f.height + f.points[i].up - f.points[i].radius


def approach(i: int, f: Forces) -> Any:
    """Speed of a contact point away from the strip [m/s]."""
    return f.climb + f.points[i].along * f.rate


def _arrival(i: int) -> Guard:
    return Guard("arrives", lambda b, y, f: gap(i, f) + EDGE, i, armed=True)


def _pending(active: Any, value: Any) -> Any:
    return np.where(active, value, NEVER)


def _pull(b: Block, y: Array, f: Forces) -> Any:
    left = np.minimum(b.p.pull_place - y[X], b.p.pull_airspeed - (y[V] + b.p.headwind))
    return _pending((b.s.pulled == 0) & (b.s.aborted == 0), left)


def _drop(b: Block, y: Array, f: Forces) -> Any:
    left = np.minimum(b.p.drop_place - y[X], b.p.drop_airspeed - (y[V] + b.p.headwind))
    return _pending(np.isinf(b.s.drop_start), left)


def _abort(b: Block, y: Array, f: Forces) -> Any:
    left = np.minimum(b.p.abort_place - y[X], b.p.abort_airspeed - (y[V] + b.p.headwind))
    return _pending((b.s.aborted == 0) & (b.s.nose_was_off == 0), left)


def _law(b: Block, y: Array, f: Forces) -> Any:
    waiting = (b.p.law_on > 0) & (b.s.law == 0) & (b.s.law_spent == 0)
    return _pending(waiting, b.p.notice_threshold - (y[PERCEIVED] - b.attitude))


def _strip_end(b: Block, y: Array, f: Forces) -> Any:
    return _pending(b.s.past_strip == 0, b.p.strip_length - y[X])


def _obstacle(b: Block, y: Array, f: Forces) -> Any:
    return _pending(b.s.past_obstacle == 0, b.p.obstacle_distance - y[X])


def _screen(b: Block, y: Array, f: Forces) -> Any:
    waiting = np.isinf(b.s.screen_at) & np.isfinite(b.s.lifted_at)
    return _pending(waiting, b.p.screen_height - gap(MAIN, f))


def _wing_stall(b: Block, y: Array, f: Forces) -> Any:
    return _pending(b.s.wing_stalled == 0, TOP_AT - f.air.wing_use)


def _tail_stall(b: Block, y: Array, f: Forces) -> Any:
    return _pending(b.s.tail_stalled == 0, TOP_AT - np.abs(f.air.tail_use))


_TRIGGERS = (
    Guard("abort", _abort),
    Guard("pull", _pull),
    Guard("drop", _drop),
    Guard("law", _law),
    Guard("tail-stall", _tail_stall),
    Guard("obstacle", _obstacle),
    Guard("upset", lambda b, y, f: UPSET_PITCH - np.abs(y[PITCH])),
)
_STOPS = {
    1: (Guard("stops", lambda b, y, f: y[V] + EDGE, armed=True),),
    -1: (Guard("stops", lambda b, y, f: EDGE - y[V], armed=True),),
    0: (
        Guard("breaks-loose", lambda b, y, f: -f.break_forward),
        Guard("rolls-back", lambda b, y, f: f.break_backward),
    ),
}


@cache
def guards_of(phase: Phase) -> tuple[Guard, ...]:
    """Everything watched in a phase, in the order in which simultaneous ones are taken."""
    contacts = tuple(_departure(i) for i in phase.touching)
    contacts += tuple(_arrival(i) for i in POINTS if i not in phase.touching)
    if not phase.touching:
        return (*contacts, Guard("screen", _screen), Guard("wing-stall", _wing_stall), *_TRIGGERS)
    return (*contacts, *_STOPS[phase.direction], Guard("strip-end", _strip_end), *_TRIGGERS)


def values(phase: Phase, block: Block, y: Array, f: Forces) -> Array:
    """Value of every guard of a phase, shape (guards, lanes)."""
    return np.array([guard.value(block, y, f) for guard in guards_of(phase)])


def due_at_once(phase: Phase, block: Block, y: Array, f: Forces, now: Array) -> Array:
    """Which guards fire without a step, shape as `now`, their values at the present state."""
    due = now <= 0.0
    for row, guard in enumerate(guards_of(phase)):
        if not guard.armed or not due[row].any():
            continue
        if guard.point >= 0:
            due[row] &= approach(guard.point, f) < 0.0
        else:
            due[row] &= f.reaction.speed_rate * np.copysign(1.0, phase.direction) < 0.0
    return due


__all__ = ["AFT", "MAIN", "NOSE", "Guard", "due_at_once", "gap", "guards_of", "values"]
