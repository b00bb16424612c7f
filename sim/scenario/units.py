"""Quantities with units: text to SI floats and back.

The grammar is our own and closed: a number, then known unit names joined by `*` and `/`, each
with a whole power from -4 to 4 (`^2` or `**2`). Nothing in a text is ever evaluated; the units
library is asked only for the factor of names from our own table, once for each expression.
"""

import math
import re
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from sim.scenario.problems import ScenarioError, fail, near, shown
from sim.scenario.unit_definitions import DEFINITIONS
from sim.scenario.unit_table import (
    DIMENSIONS,
    FORCE_OF_MASS,
    HABITS,
    MASS_OF_FORCE,
    OFFSET_UNITS,
    SPELLINGS,
    UNITS,
    Dimension,
    Vector,
)

if TYPE_CHECKING:
    from pint import UnitRegistry

LONGEST_TEXT = 80
MOST_FACTORS = 6

Factors = tuple[tuple[str, int], ...]

_NUMBER = re.compile(
    r"[+-]?(?:[0-9]{1,25}(?:\.[0-9]{0,25})?|\.[0-9]{1,25})(?:[eE][+-]?[0-9]{1,3})?"
)
_FACTOR = re.compile(r" *([A-Za-z%]{1,12}|1(?![0-9.]))(?: ?(?:\^|\*\*) ?(-?[1-4])(?![0-9.]))? *")
_JOIN = re.compile(r"\*(?!\*)|/")


class Display(NamedTuple):
    """A number and the unit it is read in."""

    value: float
    unit: str


def parse_quantity(text: str, dimension: str) -> float:
    """Read a quantity such as "490 mm", "0.15 kg*m^2" or "18 degC".

    Parameters
    ----------
    text
        number and unit.
    dimension
        its kind, a key of `sim.scenario.unit_table.DIMENSIONS`.

    Returns
    -------
    The value in SI: radians, kelvin, a plain fraction for %.

    Raises
    ------
    ScenarioError
        With one problem (empty key) for anything else than a finite quantity of that kind.

    """
    if not isinstance(text, str) or len(text) > LONGEST_TEXT:
        raise fail("", shown(text), example(DIMENSIONS[dimension]))
    return _parsed(text, dimension)


@lru_cache(maxsize=4096)
def _parsed(text: str, dimension: str) -> float:
    """The same texts come again and again, of an altered scenario all but one."""
    kind = DIMENSIONS[dimension]
    number, unit = _split(text, kind)
    factors = _factors(unit, text, kind)
    if _vector(factors) != kind.vector:
        raise _wrong_kind(text, number, factors, kind)
    if any(name in OFFSET_UNITS for name, _ in factors):
        value = _absolute(number, factors[0][0])
    else:
        value = _scaled(number, _factor(factors))
    if not math.isfinite(value):
        raise fail("", shown(text), f"{kind.noun} that is a finite number")
    return value


def example(kind: Dimension) -> str:
    """What is wanted, in words with an example."""
    return f'{kind.noun} with its unit, such as "{kind.example}"'


def _split(text: str, kind: Dimension) -> tuple[float, str]:
    """Number in front and unit text behind it."""
    clean = text.strip(" ")
    found = _NUMBER.match(clean)
    if found is None:
        raise fail("", shown(text), example(kind))
    number, rest = float(found.group()), clean[found.end() :].strip(" ")
    if rest.startswith(",") and "," not in rest[1:]:
        dotted = clean.replace(",", ".")
        raise fail("", shown(text), f"{example(kind)}, with a decimal point", shown(dotted))
    if not math.isfinite(number):
        raise fail("", shown(text), f"{kind.noun} that is a finite number")
    if not rest:
        raise fail("", shown(text), example(kind))
    return number, rest


def _factors(unit: str, text: str, kind: Dimension) -> Factors:
    """Unit names and powers, all of them units of ours."""
    factors = _written(unit, text, kind)
    strange = next((name for name, _ in factors if name not in UNITS), None)
    if strange is not None:
        nearest = _meant(strange, text, factors, kind)
        raise fail("", shown(text), f"{example(kind)} (there is no unit '{strange}')", nearest)
    return _plain_offset(factors, text, kind)


def _written(unit: str, text: str, kind: Dimension) -> Factors:
    """Names and powers as written, the sign of a power turned round behind a `/`."""
    for spelling, name in SPELLINGS.items():
        unit = unit.replace(spelling, name)
    factors: list[tuple[str, int]] = []
    place, sign = 0, 1
    while True:
        found = _FACTOR.match(unit, place)
        if found is None or len(factors) == MOST_FACTORS:
            raise fail("", shown(text), example(kind))
        name, power = found.group(1), int(found.group(2) or 1)
        if name != "1":
            factors.append((name, sign * power))
        place = found.end()
        if place == len(unit):
            return tuple(factors)
        join = _JOIN.match(unit, place)
        if join is None:
            raise fail("", shown(text), example(kind))
        place, sign = join.end(), 1 if join.group() == "*" else -1


