"""The record of what happened to every lane, and the steps kept for the trace."""

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from sim.roll import integrator
from sim.roll.aero_table import Array
from sim.roll.block import Block
from sim.roll.events import Happening

ROWS = ("time", "main_load", "nose_load", "tail_load", "wing_use", "tail_use", "alpha")
"""Recorded beside the 13 states."""


@dataclass
class Log:
    """Happenings in the order in which they were found; sorted by lane only at the end."""

    lanes: list[Array] = field(default_factory=list)
    names: list[Array] = field(default_factory=list)
    rows: list[Array] = field(default_factory=list)
    states: list[Array] = field(default_factory=list)

    def add(self, what: Happening, block: Block, y: Array, forces: Any, which: Any) -> None:
        """Record a happening of some lanes of a block with their present state and loads."""
        loads = forces.reaction.loads
        air = forces.air
        values = [block.s.time, *loads, air.wing_use, air.tail_use, air.alpha]
        self.lanes.append(block.lanes[which])
        self.names.append(np.full(len(which), int(what)))
        self.rows.append(np.array([np.asarray(v)[which] for v in values]))
        self.states.append(y[:, which].copy())

    def sorted(self) -> tuple[Array, Array, Array, Array]:
        """Lanes, names, rows (7, n) and states (13, n) in order of lane, then of happening."""
        if not self.lanes:
            none = np.zeros(0, dtype=int)
            return none, none, np.zeros((len(ROWS), 0)), np.zeros((13, 0))
        lanes = np.concatenate(self.lanes)
        order = np.argsort(lanes, kind="stable")
        rows = np.concatenate(self.rows, axis=1)[:, order]
        states = np.concatenate(self.states, axis=1)[:, order]
        return lanes[order], np.concatenate(self.names)[order], rows, states


@dataclass(frozen=True)
class KeptStep:
    """One accepted step of one lane, enough to know the state anywhere within it."""

    phase: Any
    time: float
    size: float
    start: Array  # (13,)
    terms: list[Array]  # dense output
    status: Array  # (status,) as it was during the step


def keep_steps(
    kept: dict[int, list[KeptStep]], phase: Any, step: integrator.Step, block: Block, which: Any
) -> None:
    """Keep the steps of those of some lanes of a block whose trace is wanted."""
    if not kept:
        return
    wanted = [i for i in np.flatnonzero(which) if int(block.lanes[i]) in kept]
    terms = integrator.dense_terms(step) if wanted else []
    for i in wanted:
        kept[int(block.lanes[i])].append(
            KeptStep(
                phase,
                float(step.start_time[i]),
                float(step.size[i]),
                step.start[:, i].copy(),
                [t[:, i].copy() for t in terms],
                block.status[:, i].copy(),
            )
        )
