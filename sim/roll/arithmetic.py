"""The few functions the right-hand side needs, for rows of lanes and for plain numbers.

The physics is written once and asks its block for these (`Block.math`): numpy's for many lanes
side by side, Python's own for a lane alone (`alone.py`), where an operation on a row of one takes
ten times as long as on a number. Both give the same but for rounding.
"""

import math
from collections.abc import Callable, Iterable, Sequence
from typing import Any

import numpy as np


class Rows:
    """Of arrays with one value per lane."""

    @staticmethod
    def any(flags: Any) -> bool:
        """True in some lane."""
        return bool(flags.any())

    @staticmethod
    def all(flags: Any) -> bool:
        """True in every lane."""
        return bool(flags.all())

    where = staticmethod(np.where)
    minimum, maximum, clip = np.minimum, np.maximum, staticmethod(np.clip)
    sqrt, exp, log1p, tan, tanh = np.sqrt, np.exp, np.log1p, np.tan, np.tanh
    arctan2, copysign, sign = np.arctan2, np.copysign, np.sign

    @staticmethod
    def read(rows: Any) -> Any:
        """Rows, or one of them, as these functions want them: as they are."""
        return rows

    @staticmethod
    def fill(rows: Any, values: Iterable[Any]) -> None:
        """Write values into rows, one after the other."""
        for row, value in zip(rows, values, strict=True):
            row[:] = value

    @staticmethod
    def plain(value: Any) -> Any:
        """An array."""
        return np.asarray(value)

    @staticmethod
    def of_both(function: Callable[..., Any], one: Any, other: Any) -> tuple[Any, Any]:
        """Values of a function of (argument, arithmetic) for two arguments, in one call."""
        both = np.empty((2, *one.shape))
        both[0], both[1] = one, other
        first, second = function(both, Rows)
        return first, second

    @staticmethod
    def four_sums(columns: Any, inputs: Sequence[Any]) -> Any:
        """Four sums c0 + c1 i1 + ... + c4 i4, columns shape (20, lanes), result (4, lanes).

        All four at once, since many short operations cost more than few long ones. An input of
        None is nil in every lane.
        """
        rows = columns.reshape(4, 5, -1)
        total = rows[:, 1] * inputs[0]
        total += rows[:, 0]
        term = np.empty_like(total)
        for k, value in enumerate(inputs[1:], start=2):
            if value is not None:
                np.multiply(rows[:, k], value, out=term)
                total += term
        return total

    @staticmethod
    def four_more(four: Any, slopes: Any, by: Any) -> Any:
        """Four values moved along their slopes."""
        return four + slopes * by


class Numbers:
    """Of floats.

    Where rows have nan or infinity these may raise ArithmeticError or ValueError. Of two values
    of which one is nan, `maximum` and `minimum` give the first: the value stands before its limit.
    """

    any = all = bool
    minimum, maximum = min, max
    sqrt, exp, log1p, tan, tanh = math.sqrt, math.exp, math.log1p, math.tan, math.tanh
    arctan2, copysign = math.atan2, math.copysign
    plain = float

    @staticmethod
    def read(rows: Any) -> Any:
        """Rows of one lane as a list of numbers, one of them as a number."""
        return rows[:, 0].tolist() if rows.ndim > 1 else rows.item(0)

    @staticmethod
    def fill(rows: Any, values: Iterable[float]) -> None:
        """Write values into rows of one lane, one after the other."""
        rows[:, 0] = list(values)

    @staticmethod
    def where(condition: Any, one: Any, other: Any) -> Any:
        """One of two values."""
        return one if condition else other

    @staticmethod
    def clip(value: float, least: float, most: float) -> float:
        """A value kept between two others."""
        return min(max(value, least), most)

    @staticmethod
    def sign(value: float) -> float:
        """One with the sign of a value, nil for nil."""
        return math.copysign(1.0, value) if value else 0.0

    @staticmethod
    def of_both(function: Callable[..., Any], one: float, other: float) -> tuple[Any, Any]:
        """Values of a function of (argument, arithmetic) for two arguments."""
        return function(one, Numbers), function(other, Numbers)

    @staticmethod
    def four_sums(columns: Sequence[float], inputs: Sequence[float | None]) -> list[float]:
        """Four sums c0 + c1 i1 + ... + c4 i4 of twenty columns; an input of None is nil."""
        a, b, c, d = (value or 0.0 for value in inputs)
        return [
            columns[k] + columns[k + 1] * a + columns[k + 2] * b + columns[k + 3] * c
            + columns[k + 4] * d
            for k in (0, 5, 10, 15)
        ]  # fmt: skip

    @staticmethod
    def four_more(four: Sequence[float], slopes: Sequence[float], by: float) -> list[float]:
        """Four values moved along their slopes."""
        return [value + slope * by for value, slope in zip(four, slopes, strict=True)]
