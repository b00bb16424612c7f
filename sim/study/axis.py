"""What a study runs along: `KEY=FROM:TO:COUNT` or `KEY=a,b,c`, one key of a scenario.

A key that holds one number runs along SI values. A list of words (surfaces, kinds of flap, a place
beside an airspeed) runs along its texts, each laid over the scenario as `--set` would.
"""

from dataclasses import dataclass

import numpy as np

from sim.roll.aero_table import Array
from sim.scenario import Scenario, ScenarioError, with_overrides
from sim.scenario.problems import fail, near, shown
from sim.study.knobs import SURFACE_KEY, Knob, knob_of, turnable

FEWEST, MOST = 2, 2001
FORM = 'KEY=FROM:TO:COUNT such as "power.static_thrust=15 N:30 N:41", or KEY=a,b,c'


@dataclass(frozen=True)
class Axis:
    """One key and what stands there, place by place.

    Attributes
    ----------
    key: dotted path as in a file.
    knob: of a key that runs along numbers; None for words.
    values: SI, shape (n,); place numbers 0, 1, ... for words.
    words: each as written; empty for numbers.

    """

    key: str
    knob: Knob | None
    values: Array
    words: tuple[str, ...] = ()

    def __len__(self) -> int:
        return len(self.values)

    def text(self, index: int, system: str = "si") -> str:
        """What stands at a place, as people read it."""
        if self.knob is None:
            return self.words[index]
        return value_text(self.knob, float(self.values[index]), system)


def value_text(knob: Knob, value: float, system: str = "si", digits: int = 5) -> str:
    """A value with the unit people read it in, such as "655 mm"."""
    shown_as = knob.display(value, "imperial" if system == "imperial" else "metric")
    return f"{shown_as.value + 0.0:.{digits}g} {shown_as.unit}".strip()


def axis_of(scenario: Scenario, text: str) -> Axis:
    """Read one axis.

    Parameters
    ----------
    scenario
        tells which kind of trigger a key is now, and is laid over to try words.
    text
        as on the command line.

    Raises
    ------
    ScenarioError
        Naming key, what was given, what is allowed and the nearest.

    """
    key, sign, what = text.partition("=")
    key, what = key.strip(), what.strip()
    if not sign or not key or not what:
        raise fail(key or "KEY", shown(text), FORM)
    if ":" in what:
        return _stepped(scenario, key, what)
    items = tuple(item.strip() for item in what.split(","))
    if len(items) < FEWEST or not all(items):
        raise fail(key, shown(what), f"{FORM}: two values or more")
    if len(items) > MOST or len(set(items)) < len(items):
        raise fail(key, shown(what), f"each value once, at most {MOST}")
    return _listed(scenario, key, items)


def _stepped(scenario: Scenario, key: str, what: str) -> Axis:
    parts = [part.strip() for part in what.split(":")]
    if len(parts) != 3:
        raise fail(key, shown(what), "FROM:TO:COUNT, both ends with their unit")
    knob = knob_of(scenario, key, parts[0])
    first, last = knob.read(parts[0]), knob.read(parts[1])
    count = _count(key, parts[2])
    if first == last:
        raise fail(key, shown(what), "FROM and TO that differ")
    values = np.linspace(first, last, count)
    if knob.form == "whole" and np.any(values != np.round(values)):
        whole = f"{parts[0]}:{parts[1]}:{round(abs(last - first)) + 1}"
        raise fail(key, shown(what), "a COUNT with which every value is whole", whole)
    return Axis(key, knob, values)


def _count(key: str, text: str) -> int:
    """Places along the axis, both ends counted."""
    try:
        count = int(text)
    except ValueError:
        count = 0
    if not FEWEST <= count <= MOST:
        nearest = str(min(max(count, FEWEST), MOST)) if text.lstrip("-").isdigit() else None
        raise fail(key, shown(text), f"a COUNT, a whole number from {FEWEST} to {MOST}", nearest)
    return count


def _listed(scenario: Scenario, key: str, items: tuple[str, ...]) -> Axis:
    """Numbers where every item is one, else words."""
    try:
        knob = knob_of(scenario, key, items[0])
        values = np.array([knob.read(item) for item in items])
    except ScenarioError as wrong:
        return _worded(scenario, key, items, wrong)
    if len(np.unique(values)) < len(values):
        raise fail(key, shown(",".join(items)), "each value once")
    return Axis(key, knob, values)


def _worded(scenario: Scenario, key: str, items: tuple[str, ...], as_number: ScenarioError) -> Axis:
    """Items tried as anybody would lay them over; one the key does not take is a mistake.

    One the rest of the scenario contradicts is not: it will be a row that says so.
    """
    for item in items:
        try:
            with_overrides(scenario, [f"{key}={item}"])
        except ScenarioError as wrong:
            if any(f"{key}.".startswith(f"{problem.key}.") for problem in wrong.problems):
                # a mistake among numbers is told as one among numbers
                numeric = key in turnable() and key != SURFACE_KEY and not _kinds(key)
                raise (as_number if numeric else _nearest(key, wrong)) from None
    return Axis(key, None, np.arange(float(len(items))), items)


def _kinds(key: str) -> bool:
    """Whether a key may be a place, an airspeed or a time: such a list may mix them."""
    return key.endswith((".at", "_at"))


def _nearest(key: str, wrong: ScenarioError) -> ScenarioError:
    """The mistake itself; of an unknown key with the nearest one that can be varied."""
    problem = wrong.problems[0]
    if problem.key == key and problem.nearest is None and key not in turnable():
        guess = near(key, turnable())
        return fail(key, problem.given, problem.allowed, guess) if guess else wrong
    return wrong
