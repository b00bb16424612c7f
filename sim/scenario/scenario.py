"""From a file or a dictionary to a scenario whose every number is SI and checked."""

import copy
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from sim.scenario.aeroplane import Aeroplane
from sim.scenario.files import Merged, Origin, find_scenario, origin_of, read_file
from sim.scenario.keys import left_out
from sim.scenario.merging import Tree, check_shape, with_keys
from sim.scenario.pilot import Pilot
from sim.scenario.power import Power
from sim.scenario.problems import Problem, ScenarioError, fail, from_source, shown
from sim.scenario.resolving import resolved
from sim.scenario.strip import Air, Strip
from sim.scenario.validation import validate


@dataclass(frozen=True)
class LeftOut:
    """A key that was left out, and what is done instead."""

    key: str
    reason: str


@dataclass(frozen=True)
class Scenario:
    """One aeroplane, power system, strip, air and pilot technique. SI: radians, kelvin, fractions.

    Attributes
    ----------
    defaulted: keys left out that are estimated or defaulted, with the reason.
    raw: the merged file as written, for laying changes over; not to be changed in place.
    source: file or name it came from.
    origins: where each key was written.

    """

    title: str
    aeroplane: Aeroplane
    power: Power
    strip: Strip
    air: Air
    pilot: Pilot
    defaulted: tuple[LeftOut, ...] = field(compare=False, repr=False)
    raw: Tree = field(compare=False, repr=False)
    source: str = field(compare=False)
    origins: dict[str, Origin] = field(compare=False, repr=False)

    def resolved(self) -> dict[str, Any]:
        """The scenario as nested dictionaries of SI numbers for JSON, units in the key names."""
        parts = ("aeroplane", "power", "strip", "air", "pilot")
        return {"title": self.title} | {name: resolved(getattr(self, name)) for name in parts}


def load_scenario(path: str | Path, overrides: Sequence[str] = ()) -> Scenario:
    """Read a scenario file, or a shipped scenario by name.

    Parameters
    ----------
    path
        file or name.
    overrides
        texts `KEY=VALUE` laid over it, such as "power.static_thrust=30 N".

    Raises
    ------
    ScenarioError
        With every mistake found. Nothing else is raised for bad input.

    """
    file = find_scenario(path)
    return _build(read_file(file), overrides, str(file))


def parse_scenario(data: dict[str, Any], source: str = "a dictionary") -> Scenario:
    """Validate a scenario given as nested dictionaries, written as in a file.

    Raises
    ------
    ScenarioError
        With every mistake found. `extends` is refused: it belongs in a file.

    """
    try:
        tree = copy.deepcopy(check_shape(data))
    except ScenarioError as error:
        raise from_source(error, source) from None
    if "extends" in tree:
        wrong = fail("extends", shown(tree["extends"]), "left out: only a file extends another")
        raise from_source(wrong, source)
    return _build(Merged(tree), (), source)


def with_overrides(scenario: Scenario, overrides: Sequence[str]) -> Scenario:
    """The scenario with keys replaced, validated anew.

    Raises
    ------
    ScenarioError
        With every mistake found.

    """
    return _build(Merged(scenario.raw, scenario.origins), overrides, scenario.source)


def _build(merged: Merged, overrides: Sequence[str], source: str) -> Scenario:
    data, replaced, wrong = with_keys(merged.data, overrides)
    origins = merged.origins | {key: Origin(text) for key, text in replaced.items()}
    document, problems = validate(data)
    if document is None or wrong:
        unread = [replace(problem, source="override") for problem in wrong]
        raise ScenarioError(unread + [_placed(p, origins, source) for p in problems])
    return Scenario(
        title=document.title,
        aeroplane=document.aeroplane,
        power=document.power,
        strip=document.strip,
        air=document.air,
        pilot=document.pilot,
        defaulted=tuple(LeftOut(key, reason) for key, reason in left_out(data)),
        raw=data,
        source=source,
        origins=origins,
    )


def _placed(problem: Problem, origins: dict[str, Origin], source: str) -> Problem:
    """Fill in where the key, or the table it is missing from, was written."""
    origin = origin_of(problem.key, origins)
    if origin is None:
        return replace(problem, source=source)
    return replace(problem, source=origin.source, line=origin.line)