def _meant(strange: str, text: str, factors: Factors, kind: Dimension) -> str | None:
    """The quantity probably meant, with a unit that makes it of the kind asked for."""
    names = {u: u for u in UNITS if u not in OFFSET_UNITS or len(factors) == 1}
    names |= {word: unit for word, unit in HABITS.items() if unit in UNITS or len(factors) == 1}
    fitting = {n: u for n, u in names.items() if _makes(strange, u, factors, kind)}
    guess = fitting.get(near(strange, fitting) or "")
    if guess is None:
        return None
    return shown(re.sub(rf"(?<![A-Za-z%]){re.escape(strange)}(?![A-Za-z%])", guess, text))


def _makes(strange: str, unit: str, factors: Factors, kind: Dimension) -> bool:
    """Whether a unit in place of the strange name makes the kind asked for."""
    own = ((unit, 1),) if unit in UNITS else _written(unit, unit, kind)
    laid = [
        (n, p * q) for name, q in factors for n, p in (own if name == strange else ((name, 1),))
    ]
    return all(n in UNITS for n, _ in laid) and _vector(tuple(laid)) == kind.vector


def _plain_offset(factors: Factors, text: str, kind: Dimension) -> Factors:
    """Refuse degC and degF in anything but a plain temperature."""
    if factors and any(n in OFFSET_UNITS for n, _ in factors) and factors != ((factors[0][0], 1),):
        raise fail("", shown(text), f"{example(kind)}; degC and degF stand alone, else use K")
    return factors


def _vector(factors: Factors) -> Vector:
    """Kind of a product of units."""
    columns = zip(*(tuple(p * v for v in UNITS[n][1]) for n, p in factors), strict=True)
    total = [sum(column) for column in columns] or [0] * 7
    a, b, c, d, e, f, g = total
    return (a, b, c, d, e, f, g)


def _wrong_kind(text: str, number: float, factors: Factors, kind: Dimension) -> ScenarioError:
    """Say what kind it is instead, and help with the scale reading in kg."""
    vector = _vector(factors)
    noun = next((d.noun for d in DIMENSIONS.values() if d.vector == vector), "something else")
    allowed, nearest = f"{example(kind)}; what is given is {noun}", None
    swap = {"a force": FORCE_OF_MASS, "a mass": MASS_OF_FORCE}.get(kind.noun, {})
    if len(factors) == 1 and factors[0][0] in swap:
        nearest = shown(f"{number:g} {swap[factors[0][0]]}")
    if nearest and kind.noun == "a force":
        allowed += f" (a scale reading of {number:g} {factors[0][0]} is a force of {nearest})"
    return fail("", shown(text), allowed, nearest)


@lru_cache(maxsize=1)
def _registry() -> "UnitRegistry[float]":
    """The units library, imported and set up when first needed: it is slow to start."""
    from pint import UnitRegistry  # noqa: PLC0415  (only when a unit is really read)

    registry: UnitRegistry[float] = UnitRegistry(None)
    registry.load_definitions(DEFINITIONS)
    return registry


@lru_cache(maxsize=512)
def _factor(factors: Factors) -> float:
    """SI value of one of a product of units."""
    quantity = _registry().Quantity(1.0)
    for name, power in factors:
        quantity = quantity * _registry().Quantity(1.0, UNITS[name][0]) ** power
    return float(quantity.to_base_units().magnitude)


def _scaled(number: float, factor: float) -> float:
    """Number times factor; by division where that is exact, so that 690 mm is 0.69 m."""
    if 0.0 < factor < 1.0:
        whole = round(1.0 / factor)
        if whole * factor == 1.0:
            return number / whole
    return number * factor


def _absolute(number: float, unit: str) -> float:
    """Kelvin from a temperature whose zero lies elsewhere."""
    return float(_registry().Quantity(number, UNITS[unit][0]).to("kelvin").magnitude)


def to_display(value: float, dimension: str, system: str = "metric") -> Display:
    """The number people read, and its unit.

    Parameters
    ----------
    value
        in SI.
    dimension
        its kind.
    system
        "metric" or "imperial".

    Raises
    ------
    ScenarioError
        For another system.

    """
    if system not in ("metric", "imperial"):
        raise fail("units", shown(system), "metric or imperial")
    kind = DIMENSIONS[dimension]
    unit = kind.metric if system == "metric" else kind.imperial
    if not unit:
        return Display(value, "")
    if unit in OFFSET_UNITS:
        kelvin = _registry().Quantity(value, "kelvin")
        return Display(float(kelvin.to(UNITS[unit][0]).magnitude), unit)
    return Display(value / _factor(_factors(unit, unit, kind)), unit)


def quantity_text(value: float, dimension: str, system: str = "metric") -> str:
    """A quantity as a builder would write it, four figures."""
    number, unit = to_display(value, dimension, system)
    return f"{number:.4g} {unit}".strip()
