"""What follows when a guard fires: the new phase, the pilot's next act, or the end."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.attitude import ground_attitude, nose_and_tail_attitude, tail_strike_attitude
from sim.roll.block import Block, columns_of
from sim.roll.dynamics import ELEVATOR, PITCH, RATE, SPOOL, ZDOT, Forces, V, Z, forces
from sim.roll.events import End, Happening
from sim.roll.guards import Guard, approach, gap, movement_pending
from sim.roll.impacts import SUBSETS, choose_sets, impact
from sim.roll.log import Log
from sim.roll.phases import (
    AFT,
    AIRBORNE,
    CODE,
    MAIN,
    NOSE,
    POINTS,
    THREE_WHEELS,
    Phase,
    code_of,
)
from sim.roll.pilot import start_movement

MOST_CHANGES = 400
TOUCHING = 1e-9
"""A gap below this counts as touching when an arrival is worked out [m]."""
STILL = 1e-9
"""Normal speed of a point that stays on the strip after an impact, at most [m/s]."""
_LOCKED_PITCH = {
    (MAIN, NOSE): ground_attitude,
    (MAIN, AFT): tail_strike_attitude,
    (NOSE, AFT): nose_and_tail_attitude,
}


@dataclass
class Moment:
    """Some lanes of one phase at the instant something happens to them."""

    phase: Phase
    block: Block
    y: Array
    forces: Forces
    log: Log

    def __post_init__(self) -> None:
        self.codes = np.full(self.block.lanes.size, CODE[self.phase])

    def note(self, what: Happening, lanes: Any) -> None:
        """Record a happening for some of the lanes (index array)."""
        if len(lanes):
            self.log.add(what, self.block, self.y, self.forces, lanes)

    def move_to(self, lanes: Any, touching: tuple[int, ...], direction: int) -> None:
        """Put some lanes into another phase."""
        if not len(lanes):
            return
        self.codes[lanes] = code_of(touching, direction)
        s = self.block.s
        s.changes[lanes] += 1
        s.direction[lanes] = direction
        self.end(lanes[s.changes[lanes] > MOST_CHANGES], End.GAVE_UP)

    def end(self, lanes: Any, why: End) -> None:
        """Finish some of the lanes."""
        self.block.s.end[lanes] = float(why)


def leaves(m: Moment, lanes: Any, guard: Guard) -> None:
    """A point has lost its load; the nose wheel at rest: it tips back."""
    point = guard.point
    if point == NOSE and m.phase == Phase(THREE_WHEELS, 0):
        m.end(lanes, End.SITS_ON_TAIL)
        return
    rest = tuple(i for i in m.phase.touching if i != point)
    _note_leaving(m, lanes, rest)
    m.move_to(lanes, rest, m.phase.direction)


def _note_leaving(m: Moment, lanes: Any, after: tuple[int, ...]) -> None:
    """Record what has left when the points of `after` touch from now on."""
    gone = [i for i in m.phase.touching if i not in after]
    s = m.block.s
    if NOSE in gone:
        m.note(Happening.NOSE_WHEEL_OFF, lanes)
        s.nose_was_off[lanes] = 1.0
    if MAIN in gone and NOSE in after:
        m.note(Happening.MAINS_OFF, lanes)
    if AFT in gone:
        m.note(Happening.TAIL_OFF, lanes)
    if gone and not after:
        m.note(Happening.LIFT_OFF, lanes)
        first = lanes[np.isinf(s.lifted_at[lanes])]
        s.lifted_at[first] = s.time[first]
        s.jump[first] = m.forces.reaction.pitch_rate_rate[first]


def arrives(m: Moment, lanes: Any, guard: Guard) -> None:
    """A point has met the ground: impulses, then the set of touching points."""
    sub, y = m.block.take(lanes), columns_of(m.y, lanes)
    f = forces(AIRBORNE, sub, sub.s.time, y)
    f = _exactly_down(m.phase.touching, guard.point, sub, y, f)
    known = (guard.point, *m.phase.touching)
    at_zero = np.array([(np.abs(gap(i, f)) < TOUCHING) | (i in known) for i in POINTS])
    after = impact(sub, f.points, at_zero, (y[V], y[ZDOT], y[RATE]))
    y[V], y[ZDOT], y[RATE] = after.speed, after.climb, after.rate
    m.block.s.impact_loss[lanes] += after.loss
    f = forces(AIRBORNE, sub, sub.s.time, y)
    lying = at_zero & np.array([np.abs(approach(i, f)) < STILL for i in POINTS])
    chosen = choose_sets(sub, lying, f.points, f.total, (y[V], y[RATE]))
    for index in np.unique(chosen):
        which = np.flatnonzero(chosen == index)
        _note_arrival(m, lanes[which], guard.point, SUBSETS[index])
        y[:, which] = _settled(sub.take(which), columns_of(y, which), SUBSETS[index])
        for way in (-1, 0, 1):
            m.move_to(lanes[which[np.sign(y[V, which]) == way]], SUBSETS[index], way)
    m.y[:, lanes] = y


def _exactly_down(
    touching: tuple[int, ...], arriving: int, block: Block, y: Array, f: Forces
) -> Forces:
    """Put the arriving point onto the strip to the last digit, those touching staying there.

    What the location of the event has left over would else be there at the next one.
    """
    if len(touching) == 1:
        pair = (min(arriving, *touching), max(arriving, *touching))
        y[PITCH] = _LOCKED_PITCH[pair](block.p)
        f = forces(AIRBORNE, block, block.s.time, y)
        y[Z] -= gap(touching[0], f)
    elif not touching:
        y[Z] -= gap(arriving, f)
    return forces(AIRBORNE, block, block.s.time, y)


def _note_arrival(m: Moment, lanes: Any, point: int, after: tuple[int, ...]) -> None:
    """Record the point that arrives, those that arrive with it and stay, and those thrown off."""
    before = m.phase.touching
    arriving = {point, *(i for i in after if i not in before)}
    if AFT in arriving:
        m.note(Happening.TAIL_STRIKE, lanes)
    if NOSE in arriving:
        m.note(Happening.NOSE_WHEEL_DOWN_AGAIN, lanes)
    if MAIN in arriving and before:
        m.note(Happening.MAINS_DOWN_AGAIN, lanes)
    if MAIN not in before and NOSE not in before and arriving != {AFT}:
        m.note(Happening.WHEELS_DOWN_AGAIN, lanes[np.isfinite(m.block.s.lifted_at[lanes])])
    _note_leaving(m, lanes, after)


def _settled(block: Block, y: Array, touching: tuple[int, ...]) -> Array:
    """State with two touching points exactly on the strip and still."""
    if len(touching) == 2:
        y[PITCH] = _LOCKED_PITCH[touching](block.p)
        y[ZDOT], y[RATE] = 0.0, 0.0
    return y


def stops(m: Moment, lanes: Any, guard: Guard) -> None:
    """Speed along the strip has come to zero: rest where friction holds, else the other way."""
    m.y[V, lanes] = 0.0
    f = forces(Phase(m.phase.touching, 0), m.block, m.block.s.time, m.y)
    forward = f.break_forward[lanes] > 0.0
    backward = ~forward & (f.break_backward[lanes] < 0.0)
    m.note(Happening.ROLLS_BACK, lanes[backward])
    m.move_to(lanes[forward], m.phase.touching, 1)
    m.move_to(lanes[backward], m.phase.touching, -1)
    m.move_to(lanes[~forward & ~backward], m.phase.touching, 0)


def breaks_loose(m: Moment, lanes: Any, guard: Guard) -> None:
    """Thrust has overcome rolling resistance at rest."""
    m.block.s.moved[lanes] = 1.0
    m.move_to(lanes, m.phase.touching, 1)


def rolls_back(m: Moment, lanes: Any, guard: Guard) -> None:
    """The slope or the wind pushes it back."""
    m.note(Happening.ROLLS_BACK, lanes)
    m.block.s.moved[lanes] = 1.0
    m.move_to(lanes, m.phase.touching, -1)


def steady(m: Moment, lanes: Any, guard: Guard) -> None:
    """It rolls on at a steady speed with nothing to come."""
    m.end(lanes, End.STEADY)


def pull(m: Moment, lanes: Any, guard: Guard | None = None) -> None:
    """The pilot asks for rotation."""
    m.note(Happening.PULL, lanes)
    m.block.s.pulled[lanes] = 1.0
    free = lanes[m.block.s.law[lanes] == 0]
    target = m.block.p.pull_elevator[free]
    start_movement(m.block, free, m.y[ELEVATOR, free], target, m.block.s.time[free])


def drop(m: Moment, lanes: Any, guard: Guard | None = None) -> None:
    """The flaps begin to move."""
    m.note(Happening.FLAPS_DROP, lanes)
    m.block.s.drop_start[lanes] = m.block.s.time[lanes]


def abort(m: Moment, lanes: Any, guard: Guard) -> None:
    """Throttle closed, elevator back to neutral."""
    m.note(Happening.ABORT, lanes)
    s = m.block.s
    s.aborted[lanes], s.throttle[lanes], s.law[lanes], s.law_spent[lanes] = 1.0, 0.0, 0.0, 1.0
    start_movement(m.block, lanes, m.y[ELEVATOR, lanes], np.zeros(lanes.size), s.time[lanes])


def law(m: Moment, lanes: Any, guard: Guard) -> None:
    """The pilot has seen the nose move and begins to hold the climb attitude."""
    m.note(Happening.TAKES_OVER, lanes)
    m.block.s.law[lanes] = 1.0
    m.block.s.elevator_slope[lanes] = 0.0
    m.block.s.elevator_stop[lanes] = np.inf


def strip_end(m: Moment, lanes: Any, guard: Guard) -> None:
    """The end of the strip, still on the ground."""
    m.note(Happening.STRIP_END, lanes)
    m.block.s.past_strip[lanes] = 1.0


def screen(m: Moment, lanes: Any, guard: Guard) -> None:
    """The main wheels have passed screen height."""
    m.note(Happening.SCREEN_HEIGHT, lanes)
    m.block.s.screen_at[lanes] = m.block.s.time[lanes]


def obstacle(m: Moment, lanes: Any, guard: Guard) -> None:
    """The place of the obstacle: how far above it the main wheels pass."""
    m.note(Happening.OBSTACLE, lanes)
    s = m.block.s
    s.past_obstacle[lanes] = 1.0
    height = gap(MAIN, m.forces)
    s.obstacle_clearance[lanes] = (height - m.block.p.obstacle_height)[lanes]


def wing_stall(m: Moment, lanes: Any, guard: Guard) -> None:
    """The wing passes its stall in the air."""
    m.note(Happening.WING_STALL, lanes)
    m.block.s.wing_stalled[lanes] = 1.0


def tail_stall(m: Moment, lanes: Any, guard: Guard) -> None:
    """The tail passes its stall."""
    m.note(Happening.TAIL_STALL, lanes)
    m.block.s.tail_stalled[lanes] = 1.0


def upset(m: Moment, lanes: Any, guard: Guard) -> None:
    """Pitch beyond what this model can follow."""
    m.end(lanes, End.UPSET)


def rest_for_good(m: Moment) -> None:
    """End lanes at rest that nothing can move any more: throttle closed, or held at full thrust.

    Nothing may be under way or to come by time; a nose wheel that full thrust would lift is
    left to tip back.
    """
    s, p = m.block.s, m.block.p
    waits = movement_pending(m.block) | (np.abs(m.y[RATE]) > STILL)
    waits |= (s.pulled == 0) & np.isfinite(p.pull_time)
    waits |= np.isinf(s.drop_start) & np.isfinite(p.drop_time)
    full = m.y.copy()
    full[SPOOL] = np.where(p.spool_rate > 0.0, s.throttle, full[SPOOL])
    f = forces(m.phase, m.block, s.time, full)
    held = (f.break_forward <= 0.0) & (f.break_backward >= 0.0) & ~waits
    if m.phase.touching == THREE_WHEELS:
        held &= f.reaction.loads[NOSE] > 0.0
    held &= s.end < 0
    shut = (s.throttle == 0.0) & (s.end < 0)
    stopped = np.flatnonzero(shut | (held & (s.moved > 0)))
    m.note(Happening.STOP, stopped)
    m.end(stopped, End.STOP)
    m.end(np.flatnonzero(held & ~shut & (s.moved == 0)), End.DOES_NOT_MOVE)


ACTIONS: dict[str, Callable[[Moment, Any, Guard], None]] = {
    "leaves": leaves,
    "arrives": arrives,
    "stops": stops,
    "steady": steady,
    "breaks-loose": breaks_loose,
    "rolls-back": rolls_back,
    "pull": pull,
    "drop": drop,
    "abort": abort,
    "law": law,
    "strip-end": strip_end,
    "screen": screen,
    "obstacle": obstacle,
    "wing-stall": wing_stall,
    "tail-stall": tail_stall,
    "upset": upset,
}
"""What follows each guard."""

__all__ = ["ACTIONS", "Moment", "drop", "pull", "rest_for_good"]
