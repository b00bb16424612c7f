"""What follows when a guard fires: the new phase, the pilot's next act, or the end."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.block import Block
from sim.roll.contacts import AFT, MAIN, NOSE, POINTS, TOUCHING, choose_set, impact
from sim.roll.dynamics import (
    ELEVATOR,
    PITCH,
    RATE,
    SPOOL,
    THREE_WHEELS,
    ZDOT,
    Forces,
    Phase,
    V,
    Z,
    forces,
)
from sim.roll.events import End, Happening
from sim.roll.guards import Guard, approach, gap
from sim.roll.log import Log
from sim.roll.pilot import start_movement

MOST_CHANGES = 400


@dataclass
class Moment:
    """Some lanes of one phase at the instant something happens to them."""

    phase: Phase
    block: Block
    y: Array
    forces: Forces
    log: Log
    next_phase: list[Phase] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.next_phase = [self.phase] * self.block.lanes.size

    def note(self, what: Happening, lanes: Any) -> None:
        """Record a happening for some of the lanes (index array)."""
        if len(lanes):
            self.log.add(what, self.block, self.y, self.forces, lanes)

    def move_to(self, lane: int, touching: tuple[int, ...], direction: int) -> None:
        """Put one lane into another phase; in the air the direction means nothing."""
        self.next_phase[lane] = Phase(touching, direction if touching else 1)
        self.block.s.changes[lane] += 1
        self.block.s.direction[lane] = direction
        if self.block.s.changes[lane] > MOST_CHANGES:
            self.end(np.array([lane]), End.GAVE_UP)

    def end(self, lanes: Any, why: End) -> None:
        """Finish some of the lanes."""
        self.block.s.end[lanes] = float(why)


def leaves(m: Moment, lanes: Any, guard: Guard) -> None:
    """A point has lost its load."""
    point = guard.point
    s = m.block.s
    at_rest = m.phase.direction == 0
    if point == NOSE and at_rest and m.phase.touching == THREE_WHEELS:
        m.end(lanes, End.SITS_ON_TAIL)
        return
    rest = tuple(i for i in m.phase.touching if i != point)
    if point == NOSE:
        m.note(Happening.NOSE_WHEEL_OFF, lanes)
        s.nose_was_off[lanes] = 1.0
    elif point == MAIN and NOSE in rest:
        m.note(Happening.MAINS_OFF, lanes)
    elif point == AFT:
        m.note(Happening.TAIL_OFF, lanes)
    if not rest:
        m.note(Happening.LIFT_OFF, lanes)
        _first_lift_off(m, lanes)
    for lane in lanes:
        m.move_to(int(lane), rest, m.phase.direction)


def _first_lift_off(m: Moment, lanes: Any) -> None:
    s = m.block.s
    first = lanes[np.isinf(s.lifted_at[lanes])]
    if not first.size:
        return
    s.lifted_at[first] = s.time[first]
    s.jump[first] = m.forces.reaction.pitch_rate_rate[first]


def arrives(m: Moment, lanes: Any, guard: Guard) -> None:
    """A point has met the ground: impulses, then the set of touching points."""
    point = guard.point
    if point == AFT:
        m.note(Happening.TAIL_STRIKE, lanes)
    elif point == NOSE:
        m.note(Happening.NOSE_WHEEL_DOWN_AGAIN, lanes)
    elif NOSE in m.phase.touching:
        m.note(Happening.MAINS_DOWN_AGAIN, lanes)
    if not m.phase.touching and point != AFT:
        m.note(Happening.WHEELS_DOWN_AGAIN, lanes)
    for lane in lanes:
        _strike(m, int(lane), point)


def _strike(m: Moment, lane: int, arriving: int) -> None:
    one = m.block.take(np.array([lane]))
    y = m.y[:, [lane]]
    y[Z] -= gap(arriving, _at(m, lane)) if not m.phase.touching else 0.0
    f = forces(Phase((), 1), one, one.s.time, y)
    candidates = tuple(
        i
        for i in POINTS
        if i == arriving or i in m.phase.touching or abs(float(gap(i, f)[0])) < TOUCHING
    )
    struck = [
        (float(f.points[i].along[0]), float(f.points[i].up[0]), float(f.points[i].friction[0]))
        for i in candidates
    ]
    velocity = (float(y[V, 0]), float(y[ZDOT, 0]), float(y[RATE, 0]))
    after = impact(float(one.p.mass[0]), float(one.p.pitch_inertia[0]), struck, velocity)
    y[V], y[ZDOT], y[RATE] = after.speed, after.climb, after.pitch_rate
    m.block.s.impact_loss[lane] += after.loss
    direction = int(np.sign(after.speed))
    f = forces(Phase((), 1), one, one.s.time, y)
    resting = tuple(i for i in candidates if abs(float(approach(i, f)[0])) < 1e-9)
    touching = choose_set(one, resting, f.points, f.total, y[RATE], float(direction))
    if len(touching) == 2:
        y[ZDOT], y[RATE] = 0.0, 0.0
    m.y[:, [lane]] = y
    m.move_to(lane, touching, direction)


def _at(m: Moment, lane: int) -> Forces:
    one = m.block.take(np.array([lane]))
    return forces(Phase((), 1), one, one.s.time, m.y[:, [lane]])


def stops(m: Moment, lanes: Any, guard: Guard) -> None:
    """Speed along the strip has come to zero: rest where friction holds, else the other way."""
    m.note(Happening.STOP, lanes)
    m.y[V, lanes] = 0.0
    f = forces(Phase(m.phase.touching, 0), m.block, m.block.s.time, m.y)
    for lane in lanes:
        if f.break_forward[lane] > 0.0:
            m.move_to(int(lane), m.phase.touching, 1)
        elif f.break_backward[lane] < 0.0:
            m.move_to(int(lane), m.phase.touching, -1)
            m.note(Happening.ROLLS_BACK, np.array([lane]))
        elif m.block.s.throttle[lane] == 0.0 or m.y[SPOOL, lane] > 0.999:
            m.end(np.array([lane]), End.STOP)
        else:
            m.move_to(int(lane), m.phase.touching, 0)


def breaks_loose(m: Moment, lanes: Any, guard: Guard) -> None:
    """Thrust has overcome rolling resistance at rest."""
    m.block.s.moved[lanes] = 1.0
    for lane in lanes:
        m.move_to(int(lane), m.phase.touching, 1)


def rolls_back(m: Moment, lanes: Any, guard: Guard) -> None:
    """The slope or the wind pushes it back."""
    m.note(Happening.ROLLS_BACK, lanes)
    for lane in lanes:
        m.move_to(int(lane), m.phase.touching, -1)


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
    m.note(Happening.LAW, lanes)
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


ACTIONS: dict[str, Callable[[Moment, Any, Guard], None]] = {
    "leaves": leaves,
    "arrives": arrives,
    "stops": stops,
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

__all__ = ["ACTIONS", "Moment", "PITCH"]
