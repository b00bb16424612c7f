"""The record of what happened to every lane, and the steps kept for the trace."""

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from sim.roll import integrator
from sim.roll.aero_table import Array
from sim.roll.block import Block
from sim.roll.events import Happening

ROWS = ("time", "main_load", "nose_load", "tail_load")
"""Recorded beside the first six states, those of the motion."""
MOTION_STATES = 6


@dataclass
class Log:
    """Happenings in the order in which they were found; sorted by lane only at the end."""

    lanes: list[Array] = field(default_factory=list)
    names: list[Array] = field(default_factory=list)
    rows: list[Array] = field(default_factory=list)
    states: list[Array] = field(default_factory=list)
    in_order: bool = False

    def add(self, what: Happening, block: Block, y: Array, forces: Any, which: Any) -> None:
        """Record a happening of some lanes of a block with their present state and loads."""
        self.in_order = False
        values = [block.s.time, *forces.reaction.loads]
        self.lanes.append(block.lanes[which])
        self.names.append(np.full(len(which), int(what)))
        self.rows.append(np.array([np.asarray(v)[which] for v in values]))
        self.states.append(y[:MOTION_STATES, which])

    def sorted(self) -> tuple[Array, Array, Array, Array]:
        """Lanes, names, rows (4, n) and states (6, n) in order of lane, then of happening."""
        if not self.lanes:
            none = np.zeros(0, dtype=int)
            return none, none, np.zeros((len(ROWS), 0)), np.zeros((MOTION_STATES, 0))
        if not self.in_order:
            order = np.argsort(np.concatenate(self.lanes), kind="stable")
            for parts in (self.lanes, self.names, self.rows, self.states):
                parts[:] = [np.concatenate(parts, axis=-1)[..., order]]
            self.in_order = True
        return self.lanes[0], self.names[0], self.rows[0], self.states[0]


@dataclass(frozen=True)
class KeptStep:
    """One accepted step of one lane, enough to know the state anywhere within it."""

    phase: Any
    time: float
    size: float
    start: Array  # (13,)
    stages: Array  # rates, (7, 13), of which the dense output is made
    status: Array  # (status,) as it was during the step


def keep_steps(
    kept: dict[int, list[KeptStep]], phase: Any, step: integrator.Step, block: Block, which: Any
) -> None:
    """Keep the steps of those of some lanes of a block whose trace is wanted."""
    if not kept:
        return
    wanted = [i for i in np.flatnonzero(which) if int(block.lanes[i]) in kept]
    for i in wanted:
        kept[int(block.lanes[i])].append(
            KeptStep(
                phase,
                float(step.start_time[i]),
                float(step.size[i]),
                step.start[:, i].copy(),
                step.stages[:, :, i].copy(),
                block.status[:, i].copy(),
            )
        )
