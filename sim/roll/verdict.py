"""One verdict for each roll: a table of conditions, the first that holds wins."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.block import Batch, Status
from sim.roll.dynamics import V
from sim.roll.engine import Outcome
from sim.roll.events import End, Happening
from sim.roll.parameters import Parameters
from sim.roll.quasi_static import Speeds, one_block, search_speeds

BARROW_TIME = 0.2
"""Mains off before the nose for at least this long is wheelbarrowing [s]."""


class Verdict(StrEnum):
    """The one outcome of a roll, in order of precedence."""

    SITS_ON_TAIL = "sits-on-tail"
    DOES_NOT_MOVE = "does-not-move"
    ABORTED = "aborted"
    LEAPS_AND_STALLS = "leaps-and-stalls"
    SETTLES_BACK = "settles-back"
    SCRAPES_TAIL = "scrapes-tail"
    WHEELBARROWS = "wheelbarrows"
    NEVER_ROTATES = "never-rotates"
    TOO_SLOW = "too-slow"
    AIRBORNE_TOO_LATE = "airborne-too-late"
    AIRBORNE = "airborne"


@dataclass(frozen=True)
class Facts:
    """What decides the verdict, one value per lane.

    first_time, first_place: shape (happenings, lanes), nan where it never happened [s], [m].
    """

    end: Any
    moved: Any  # it has rolled forward
    first_time: Array
    first_place: Array
    barrow_time: Array  # longest time with the mains off and the nose wheel down [s]
    screen_time: Array  # inf if never
    strip_length: Array
    obstacle_clearance: Array  # nan if there is no obstacle or it was not reached
    needs_clearance: Any
    speeds: Speeds
    final_speed: Array

    def happened(self, what: Happening, before: Any = np.inf) -> Any:
        """Lanes in which it happened, not later than `before` [s]."""
        time = self.first_time[what]
        return np.isfinite(time) & (time <= before)


def gather_facts(batch: Batch, outcome: Outcome) -> Facts:
    """Collect what decides the verdicts of all lanes."""
    lanes, names, rows, states = outcome.log.sorted()
    count = batch.lanes
    first_time = np.full((len(Happening), count), np.nan)
    first_place = np.full((len(Happening), count), np.nan)
    # the log runs in order of time within a lane, and `unique` finds the first of several
    first = np.unique(names * count + lanes, return_index=True)[1]
    first_time[names[first], lanes[first]] = rows[0][first]
    first_place[names[first], lanes[first]] = states[0][first]
    status = Status(*outcome.status)
    p = Parameters(*batch.matrix)
    dropped = np.isfinite(status.drop_start)
    speeds = Speeds(*(np.full(count, np.nan) for _ in range(3)))
    grounded = np.flatnonzero(np.isinf(status.lifted_at) & (status.moved > 0))
    if grounded.size:
        found = search_speeds(one_block(batch, grounded), dropped[grounded])
        for whole, part in zip(
            (speeds.needed, speeds.reachable, speeds.least_nose_load),
            (found.needed, found.reachable, found.least_nose_load),
            strict=True,
        ):
            whole[grounded] = part
    return Facts(
        end=status.end.astype(int),
        moved=status.moved > 0.0,
        first_time=first_time,
        first_place=first_place,
        barrow_time=_barrow_times(lanes, names, rows[0], status.time),
        screen_time=status.screen_at,
        strip_length=p.strip_length,
        obstacle_clearance=status.obstacle_clearance,
        needs_clearance=np.isfinite(p.obstacle_distance),
        speeds=speeds,
        final_speed=outcome.states[V],
    )


def _barrow_times(lanes: Any, names: Any, times: Array, end_time: Array) -> Array:
    """Longest stretch, per lane, from the mains' leaving to the nose wheel's or their return."""
    longest = np.zeros(end_time.size)
    ends = (Happening.NOSE_WHEEL_OFF, Happening.MAINS_DOWN_AGAIN, Happening.LIFT_OFF)
    for i in np.flatnonzero(names == Happening.MAINS_OFF):
        lane = lanes[i]
        until = end_time[lane]
        for j in range(i + 1, len(lanes)):
            if lanes[j] != lane:
                break
            if names[j] in ends:
                until = times[j]
                break
        longest[lane] = max(longest[lane], until - times[i])
    return longest


def _is(end: End) -> Callable[[Facts], Any]:
    return lambda f: f.end == end


def _airborne(f: Facts) -> Any:
    return f.happened(Happening.LIFT_OFF)


def _late(f: Facts) -> Any:
    beyond = f.first_place[Happening.LIFT_OFF] > f.strip_length
    blocked = f.needs_clearance & ~(f.obstacle_clearance > 0.0)
    return _airborne(f) & (beyond | blocked | np.isinf(f.screen_time))


RULES: tuple[tuple[Verdict, Callable[[Facts], Any]], ...] = (
    (Verdict.SITS_ON_TAIL, _is(End.SITS_ON_TAIL)),
    (Verdict.DOES_NOT_MOVE, lambda f: (f.end == End.DOES_NOT_MOVE) | ~f.moved),
    (Verdict.ABORTED, lambda f: f.happened(Happening.ABORT)),
    (Verdict.LEAPS_AND_STALLS, lambda f: f.happened(Happening.WING_STALL, f.screen_time)),
    (Verdict.SETTLES_BACK, lambda f: f.happened(Happening.WHEELS_DOWN_AGAIN, f.screen_time)),
    (Verdict.SCRAPES_TAIL, lambda f: f.happened(Happening.TAIL_STRIKE, f.screen_time)),
    (Verdict.WHEELBARROWS, lambda f: f.barrow_time >= BARROW_TIME),
    (
        Verdict.NEVER_ROTATES,
        lambda f: ~_airborne(f) & ~f.happened(Happening.NOSE_WHEEL_OFF) & np.isnan(f.speeds.needed),
    ),
    (Verdict.TOO_SLOW, lambda f: ~_airborne(f)),
    (Verdict.AIRBORNE_TOO_LATE, _late),
    (Verdict.AIRBORNE, lambda f: np.ones(f.end.size, dtype=bool)),
)
"""Verdicts in order of precedence, each with its condition on the facts."""


def decide(facts: Facts) -> list[Verdict]:
    """Verdict of every lane: the first rule that holds."""
    held = np.array([rule(facts) for _, rule in RULES])
    return [RULES[row][0] for row in held.argmax(axis=0)]
