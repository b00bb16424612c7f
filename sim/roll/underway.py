"""Lanes of one phase under way side by side, with what has to be remembered from step to step."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.block import Batch, Block, columns_of
from sim.roll.dynamics import Forces, Phase
from sim.roll.guards import approach
from sim.roll.phases import POINTS
from sim.roll.right_hand_side import RightHandSide


@dataclass
class Underway:
    """Lanes that step together, each with its own time.

    Lanes set aside stay in their columns, `live` being false, until they are taken out.
    """

    phase: Phase
    block: Block
    y: Array
    first: Array  # rates at the present instant
    now: Array  # values of the guards, (guards, lanes)
    sinking: Array  # speed of the free points away from the strip, (points, lanes)
    kink: Array  # next known kink [s]
    live: Any
    side: RightHandSide

    @property
    def count(self) -> int:
        """How many lanes are still stepping."""
        return int(np.count_nonzero(self.live))

    def stepping(self) -> "Underway":
        """Only the lanes that still step, themselves if all do."""
        if self.live.all():
            return self
        stay = np.flatnonzero(self.live)
        block, y = self.block.take(stay), columns_of(self.y, stay)
        return Underway(
            phase=self.phase,
            block=block,
            y=y,
            first=columns_of(self.first, stay),
            now=columns_of(self.now, stay),
            sinking=columns_of(self.sinking, stay),
            kink=self.kink[stay],
            live=self.live[stay],
            side=RightHandSide(self.phase, block, y),
        )

    def beside(self, other: "Underway", batch: Batch) -> "Underway":
        """Put other lanes of the same phase to the right of these."""
        rows: dict[str, Any] = {
            name: np.concatenate([getattr(part, name) for part in (self, other)], axis=-1)
            for name in ("y", "first", "now", "sinking", "kink", "live")
        }
        lanes = np.concatenate([self.block.lanes, other.block.lanes])
        status = np.concatenate([self.block.status, other.block.status], axis=1)
        block = Block(batch, lanes, status)
        return Underway(self.phase, block, **rows, side=RightHandSide(self.phase, block, rows["y"]))


def approaches(phase: Phase, f: Forces, lanes: int) -> Array:
    """Speed of every free point away from the strip, shape (points, lanes) [m/s]."""
    free = [i for i in POINTS if i not in phase.touching]
    return np.array([approach(i, f) for i in free]).reshape(len(free), lanes)
