"""Variants: one scenario with a few of its keys turned, thousands of times.

The keys are laid over the scenario once as anybody would (alternatives they exclude drop, bench
readings keep their old parts), and the corners of what is asked for are validated whole. A variant
then is the same models with a few leaves replaced.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from sim.roll.aero_table import Array
from sim.scenario import Scenario, ScenarioError, with_overrides
from sim.scenario.fields import Part
from sim.study.knobs import Knob

MOST_CORNER_KNOBS = 5
"""Up to so many knobs every corner is validated; with more, each extreme by itself."""


@dataclass(frozen=True)
class Base:
    """A scenario whose keys can be turned.

    Attributes
    ----------
    scenario: with the knobs at `row`.
    knobs: the keys turned.
    row: values at which they stand in it, shape (knobs,) [SI].
    plan: nested names, the index of a knob at each leaf.
    strict: some corner contradicts itself, so every variant is validated whole.

    """

    scenario: Scenario
    knobs: tuple[Knob, ...]
    row: Array
    plan: dict[str, Any]
    strict: bool


def base_for(scenario: Scenario, knobs: Sequence[Knob], values: Array) -> Base:
    """Lay the knobs over a scenario and try the corners of what is asked for.

    Parameters
    ----------
    scenario
        the base.
    knobs
        each key once.
    values
        shape (n, knobs) [SI]; those out of bounds are passed over here.

    Raises
    ------
    ScenarioError
        When no corner makes a scenario, with what is wrong with the middle of it.

    """
    knobs = tuple(knobs)
    tries = _corners(knobs, np.asarray(values, dtype=float))
    found: list[tuple[Array, Scenario]] = []
    first: ScenarioError | None = None
    for row in tries:
        try:
            found.append((row, _laid_over(scenario, knobs, row)))
        except ScenarioError as wrong:
            first = first or wrong
    if not found:
        assert first is not None
        raise first
    row, laid = found[0]
    base = Base(laid, knobs, row, _plan(knobs), len(found) < len(tries))
    return replace(base, scenario=variant(replace(base, strict=False), row))


def variant(base: Base, row: Array) -> Scenario:
    """The scenario with its knobs at a row of values, shape (knobs,) [SI].

    Its `raw`, `defaulted` and `overrides` are those of the base.

    Raises
    ------
    ScenarioError
        When a value is out of its key's bounds or, where some corner was refused, when the variant
        contradicts itself.

    """
    values = [knob.checked(float(value)) for knob, value in zip(base.knobs, row, strict=True)]
    if base.strict:
        _laid_over(base.scenario, base.knobs, np.array(values))
    leaves = [knob.leaf(value) for knob, value in zip(base.knobs, values, strict=True)]
    tables: dict[str, Any] = {
        name: _turned(getattr(base.scenario, name), below, leaves)
        for name, below in base.plan.items()
    }
    return replace(base.scenario, **tables) if tables else base.scenario


def _turned(part: Part, plan: dict[str, Any], leaves: list[object]) -> Part:
    """A table with some leaves replaced. They are checked already, the models do not look again."""
    update = {
        name: _turned(getattr(part, name), below, leaves)
        if isinstance(below, dict)
        else leaves[below]
        for name, below in plan.items()
    }
    return part.model_copy(update=update)


def _plan(knobs: tuple[Knob, ...]) -> dict[str, Any]:
    plan: dict[str, Any] = {}
    for index, knob in enumerate(knobs):
        if knob.form == "surface":
            continue  # laid on once the range is known
        *tables, name = knob.key.split(".")
        here = plan
        for table in tables:
            here = here.setdefault(table, {})
        here[name] = index
    return plan


def _laid_over(scenario: Scenario, knobs: tuple[Knob, ...], row: Array) -> Scenario:
    texts = [
        knob.override(float(value))
        for knob, value in zip(knobs, row, strict=True)
        if knob.form != "surface"
    ]
    return with_overrides(scenario, texts)


def _corners(knobs: tuple[Knob, ...], values: Array) -> list[Array]:
    """Rows to validate whole: the middle one of those asked for, then corners or extremes."""
    low = np.array([knob.low for knob in knobs])
    high = np.array([knob.high for knob in knobs])
    allowed = values[((values >= low) & (values <= high)).all(axis=1)]
    if not len(allowed):
        allowed = values
    middle = allowed[len(allowed) // 2]
    ends = np.array([allowed.min(axis=0), allowed.max(axis=0)])
    if len(knobs) <= MOST_CORNER_KNOBS:
        picks = itertools.product((0, 1), repeat=len(knobs))
        corners = [ends[list(pick), np.arange(len(knobs))] for pick in picks]
    else:
        corners = [ends[0], ends[1]]
        for index in range(len(knobs)):
            for end in ends[:, index]:
                corner = middle.copy()
                corner[index] = end
                corners.append(corner)
    rows = {tuple(row): row for row in (middle, *corners)}
    return list(rows.values())
