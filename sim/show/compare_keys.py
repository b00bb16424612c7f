"""What two scenarios say differently, key by key, in the units people read."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import isclose
from typing import Any

from sim.scenario import Resistance, Scenario, Trigger, to_display
from sim.scenario.fields import TRIGGER_KINDS, Part, Quantity
from sim.scenario.keys import Key, keys_of
from sim.scenario.models import Document
from sim.scenario.table_files import TableFile

NOT_GIVEN = "not given"
FIGURES = (4, 9)
"""Figures of a number, and of two that are alike to that many."""


@dataclass(frozen=True)
class Difference:
    """A key of the file that differs, with what both say of it."""

    key: str
    before: str
    after: str


def differences(before: Scenario, after: Scenario, system: str = "si") -> tuple[Difference, ...]:
    """Every key with another value, in the order of the file; the titles are left out.

    Values are held against each other as they are meant: "700 mm" and "0.7 m" do not differ, nor
    does a default written out.
    """
    units = "imperial" if system == "imperial" else "metric"
    found: list[Difference] = []
    for name, key in keys_of(Document).items():
        if key.table is not None:
            found += _in_tables(key.table, getattr(before, name), getattr(after, name), name, units)
    return tuple(found)


def _in_tables(
    model: type[Part], one: Any, other: Any, path: str, units: str
) -> Iterator[Difference]:
    for name, key in keys_of(model).items():
        pair = getattr(one, name, None), getattr(other, name, None)
        here = f"{path}.{name}"
        if pair[0] == pair[1]:
            continue
        if key.table is not None and not key.many:
            yield from _in_tables(key.table, *pair, here, units)
        elif not _alike(*pair):
            yield _told(here, key, pair, units)


def _alike(one: Any, other: Any) -> bool:
    """Whether two numbers differ only by the rounding of their units."""
    both = isinstance(one, float) and isinstance(other, float)
    return both and isclose(one, other, rel_tol=1e-9)


def _told(path: str, key: Key, pair: tuple[Any, Any], units: str) -> Difference:
    for figures in FIGURES:
        before, after = (_value(item, key, units, figures) for item in pair)
        if before != after:
            break
    return Difference(path, before, after)


def _value(value: Any, key: Key, units: str, figures: int) -> str:
    match value:
        case None:
            told = NOT_GIVEN
        case bool():
            told = "yes" if value else "no"
        case Trigger():
            told = _number(value.value, TRIGGER_KINDS[value.kind], units, figures)
        case Resistance():
            ends = (value.low, value.typical, value.high)
            told = " to ".join(dict.fromkeys(f"{end:.{figures}g}" for end in ends))
        case tuple():
            told = "; ".join(_row(item, units, figures) for item in value)
        case TableFile():
            told = value.name
        case _ if isinstance(key.note, Quantity):
            told = _number(value, key.note, units, figures)
        case _:
            told = str(value)
    return told


def _row(part: Part, units: str, figures: int) -> str:
    """One table of a list, on a line."""
    keys = keys_of(type(part)).items()
    given = ((getattr(part, name), key) for name, key in keys)
    return ", ".join(_value(v, key, units, figures) for v, key in given if v is not None)


def _number(value: float, note: Quantity, units: str, figures: int) -> str:
    shown = to_display(value, note.dimension, units)
    large = abs(shown.value) >= 10.0**figures
    number = f"{shown.value:,.0f}" if large else f"{shown.value:.{figures}g}"
    return f"{number} {shown.unit}".strip()
