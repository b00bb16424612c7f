"""Landing on events: when, within its step, each lane set aside meets its first event."""

from dataclasses import dataclass, fields
from typing import Any

import numpy as np

from sim.roll import integrator
from sim.roll.aero_table import Array
from sim.roll.block import Batch, Block, columns_of
from sim.roll.dynamics import (
    FELT,
    LAGGED,
    RATE,
    ZDOT,
    Forces,
    Phase,
    X,
    Z,
)
from sim.roll.guards import guards_of, values
from sim.roll.locate import TIME_TOLERANCE, first_crossing
from sim.roll.right_hand_side import RightHandSide

WATCHED = slice(X, LAGGED + 1)
"""States on which the guards depend: all but the works."""
FEW = 3
"""Lanes not yet located are worked on apart once they are fewer than one in this many."""


@dataclass(frozen=True)
class Parked:
    """Lanes whose step went past an event: the step, their status before it, what has fired."""

    lanes: Any
    status: Array
    time: Array
    size: Array
    start: Array
    stages: Array  # (7, states, lanes)
    fired: Any  # (guards, lanes)
    now: Array  # values of the guards at the start of the step
    ahead: Array  # values of the guards at the end of the step


@dataclass(frozen=True)
class Landed:
    """Lanes exactly at their first event."""

    block: Block  # status as before the step
    step: integrator.Step
    time: Array
    y: Array
    forces: Forces
    crossed: Any  # guards that fired there, (guards, lanes)


def _joined(parts: list[Parked]) -> Parked:
    """Put lanes set aside at different steps side by side."""
    if len(parts) == 1:
        return parts[0]

    def beside(name: str) -> Any:
        return np.concatenate([getattr(part, name) for part in parts], axis=-1)

    return Parked(**{field.name: beside(field.name) for field in fields(Parked)})


def land(phase: Phase, batch: Batch, parts: list[Parked]) -> Landed:
    """Step all lanes again, exactly to their first event."""
    p = _joined(parts)
    block = batch.block(p.lanes, p.status)
    fraction, crossed = _first_events(phase, block, p)
    side = RightHandSide(phase, block, p.start)
    step = integrator.take_step(side.rates, p.time, fraction * p.size, p.start, p.stages[0], FELT)
    y, f = step.end.copy(), side.in_rows(step.forces_at_end)
    if phase.touching:
        y[Z], y[ZDOT], y[RATE] = f.height, f.climb, f.rate
    return Landed(block, step, p.time + step.size, y, f, crossed)


def _first_events(phase: Phase, block: Block, p: Parked) -> tuple[Array, Any]:
    """Fraction of the step up to the first event, and which guards have crossed there.

    Lanes that only watch what the posture tells are worked out without forces.
    """
    by_forces = np.array([guard.by_forces for guard in guards_of(phase)])
    heavy = (p.fired & by_forces[:, None]).any(axis=0)
    fraction, crossed = np.empty(p.size.size), np.zeros_like(p.fired)
    for which, forced in ((np.flatnonzero(~heavy), False), (np.flatnonzero(heavy), True)):
        if which.size:
            mine = block if which.size == p.size.size else block.take(which)
            search = _Search(phase, mine, p, which, forced)
            fraction[which], crossed[:, which] = search.result()
    return fraction, crossed


class _Search:
    """First crossings of some lanes, all by forces or all by posture alone."""

    def __init__(self, phase: Phase, block: Block, p: Parked, which: Any, forced: bool) -> None:
        rows = np.flatnonzero(p.fired[:, which].any(axis=1))
        self.phase, self.block, self.forced, self.rows = phase, block, forced, rows
        self.guards = tuple(guards_of(phase)[row] for row in rows)
        self.watched = p.fired[np.ix_(rows, which)]
        self.before, self.after = (
            np.where(self.watched, at[np.ix_(rows, which)], np.inf).min(axis=0)
            for at in (p.now, p.ahead)
        )
        self.time, self.size = p.time[which], p.size[which]
        self.start = columns_of(p.start[WATCHED], which)
        stages = p.stages[:, WATCHED]
        if which.size < p.size.size:
            stages = np.take(stages, which, axis=-1)
        self.terms = integrator.dense_terms(stages)
        self.side = RightHandSide(phase, block, self.start)
        self.shape = (p.fired.shape[0], which.size)

    def guards_at(self, which: Any, s: Array) -> Array:
        """Values of the watched guards of some lanes at fractions of their steps."""
        if FEW * which.size > self.size.size:  # taking them out would cost more than it saves
            everywhere = np.zeros(self.size.size)
            everywhere[which] = s
            return self._guards_at(np.arange(everywhere.size), everywhere)[:, which]
        return self._guards_at(which, s)

    def _guards_at(self, which: Any, s: Array) -> Array:
        side, start, terms = self._of(which)
        size = self.size[which]
        y = integrator.dense_value(start, size, terms, s)
        f: Any = side.forces(self.time[which] + s * size, y) if self.forced else side.posture(y)
        found = values(self.guards, side.block, side.read(y), f)
        return np.where(self.watched[:, which], found, np.inf)

    def _of(self, which: Any) -> tuple[RightHandSide, Array, list[Array]]:
        """Right-hand side, start and dense output of some lanes."""
        if which.size == self.size.size:
            return self.side, self.start, self.terms
        start = columns_of(self.start, which)
        side = RightHandSide(self.phase, self.block.take(which), start)
        return side, start, [columns_of(term, which) for term in self.terms]

    def result(self) -> tuple[Array, Any]:
        """Fractions just before the crossings, and the guards that cross there."""
        fraction = first_crossing(
            lambda which, s: self.guards_at(which, s).min(axis=0),
            self.size.size, self.after, self.before,
        )  # fmt: skip
        just_after = np.minimum(fraction + 2.0 * TIME_TOLERANCE, 1.0)
        there = self.guards_at(np.arange(self.size.size), just_after)
        crossed = there <= 0.0
        # a value lost in rounding: whichever is lowest there
        crossed = np.where(crossed.any(axis=0), crossed, there == there.min(axis=0))
        every = np.zeros(self.shape, dtype=bool)
        every[self.rows] = crossed
        return fraction, every
