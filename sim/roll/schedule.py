"""What is known beforehand to happen at a time: the elevator's stop, timed acts, the limit."""

from typing import Any

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.block import Batch, Block, columns_of
from sim.roll.dynamics import ELEVATOR, Phase, forces
from sim.roll.events import End
from sim.roll.outcome import Outcome
from sim.roll.transitions import Moment, drop, pull

TIME_LIMIT = 90.0


def next_kink(block: Block) -> Array:
    """Next known time at which a lane's right-hand side changes its form [s]."""
    s, p = block.s, block.p
    never = np.inf
    pull_due = np.where((s.pulled == 0) & (s.aborted == 0), p.pull_time, never)
    drop_due = np.where(np.isinf(s.drop_start), p.drop_time, never)
    later = [
        np.where(t > s.time, t, never) for t in (s.drop_start + p.drop_duration, s.lifted_at + 1.0)
    ]
    limit = np.full_like(s.time, TIME_LIMIT)
    return np.asarray(np.minimum.reduce([*later, pull_due, drop_due, s.elevator_stop, limit]))


def act_on_time(phase: Phase, batch: Batch, outcome: Outcome, lanes: Any) -> Moment:
    """Let happen what is due in lanes whose step has landed on a known kink."""
    block = batch.block(lanes, columns_of(outcome.status, lanes))
    y = columns_of(outcome.states, lanes)
    s, p = block.s, block.p
    arrived = s.time >= s.elevator_stop
    y[ELEVATOR, arrived] = s.elevator_target[arrived]
    s.elevator_slope[arrived] = 0.0
    s.elevator_stop[arrived] = np.inf
    f = forces(phase, block, s.time, y)
    moment = Moment(phase, block, y, f, outcome.log)
    drop(moment, np.flatnonzero((s.time >= p.drop_time) & np.isinf(s.drop_start)))
    pull(moment, np.flatnonzero((s.time >= p.pull_time) & (s.pulled == 0) & (s.aborted == 0)))
    moment.end(np.flatnonzero(s.time >= TIME_LIMIT), End.TIME_LIMIT)
    return moment
