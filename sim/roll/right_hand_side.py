"""The right-hand side of some lanes for as long as a phase lasts, in rows or in plain numbers."""

from functools import cached_property
from typing import Any

from sim.roll.aero_table import Array
from sim.roll.alone import Alone, in_numbers, in_rows
from sim.roll.block import Block
from sim.roll.dynamics import (
    STATES,
    Forces,
    Phase,
    Posture,
    derivatives,
    forces,
    posture,
    posture_of_phase,
)

NO_NUMBER = (ArithmeticError, ValueError)
"""What plain numbers raise where rows have nan or infinity; there the rows answer."""


class RightHandSide:
    """Rates and forces of the lanes of a block in a phase, from their state rows at its beginning.

    What it tells of forces is made of rows or of numbers, as `block` is; `in_rows` has it in rows.
    """

    def __init__(self, phase: Phase, block: Block, y: Array) -> None:
        self.phase = phase
        alone = block.batch.plain_numbers and block.lanes.size == 1
        self.block = Alone(block) if alone else block
        self.read = self.block.math.read
        self._start = y

    @cached_property
    def _posed(self) -> Posture | None:
        """Posture that lasts as long as the phase; not asked for where none of its forces are."""
        return posture_of_phase(self.phase, self.block, self.read(self._start))

    def rates(self, time: Array, y: Array, out: Array) -> Forces:
        """Write the rates into `out`, as the integrator wants them, and give the forces."""
        if not isinstance(self.block, Alone):
            return derivatives(self.phase, self.block, time, y, self._posed, out)[1]
        found, now, state = [0.0] * len(STATES), self.read(time), self.read(y)
        try:
            _, f = derivatives(self.phase, self.block, now, state, self._posed, found)
        except NO_NUMBER:  # by their nan the step is refused
            f = derivatives(self.phase, self.block.rows, time, y, None, out)[1]
            return Forces(*in_numbers(f))
        out[:, 0] = found
        return f

    def forces(self, time: Array, y: Array) -> Forces:
        """Forces alone."""
        if not isinstance(self.block, Alone):
            return forces(self.phase, self.block, time, y, self._posed)
        try:
            return forces(self.phase, self.block, self.read(time), self.read(y), self._posed)
        except NO_NUMBER:
            return Forces(*in_numbers(forces(self.phase, self.block.rows, time, y)))

    def posture(self, y: Array) -> Posture:
        """Posture alone, without the air."""
        return posture(self.phase, self.block, self.read(y), with_air=False)

    def in_rows(self, told: Any) -> Any:
        """What this has told, in rows."""
        return in_rows(told) if isinstance(self.block, Alone) else told
