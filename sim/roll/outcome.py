"""How to compute a batch, and what comes of it."""

from dataclasses import dataclass

from sim.roll.aero_table import Array
from sim.roll.log import KeptStep, Log


@dataclass(frozen=True)
class Settings:
    """How to compute.

    Attributes
    ----------
    tolerance: relative tolerance of one step [-].
    block_size: most lanes worked on together; with fewer the calls weigh, with more the memory.
    fixed_step: if positive, steps of this size without error control [s]; for tests of order.
    plain_numbers: work on a lane that stands alone in its block in plain numbers: a single roll
        takes a third of the time, and its last digits are not those it has in company.

    """

    tolerance: float = 1e-6
    block_size: int = 12288
    fixed_step: float = 0.0
    plain_numbers: bool = False


DEFAULTS = Settings()


@dataclass
class Outcome:
    """What came of a batch: final states, status, the log and the kept steps.

    states: (13, lanes); status: (status, lanes); kept: steps per lane asked for.
    """

    states: Array
    status: Array
    log: Log
    kept: dict[int, list[KeptStep]]
