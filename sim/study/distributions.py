"""What an uncertain number may be: read from a text, turned into values by quantile.

    value +/- tolerance     anything within the tolerance, all alike; in percent of the value too
    +/- tolerance           the same about what the scenario has
    from..to                anything between, all alike
    low..typical..high      most likely at typical, falling off straight to both ends
    value sd deviation      a normal distribution, one standard deviation given, cut at four

A tolerance is taken as a limit with nothing known within it, the rectangular distribution of
JCGM 100:2008 (GUM) 4.3.7 (from memory), of deviation a/sqrt(3). One standard deviation, as a fit of
measurements gives it, is written `sd`.
"""

import re
from dataclasses import dataclass
from math import isfinite, sqrt

import numpy as np
from scipy.special import ndtr, ndtri

from sim.roll.aero_table import Array
from sim.scenario import Scenario, ScenarioError, parse_quantity
from sim.scenario.problems import fail, shown
from sim.study.knobs import Knob, current_value, knob_of

FORMS = (
    '"VALUE +/- TOLERANCE", "+/- TOLERANCE", "FROM..TO", "LOW..TYPICAL..HIGH" or'
    ' "VALUE sd DEVIATION"'
)
CUT = 4.0
"""Standard deviations at which a normal distribution ends."""
KELVIN_STEPS = {"degC": 1.0, "degF": 1.0 / 1.8, "K": 1.0}


@dataclass(frozen=True)
class Distribution:
    """One uncertain number [SI].

    Attributes
    ----------
    kind: "uniform", "triangular" or "normal".
    low, high: ends.
    middle: most likely value; centre of a uniform one.

    """

    kind: str
    low: float
    middle: float
    high: float

    def at(self, quantile: Array) -> Array:
        """Values below which a share of all lies, shapes alike; quantile within (0, 1)."""
        if self.kind == "uniform":
            return np.asarray(self.low + (self.high - self.low) * quantile)
        if self.kind == "triangular":
            return self._triangular(quantile)
        tail = float(ndtr(-CUT))
        deviation = (self.high - self.low) / (2.0 * CUT)
        return np.asarray(self.middle + deviation * ndtri(tail + (1.0 - 2.0 * tail) * quantile))

    def _triangular(self, quantile: Array) -> Array:
        width, rise, fall = self.high - self.low, self.middle - self.low, self.high - self.middle
        up = self.low + np.sqrt(quantile * width * rise)
        down = self.high - np.sqrt((1.0 - quantile) * width * fall)
        return np.asarray(np.where(quantile * width < rise, up, down))

    @property
    def deviation(self) -> float:
        """Standard deviation [SI]; that of a normal one before it is cut."""
        if self.kind == "uniform":
            return (self.high - self.low) / sqrt(12.0)
        if self.kind == "normal":
            return (self.high - self.low) / (2.0 * CUT)
        a, b, c = self.low, self.middle, self.high
        return sqrt((a * a + b * b + c * c - a * b - a * c - b * c) / 18.0)


@dataclass(frozen=True)
class Varied:
    """A key and what it may be.

    Attributes
    ----------
    knob: the key.
    distribution: of its values.
    text: as asked for.
    judgement: why it is varied although nobody asked; "" when somebody did.
    steps: how many equally likely values stand for all of them; 0 for any value.

    """

    knob: Knob
    distribution: Distribution
    text: str
    judgement: str = ""
    steps: int = 0

    def at(self, quantile: Array) -> Array:
        """Values [SI] at quantiles within (0, 1), shapes alike; whole where the key wants it."""
        if self.steps:
            quantile = (np.floor(quantile * self.steps) + 0.5) / self.steps
        values = self.distribution.at(quantile)
        return np.round(values) if self.knob.form == "whole" else values


def varied_of(scenario: Scenario, text: str, judgement: str = "") -> Varied:
    """Read "KEY=...", in the forms of this module.

    Raises
    ------
    ScenarioError
        Saying what is wrong with it.

    """
    key, equals, behind = (part.strip() for part in text.replace("±", "+/-").partition("="))
    if not equals or not behind:
        raise fail("vary", shown(text), f"KEY={FORMS}")
    middle, ends, tolerance = _split(key, behind)
    knob = knob_of(scenario, key, ends[0] if ends else _sample(middle, tolerance[1]))
    if ends:
        return Varied(knob, _between(knob, ends, behind), text, judgement)
    sign, amount = tolerance
    value = knob.read(_sample(middle, amount)) if middle else _current(scenario, knob, behind)
    width = _width(knob, amount, value, behind)
    if sign == "sd":
        found = Distribution("normal", value - CUT * width, value, value + CUT * width)
    else:
        found = Distribution("uniform", value - width, value, value + width)
    return Varied(knob, found, text, judgement)


def _sample(middle: str, amount: str) -> str | None:
    """The value before a tolerance, in the tolerance's unit when it has none of its own."""
    if not middle:
        return None
    return middle if amount.endswith("%") else _same_unit(middle, amount)


def _split(key: str, behind: str) -> tuple[str, list[str], tuple[str, str]]:
    """Middle, ends, and ("+/-" or "sd", amount)."""
    for sign in ("+/-", "+-"):
        if sign in behind:
            middle, _, amount = behind.partition(sign)
            return middle.strip(), [], ("+/-", amount.strip())
    normal = re.fullmatch(r"(.*?)\s*\bsd\b\s*(.+)", behind)
    if normal:
        return normal.group(1).strip(), [], ("sd", normal.group(2).strip())
    ends = [part.strip() for part in behind.split("..")]
    if len(ends) not in (2, 3) or not all(ends):
        raise fail(key, shown(behind), FORMS)
    return "", [_same_unit(end, ends[-1]) for end in ends], ("", "")


def _same_unit(text: str, last: str) -> str:
    """A plain number takes the unit of the last one: 18..22 m."""
    unit = re.fullmatch(r"[-+\d.]+(?:[eE][-+]?\d+)?\s*([A-Za-z%].*)", last)
    plain = re.fullmatch(r"[-+\d.]+(?:[eE][-+]?\d+)?", text)
    return f"{text} {unit.group(1)}" if unit and plain else text


def _between(knob: Knob, ends: list[str], given: str) -> Distribution:
    values = [knob.read(end) for end in ends]
    low, high = values[0], values[-1]
    middle = values[1] if len(values) == 3 else 0.5 * (low + high)
    if not low < high or not low <= middle <= high:
        raise fail(knob.key, shown(given), "values that rise")
    return Distribution("triangular" if len(values) == 3 else "uniform", low, middle, high)


def _current(scenario: Scenario, knob: Knob, given: str) -> float:
    value = current_value(scenario, knob)
    if value is None:
        allowed = "a value before +/-: the scenario leaves this key out"
        raise fail(knob.key, shown(given), allowed)
    return value


def _width(knob: Knob, amount: str, value: float, given: str) -> float:
    """A tolerance [SI], above zero; percent of the value unless the key itself is in percent."""
    try:
        if amount.endswith("%") and knob.dimension != "fraction":
            width = parse_quantity(amount, "fraction") * abs(value)
        elif knob.dimension == "temperature":
            number, _, unit = amount.partition(" ")
            width = float(number) * KELVIN_STEPS[unit.strip()]
        elif knob.dimension == "bare":
            width = float(amount)
        else:
            width = parse_quantity(amount, knob.dimension)
    except (ScenarioError, ValueError, KeyError):
        width = -1.0
    if not (isfinite(width) and width > 0.0):
        raise fail(knob.key, shown(given), "a tolerance above zero, with its unit or in percent")
    return width
