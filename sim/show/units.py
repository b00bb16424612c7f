"""Units in which people read results: one table, no units library, so that it starts at once.

A shown number is `value * factor + offset` of the SI value. Angles are degrees in both systems.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import degrees, isfinite, isnan, pi
from typing import Any

from sim.checks.sentence import Quantity

FOOT = 0.3048  # [m], exact by definition
INCH = 0.0254  # [m], exact
MILE_PER_HOUR = 0.44704  # [m/s], exact
POUND = 0.45359237  # [kg], exact
POUND_FORCE = POUND * 9.80665  # [N], exact


@dataclass(frozen=True)
class Unit:
    """How a kind of quantity is shown.

    Attributes
    ----------
    symbol: as printed; empty for plain numbers.
    factor, offset: shown = SI value * factor + offset.
    decimals: digits after the point in sentences and tables.

    """

    symbol: str
    factor: float
    decimals: int
    offset: float = 0.0

    def shown(self, value: float) -> float:
        """SI value in this unit."""
        return value * self.factor + self.offset

    def shown_array(self, values: Any) -> Any:
        """SI array in this unit."""
        return values * self.factor + self.offset


_DEGREE = degrees(1.0)
_BOTH: dict[str, Unit] = {
    "angle": Unit("deg", _DEGREE, 1),
    "angular_rate": Unit("deg/s", _DEGREE, 0),
    "angular_acceleration": Unit("deg/s^2", _DEGREE, 0),
    "time": Unit("s", 1.0, 2),
    "fraction": Unit("", 1.0, 3),
    "share": Unit("%", 100.0, 0),
    "power": Unit("W", 1.0, 0),
    "voltage": Unit("V", 1.0, 1),
    "current": Unit("A", 1.0, 1),
    "resistance": Unit("mohm", 1e3, 2),
    "rotation": Unit("rpm", 30.0 / pi, 0),
}
UNITS: dict[str, dict[str, Unit]] = {
    "si": _BOTH
    | {
        "distance": Unit("m", 1.0, 1),
        "height": Unit("m", 1.0, 2),
        "length": Unit("mm", 1e3, 0),
        "speed": Unit("m/s", 1.0, 1),
        "acceleration": Unit("m/s^2", 1.0, 2),
        "force": Unit("N", 1.0, 1),
        "mass": Unit("kg", 1.0, 2),
        "inertia": Unit("kg*m^2", 1.0, 3),
        "moment": Unit("N*m", 1.0, 2),
        "stress": Unit("MPa", 1e-6, 0),
        "energy": Unit("J", 1.0, 1),
        "area": Unit("dm^2", 1e2, 1),
        "temperature": Unit("degC", 1.0, 1, -273.15),
        "pressure": Unit("hPa", 1e-2, 1),
        "density": Unit("kg/m^3", 1.0, 3),
    },
    "imperial": _BOTH
    | {
        "distance": Unit("ft", 1.0 / FOOT, 0),
        "height": Unit("ft", 1.0 / FOOT, 1),
        "length": Unit("in", 1.0 / INCH, 2),
        "speed": Unit("mph", 1.0 / MILE_PER_HOUR, 1),
        "acceleration": Unit("ft/s^2", 1.0 / FOOT, 1),
        "force": Unit("lbf", 1.0 / POUND_FORCE, 2),
        "mass": Unit("lb", 1.0 / POUND, 2),
        "inertia": Unit("lb*ft^2", 1.0 / (POUND * FOOT**2), 2),
        "moment": Unit("lbf*in", 1.0 / (POUND_FORCE * INCH), 2),
        "stress": Unit("lbf/in^2", INCH**2 / POUND_FORCE, 0),
        "energy": Unit("ft*lbf", 1.0 / (FOOT * POUND_FORCE), 1),
        "area": Unit("in^2", 1.0 / INCH**2, 0),
        "temperature": Unit("degF", 1.8, 1, -459.67),
        "pressure": Unit("inHg", 1.0 / 3386.389, 2),
        "density": Unit("lb/ft^3", FOOT**3 / POUND, 4),
    },
}
"""System -> kind of quantity -> unit."""

SYSTEMS = tuple(UNITS)


def unit_of(kind: str, system: str = "si") -> Unit:
    """Unit of a kind of quantity; a kind not in the table is shown as a plain number.

    Raises
    ------
    ValueError
        For a system that is none of SYSTEMS.

    """
    if system not in UNITS:
        raise ValueError(f"units {system!r}: allowed are {' and '.join(SYSTEMS)}")
    return UNITS[system].get(kind, Unit("", 1.0, 3))


def number_text(value: float, decimals: int) -> str:
    """A number with fixed decimals: never a negative zero, "-" for nan, words for infinity."""
    if isnan(value):
        return "-"
    if not isfinite(value):
        return "endless" if value > 0 else "-endless"
    text = f"{value:.{decimals}f}"
    return text[1:] if text.startswith("-") and not text.strip("-0.") else text


def number(value: float, kind: str, system: str = "si", decimals: int | None = None) -> str:
    """SI value as a number in the unit of its kind, without the unit."""
    unit = unit_of(kind, system)
    return number_text(unit.shown(value), unit.decimals if decimals is None else decimals)


def quantity(value: float, kind: str, system: str = "si", decimals: int | None = None) -> str:
    """SI value with its unit, such as "12.3 m"; "-" for nan."""
    symbol = unit_of(kind, system).symbol
    text = number(value, kind, system, decimals)
    return f"{text} {symbol}" if symbol and isfinite(value) else text


def formatter(system: str = "si") -> Callable[[Quantity], str]:
    """The writer of quantities for `Sentence.text` in one system of units."""
    unit_of("time", system)  # refuses an unknown system at once
    return lambda q: quantity(q.value, q.kind, system)
