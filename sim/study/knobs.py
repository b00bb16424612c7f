"""Knobs: the keys of a scenario that a study turns, their values as single numbers.

A knob is a quantity, a plain or whole number, one kind of trigger (a place, an airspeed or a
time), a rolling resistance, or the place of a surface's resistance within its range.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from sim.scenario import Display, Resistance, Scenario, ScenarioError, Trigger, to_display
from sim.scenario.fields import TRIGGER_KINDS, Part, Quantity, TriggerField
from sim.scenario.keys import Key, keys_of
from sim.scenario.models import Document
from sim.scenario.problems import fail, near, shown
from sim.scenario.strip import ResistanceField
from sim.scenario.whole import Whole

SURFACE_KEY = "strip.surface"
SURFACE_WORDS = {"low": -1.0, "typical": 0.0, "high": 1.0}
SURFACE_ALLOWED = "low, typical, high, or a plain number from -1 (low) to 1 (high)"
RESISTANCE_RANGE = (0.0, 2.0)
"""Rolling resistances a scenario takes [-]; those of `ResistanceField`."""

SI_UNITS = {
    "length": "m", "distance": "m", "area": "m^2", "mass": "kg", "inertia": "kg*m^2",
    "force": "N", "torque": "N*m", "stiffness": "N/m", "pressure": "Pa", "stress": "Pa",
    "temperature": "K", "time": "s", "frequency": "Hz", "speed": "m/s", "angle": "rad",
    "turn_rate": "rad/s",
    "twist": "rad/N", "per_angle": "1/rad", "fraction": "%", "power": "W", "voltage": "V",
    "current": "A", "charge": "A*s", "density": "kg/m^3", "rotation": "rad/s",
    "resistance": "ohm", "motor_constant": "rad/s/V", "bare": "",
}  # fmt: skip
"""Unit in which each kind of quantity is written back into a text, SI but for percentages."""


@dataclass(frozen=True)
class Knob:
    """One key that can be turned; its values are SI floats everywhere.

    Attributes
    ----------
    key: dotted path as in a file.
    form: "number", "whole", "place", "airspeed", "time", "resistance" or "surface".
    dimension: kind of quantity, key of `sim.scenario.unit_table.DIMENSIONS`.
    low, high: bounds of the key, both allowed [SI].
    allowed: what may stand there, in words.

    """

    key: str
    form: str
    dimension: str
    low: float
    high: float
    allowed: str

    def read(self, text: object) -> float:
        """SI value of a text such as "24 N"; a plain number where the key takes one.

        Raises
        ------
        ScenarioError
            For anything the key does not take.

        """
        if self.form == "surface":
            return self._position(text)
        note = _note_of(self.key)
        try:
            read = note.read(_plain(text))
        except ValueError as wrong:
            nearest = (getattr(wrong, "context", None) or {}).get("nearest")
            raise fail(self.key, shown(text), self.allowed, nearest) from None
        if isinstance(read, Trigger):
            if read.kind != self.form:
                allowed = f"a{'n' if self.form == 'airspeed' else ''} {self.form} like the others"
                raise fail(self.key, shown(text), allowed)
            return read.value
        if isinstance(read, Resistance):
            if read.low < read.high:
                raise fail(self.key, shown(text), "one plain number from 0 to 2")
            return read.typical
        return float(read)

    def _position(self, text: object) -> float:
        if isinstance(text, str) and text in SURFACE_WORDS:
            return SURFACE_WORDS[text]
        try:
            value = float(text)  # type: ignore[arg-type]
        except (TypeError, ValueError):
            value = math.nan
        if not self.low <= value <= self.high:
            nearest = near(text, SURFACE_WORDS) if isinstance(text, str) else None
            raise fail(self.key, shown(text), self.allowed, nearest)
        return value

    def checked(self, value: float) -> float:
        """The value itself.

        Raises
        ------
        ScenarioError
            When it is out of the key's bounds, or not whole where a whole number belongs.

        """
        inside = self.low <= value <= self.high
        if not inside or (self.form == "whole" and value != int(value)):
            told = self.display(value)
            raise fail(self.key, shown(f"{told.value:.6g} {told.unit}".strip()), self.allowed)
        return value

    def leaf(self, value: float) -> object:
        """What stands in the scenario's models for an SI value."""
        if self.form == "whole":
            return int(value)
        if self.form in TRIGGER_KINDS:
            return Trigger(self.form, float(value))
        if self.form == "resistance":
            return Resistance(float(value), float(value), float(value))
        return float(value)

    def override(self, value: float) -> str:
        """The text `KEY=VALUE` that lays a value over a scenario."""
        return f"{self.key}={self.text(value)}"

    def text(self, value: float) -> str:
        """A value as it may stand in a file, in SI units, to the last digit where they allow it."""
        if self.form == "whole" and math.isfinite(value) and value == int(value):
            return str(int(value))
        number = 100.0 * value if self.dimension == "fraction" else value
        return f"{float(number)!r} {SI_UNITS[self.dimension]}".strip()

    def display(self, value: float, system: str = "metric") -> Display:
        """The number people read, and its unit; `system` is "metric" or "imperial"."""
        return to_display(float(value), self.dimension, system)


