"""A story read back: columns at a moment of the roll, numbers in the reader's units."""

from functools import cached_property
from typing import Any

import numpy as np

from sim.roll.aero_table import Array
from sim.show.units import number_text


class Told:
    """A story whose columns can be asked for at any time; after its end the last row stays."""

    def __init__(self, story: dict[str, Any]) -> None:
        self.story = story
        self.columns = {name: np.array(values) for name, values in story["columns"].items()}
        self.balance: dict[str, Array] = {
            part["name"]: np.array(part["moment"]) for part in story["balance"]
        }

    def at(self, name: str, time: float) -> float:
        """One column at a time of the roll [SI]."""
        return float(np.interp(time, self.columns["time"], self.columns[name]))

    def flag(self, name: str, time: float) -> int:
        """A column of whole numbers: that of the row at or before the time."""
        row = np.searchsorted(self.columns["time"], time + 1e-9, side="right") - 1
        return int(self.columns[name][max(int(row), 0)])

    def moments(self, time: float) -> dict[str, float]:
        """Parts of the balance at a time [N m]."""
        if not self.balance:
            return {}
        row = self.columns["time"]
        return {name: float(np.interp(time, row, part)) for name, part in self.balance.items()}

    def shown(self, value: float, kind: str, decimals: int | None = None) -> str:
        """An SI value in the reader's unit, with it."""
        unit = self.story["units"][kind]
        places = unit["decimals"] if decimals is None else decimals
        return f"{number_text(value * unit['factor'], places)} {unit['unit']}"

    @cached_property
    def end(self) -> float:
        """Last moment told [s]."""
        return float(self.columns["time"][-1])

    @cached_property
    def largest_force(self) -> float:
        """Largest of all forces drawn, ever [N]; never nil."""
        names = ("weight", "wing_lift", "tail_lift", "thrust", "drag", "main_load", "nose_load")
        return max(*(float(np.abs(self.columns[name]).max()) for name in names), 1e-9)

    @cached_property
    def largest_moment(self) -> float:
        """Largest sum of all parts one way while the mains touch [N m]; never nil."""
        on = self.columns["on_mains"] > 0
        if not self.balance or not on.any():
            return 1.0
        parts = np.array([part[on] for part in self.balance.values()])
        sums = (np.maximum(parts, 0.0).sum(axis=0), np.maximum(-parts, 0.0).sum(axis=0))
        return max(float(np.max(sums)), 1e-9)

    @cached_property
    def largest_net(self) -> float:
        """Largest sum of the balance while the mains touch [N m]; never nil."""
        on = self.columns["on_mains"] > 0
        if not self.balance or not on.any():
            return 1.0
        net = np.sum([part[on] for part in self.balance.values()], axis=0)
        return max(float(np.abs(net).max()), 1e-9)

    def latest(self, time: float) -> dict[str, Any] | None:
        """What happened last, or None before anything has."""
        happened = [event for event in self.story["events"] if event["time"] <= time + 1e-6]
        return happened[-1] if happened else None
