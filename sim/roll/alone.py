"""One lane in plain numbers: as quick as a single roll can be stepped.

A row of one lane costs as much as a row of a hundred. Where one roll is wanted at once, as by a
page that answers while a slider moves, its block is read into numbers, and the right-hand side,
which asks its block for all it knows and for its functions, works on those.
"""

from collections.abc import Callable, Sequence
from math import tanh
from typing import Any

import numpy as np

from sim.roll.aero_table import HEIGHT_TERMS, PITCH_SPAN
from sim.roll.arithmetic import Numbers
from sim.roll.attitude import rotated
from sim.roll.block import Block, Status
from sim.roll.parameters import Parameters

WORKED_OUT = (
    "cos_tilt", "sin_tilt", "thrust_arm", "weight_along", "weight_across", "over_mass",
    "over_inertia", "nil", "turning", "wing_arm", "tail_arm", "throw_middle", "throw_half",
    "drops_by_motion", "aborts", "has_obstacle", "attitude",
)  # fmt: skip
"""What a block has worked out once, one value per lane or one for all."""


class Alone(Block):
    """A block of one lane as it is now, every value a float; not to be changed or taken from.

    Its status stays as it was: what the right-hand side and the guards read of it changes only
    at an event or a known kink, and there another is made.
    """

    math: Any = Numbers

    def __init__(self, block: Block) -> None:
        vars(self).update(vars(block))
        self.rows = block
        lane = int(block.lanes[0])
        self.thin = self.p = Parameters(*block.batch.matrix[:, lane].tolist())
        self.s = Status(*block.status[:, 0].tolist())
        self.thrust_index = int(block.thrust_index[0])
        for name in WORKED_OUT:
            setattr(self, name, getattr(block, name).item(0))
        table = int(block.aero_index[0])
        self._table = block.tables.aero[table]
        self._over_scale = 1.0 / float(block.tables.scale[table])

    def passing_coefficients(self, height: Any, pitch: Any, turn: tuple[Any, Any]) -> Any:
        """Aerodynamic coefficients, a list of 32."""
        above = height + rotated(self.thin.table_x, self.thin.table_z, *turn)[1]
        u = above * self._over_scale
        u = 1.0 / (1.0 + u * u)
        p = PITCH_SPAN * tanh(pitch / PITCH_SPAN)
        powers: list[float] = []
        row = (1.0, p, p * p)
        for _ in range(HEIGHT_TERMS):
            powers.extend(row)
            row = (row[0] * u, row[1] * u, row[2] * u)
        return np.dot(self._table, powers).tolist()


def in_numbers(told: Any) -> Any:
    """What is told of one lane in rows, in plain numbers: `Forces`, and all they are made of."""
    return _retold(told, lambda row: row.item(0) if isinstance(row, np.ndarray) else row)


def in_rows(told: Any) -> Any:
    """The same the other way round."""
    return _retold(told, lambda value: np.array([value]) if isinstance(value, float) else value)


def _retold(told: Any, each: Callable[[Any], Any]) -> Any:
    if isinstance(told, tuple):
        parts = [_retold(part, each) for part in told]
        return type(told)(*parts) if hasattr(told, "_fields") else tuple(parts)
    if isinstance(told, Sequence):  # the contact points
        return tuple(_retold(part, each) for part in told)
    return each(told)
