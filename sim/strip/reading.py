"""What a field measurement is made of: numbers with their uncertainty, and what rolled.

Every kind of reading reduces to the same thing, a `Reduced`: the rolling resistance as a function
of what was read. Its uncertainty follows numerically, so a kind needs no derivatives.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


class ImpossibleReading(ValueError):  # noqa: N818 - it names what is wrong with the reading
    """A reading no aeroplane can have produced.

    Attributes
    ----------
    name: of the number that is impossible, as in `Label.parts`.
    allowed: what would be possible, in plain words.

    """

    def __init__(self, name: str, allowed: str) -> None:
        self.name, self.allowed = name, allowed
        super().__init__(f"{name}: {allowed}")


@dataclass(frozen=True)
class Measured:
    """A number and its uncertainty as one standard deviation, both SI."""

    value: float
    deviation: float


@dataclass(frozen=True)
class Label:
    """Where a reading comes from.

    Attributes
    ----------
    name: such as "tow[2]" or "row 3".
    parts: name of each number of it, as the builder wrote it, and its text.
    line: in the file, if known.
    note: the builder's own remark.

    """

    name: str
    parts: dict[str, str]
    line: int | None = None
    note: str = ""


@dataclass(frozen=True)
class Course:
    """How a reading lies on the strip.

    Attributes
    ----------
    sense: +1 in the direction of take-off, -1 against it.
    slope: rise over run in the direction rolled, or None for the strip's own.
    headwind: against the direction rolled [m/s], or None for the scenario's.

    """

    sense: int = 1
    slope: float | None = None
    headwind: float | None = None


TAKE_OFF_WAY = Course()
"""As the aeroplane takes off, slope and wind as the scenario has them."""


@dataclass(frozen=True)
class Roller:
    """The aeroplane rolling without power at its ground attitude, and the strip under it.

    Attributes
    ----------
    mass, gravity: [kg], [m/s2].
    main_share: of the load, on the main wheels [-].
    lift_per_square, drag_per_square: lift and drag over airspeed squared [N s2/m2].
    slope: of the strip, uphill in the direction rolled [rad].
    headwind: against the direction rolled [m/s].

    """

    mass: float
    gravity: float
    main_share: float
    lift_per_square: float = 0.0
    drag_per_square: float = 0.0
    slope: float = 0.0
    headwind: float = 0.0


@dataclass(frozen=True)
class Reduced:
    """A reading as a rolling resistance.

    Attributes
    ----------
    inputs: what was read.
    solve: rolling resistance from their values [-].
    main_share: of the load, on the main wheels [-].
    loads_told: whether that share was weighed for this reading.

    """

    inputs: tuple[Measured, ...]
    solve: Callable[[Array], float]
    main_share: float
    loads_told: bool = False

    def value(self) -> float:
        """Rolling resistance from the reading as it stands [-]."""
        return self.solve(np.array([m.value for m in self.inputs]))

    def deviation(self) -> float:
        """One standard deviation of it [-], each number moved by its own, one at a time.

        Half the difference between both sides, so that a bend of the law does not matter; the
        shares are independent and add as squares.
        """
        values = np.array([m.value for m in self.inputs])
        total = 0.0
        for i, m in enumerate(self.inputs):
            ends = []
            for sign in (-1.0, 1.0):
                moved = values.copy()
                moved[i] += sign * m.deviation
                ends.append(self.solve(moved))
            total += (0.5 * (ends[1] - ends[0])) ** 2
        return math.sqrt(total)
