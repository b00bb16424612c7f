"""A pack of cells in series: open-circuit voltage and inner resistance, both constant in a roll.

`v = v_oc - i R_b` at the controller's input. Numbers of lithium-polymer cells here are common
practice from memory, without a source: a reading of the builder's own pack beats them.
"""

from dataclasses import dataclass

import numpy as np

from sim.range import Range

CHARGE = (0.0, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0)
FULL_CELL_VOLTAGE = 4.20
"""Of a lithium-polymer cell charged full, at rest; common practice, from memory, no source [V]."""
CELL_VOLTS = (3.27, 3.61, 3.69, 3.73, 3.77, 3.80, 3.84, 3.87, 3.95, 4.02, 4.11, FULL_CELL_VOLTAGE)
"""Rested voltage of a lithium-polymer cell at each of `CHARGE` [V], within 0.03 V above one
tenth; from memory, no source."""

RESISTANCE_TIMES_CAPACITY = Range(7.0e-3, 12.0e-3, 25.0e-3)
"""Inner resistance of a warm cell times its capacity: fresh high-rate, usual, tired or cold;
from memory, no source [ohm A h]."""


@dataclass(frozen=True)
class Battery:
    """Cells in series.

    Attributes
    ----------
    cells: in series.
    cell_voltage: of one cell, open circuit [V].
    cell_resistance: of one cell, or of parallel cells together, leads shared out [ohm].

    """

    cells: int
    cell_voltage: float
    cell_resistance: float

    def __post_init__(self) -> None:
        if not (self.cells >= 1 and self.cell_voltage > 0.0 and self.cell_resistance >= 0.0):
            raise ValueError("a pack needs a cell, a positive voltage and no negative resistance")

    @property
    def open_voltage(self) -> float:
        """Voltage with nothing drawn [V]."""
        return self.cells * self.cell_voltage

    @property
    def resistance(self) -> float:
        """Inner resistance of the whole pack [ohm]."""
        return self.cells * self.cell_resistance


def open_cell_voltage(state_of_charge: float) -> float:
    """Rested voltage of a lithium-polymer cell against its charge [- -> V].

    Straight lines through `CHARGE` and `CELL_VOLTS`, `0 <= charge <= 1`; 0.5 gives 3.84 V.
    Common practice, from memory, no source; within 0.03 V above one tenth of charge.

    Raises
    ------
    ValueError
        For a charge outside 0 to 1.

    """
    if not 0.0 <= state_of_charge <= 1.0:
        raise ValueError(f"state of charge {state_of_charge:g} is outside 0 to 1")
    return float(np.interp(state_of_charge, CHARGE, CELL_VOLTS))


def estimated_cell_resistance(capacity: float) -> Range:
    """Inner resistance of one cell from its capacity [A h -> ohm].

    `R = k/C`, k = 7, 12, 25 mohm A h, 1 <= C <= 10; 4 A h gives 1.75, 3.0, 6.25 mohm.
    Common practice, from memory, no source: electrode area, hence conductance, grows with C.

    Raises
    ------
    ValueError
        For a capacity that is not positive.

    """
    if not capacity > 0.0:
        raise ValueError("capacity must be positive")
    k = RESISTANCE_TIMES_CAPACITY
    return Range(k.low / capacity, k.typical / capacity, k.high / capacity)