def knob_of(scenario: Scenario, key: str, sample: object = None) -> Knob:
    """The knob behind a key of a scenario.

    Parameters
    ----------
    scenario
        tells which kind of trigger it has now, when no sample does.
    key
        dotted path, or `strip.surface` for the place within the surface's range of resistance.
    sample
        a value as written; tells whether a trigger is meant as place, airspeed or time.

    Raises
    ------
    ScenarioError
        Naming the nearest key when this one is unknown or cannot be turned.

    """
    if key == SURFACE_KEY:
        return Knob(key, "surface", "bare", -1.0, 1.0, SURFACE_ALLOWED)
    if key not in turnable():
        raise _no_knob(key, sample)
    note = _note_of(key)
    if isinstance(note, ResistanceField):
        low, high = RESISTANCE_RANGE
        return Knob(key, "resistance", "bare", low, high, "a plain number from 0 to 2")
    if isinstance(note, TriggerField):
        kind = _trigger_kind(scenario, key, sample)
        if kind not in note.kinds:
            raise fail(key, shown(sample), note.allowed())
        return _of_quantity(key, TRIGGER_KINDS[kind], kind, note.allowed())
    form = "whole" if isinstance(note, Whole) else "number"
    return _of_quantity(key, note, form, note.allowed())


def current_value(scenario: Scenario, knob: Knob) -> float | None:
    """What a scenario has for a knob now [SI]; None where it is left out or of another kind."""
    if knob.form == "surface":
        return 0.0
    here: object = scenario
    for name in knob.key.split("."):
        here = getattr(here, name, None)
    if isinstance(here, Trigger):
        return here.value if here.kind == knob.form else None
    if isinstance(here, Resistance):
        return here.typical
    return float(here) if isinstance(here, int | float) else None


def turnable() -> tuple[str, ...]:
    """Every key that can be turned, in the order of a scenario file."""
    return tuple(_turnable())


@lru_cache(maxsize=1)
def _turnable() -> dict[str, Quantity | TriggerField | ResistanceField]:
    return dict(_walk(Document, ""))


def _walk(
    table: type[Part], path: str
) -> Iterator[tuple[str, Quantity | TriggerField | ResistanceField]]:
    """Keys with one number each; those inside lists cannot be named."""
    for name, key in keys_of(table).items():
        here = f"{path}.{name}" if path else name
        if isinstance(key.note, Quantity | TriggerField | ResistanceField):
            yield here, key.note
        elif _is_table(key):
            assert key.table is not None
            yield from _walk(key.table, here)


def _is_table(key: Key) -> bool:
    return key.table is not None and not key.many


def _note_of(key: str) -> Quantity | TriggerField | ResistanceField:
    return _turnable()[key]


def _of_quantity(key: str, quantity: Quantity, form: str, allowed: str) -> Knob:
    low, high = quantity.bound(quantity.low), quantity.bound(quantity.high)
    return Knob(key, form, quantity.dimension, low, high, allowed)


def _trigger_kind(scenario: Scenario, key: str, sample: object) -> str:
    if sample is not None:
        note = _note_of(key)
        try:
            read = note.read(sample)
        except ValueError:
            raise fail(key, shown(sample), note.allowed()) from None
        assert isinstance(read, Trigger)
        return read.kind
    here: object = scenario
    for name in key.split("."):
        here = getattr(here, name, None)
    return here.kind if isinstance(here, Trigger) else "place"


def _no_knob(key: str, sample: object) -> ScenarioError:
    """The same last name elsewhere, else the nearest key."""
    last = key.rpartition(".")[2]
    same = [known for known in turnable() if known.rpartition(".")[2] == last]
    nearest = near(key, same) or (same[0] if same else near(key, turnable()))
    return fail(key, shown(sample), "a key of a scenario that holds one number", nearest)


def _plain(text: object) -> object:
    """A number in a text, as on a command line, becomes one; everything else stays as it is."""
    try:
        return float(text) if isinstance(text, str) else text
    except ValueError:
        return text
