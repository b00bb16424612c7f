"""From a file or a dictionary to a scenario whose every number is SI and checked."""

import copy
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from sim.aeroplane.ledger import Row
from sim.scenario.aeroplane import Aeroplane
from sim.scenario.changes import Change, read_changes
from sim.scenario.changing import chosen, lay, told, with_files
from sim.scenario.files import Merged, Origin, find_scenario, origin_of, read_file, split_changes
from sim.scenario.keys import left_out
from sim.scenario.merging import Tree, check_shape, with_keys
from sim.scenario.pilot import Pilot
from sim.scenario.power import Power
from sim.scenario.problems import Problem, ScenarioError, fail, from_source, shown
from sim.scenario.resolving import resolved
from sim.scenario.strip import Air, Strip
from sim.scenario.validation import FILE_KEYS, validate


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
    added: masses put in and taken out by the changes applied, in their order.
    changes: the changes there are, by name; those of other files by `FILE.toml:NAME`.
    applied: names of the changes applied, in their order.
    defaulted: keys left out that are estimated or defaulted, with the reason.
    raw: the merged file with changes and overrides as written; not to be changed in place.
    source: file or name it came from.
    origins: where each key was written.
    ground: the merged file alone, under changes and overrides.
    overrides: texts laid over file and changes.

    """

    title: str
    aeroplane: Aeroplane
    power: Power
    strip: Strip
    air: Air
    pilot: Pilot
    added: tuple[Row, ...]
    changes: dict[str, Change] = field(compare=False, repr=False)
    applied: tuple[str, ...] = field(compare=False)
    defaulted: tuple[LeftOut, ...] = field(compare=False, repr=False)
    raw: Tree = field(compare=False, repr=False)
    source: str = field(compare=False)
    origins: dict[str, Origin] = field(compare=False, repr=False)
    ground: Merged = field(compare=False, repr=False)
    overrides: tuple[str, ...] = field(compare=False, repr=False)

    def resolved(self) -> dict[str, Any]:
        """The scenario as nested dictionaries of SI numbers for JSON, units in the key names."""
        parts = ("aeroplane", "power", "strip", "air", "pilot")
        tables = {name: resolved(getattr(self, name)) for name in parts}
        return {"title": self.title} | tables | {"changes": list(self.applied)}


def load_scenario(
    path: str | Path, overrides: Sequence[str] = (), changes: Sequence[str] = ()
) -> Scenario:
    """Read a scenario file, or a shipped scenario by name.

    Parameters
    ----------
    path
        file or name.
    overrides
        texts `KEY=VALUE` laid over it last, such as "power.static_thrust=30 N".
    changes
        names of changes of the file, laid over it one after the other; `FILE.toml:NAME` for one
        of another file.

    Raises
    ------
    ScenarioError
        With every mistake found. Nothing else is raised for bad input.

    """
    file = find_scenario(path)
    return _start(read_file(file), _texts(overrides), _texts(changes), str(file))


def parse_scenario(data: dict[str, Any], source: str = "a dictionary") -> Scenario:
    """Validate a scenario given as nested dictionaries, written as in a file.

    Raises
    ------
    ScenarioError
        With every mistake found. `extends` and `changes_from` are refused: they belong in a file.

    """
    try:
        tree = copy.deepcopy(check_shape(data))
    except ScenarioError as error:
        raise from_source(error, source) from None
    for key, what in (("extends", "extends another"), ("changes_from", "has another beside it")):
        if key in tree:
            wrong = fail(key, shown(tree[key]), f"left out: only a file {what}")
            raise from_source(wrong, source)
    return _start(split_changes(tree, {}, Path(source)), (), (), source)


def with_overrides(scenario: Scenario, overrides: Sequence[str]) -> Scenario:
    """The scenario with keys replaced, validated anew.

    Raises
    ------
    ScenarioError
        With every mistake found.

    """
    asked = scenario.overrides + _texts(overrides)
    return _build(scenario.ground, scenario.changes, scenario.applied, asked, scenario.source)


def with_changes(scenario: Scenario, names: Sequence[str]) -> Scenario:
    """The scenario with changes laid over it, under its overrides, validated anew.

    Parameters
    ----------
    scenario
        changes it already carries stay, the new ones come after them.
    names
        of its changes, or `FILE.toml:NAME`.

    Raises
    ------
    ScenarioError
        For unknown names, changes applied twice, changes that do not go together, and with
        every mistake of the whole.

    """
    asked = scenario.applied + _texts(names)
    available = with_files(scenario.changes, asked)
    return _build(scenario.ground, available, asked, scenario.overrides, scenario.source)


def _texts(given: Sequence[str]) -> tuple[str, ...]:
    return (given,) if isinstance(given, str) else tuple(given)


def _start(
    ground: Merged, overrides: tuple[str, ...], names: tuple[str, ...], source: str
) -> Scenario:
    """A scenario of a file, its changes read; mistakes in any of it told together."""
    changes, wrong = read_changes(ground.changes, ground.origins, source)
    try:
        available = with_files(changes, names)
        if not wrong:
            return _build(ground, available, names, overrides, source)
        _build(ground, {}, (), overrides, source)
    except ScenarioError as error:
        raise ScenarioError([*wrong, *error.problems]) from None
    raise ScenarioError(wrong)


def _build(
    ground: Merged,
    changes: dict[str, Change],
    names: tuple[str, ...],
    overrides: tuple[str, ...],
    source: str,
) -> Scenario:
    """The file, changes over it, overrides over that; validated."""
    try:
        applied = chosen(changes, names)
        laid = lay(ground.data, applied)
    except ScenarioError as error:
        raise from_source(error, source) from None
    data, replaced, wrong = with_keys(laid.data, overrides)
    data, strange = _without_file_keys(data)
    wrong += strange
    set_here = {key: Origin(text) for key, text in replaced.items()}
    origins = _origins(ground, applied) | set_here
    document, problems = validate(data)
    if document is None or wrong:
        unread = [replace(problem, source="override") for problem in wrong]
        over = tuple(f"{key}." for key in replaced)
        owners = {key: c for key, c in laid.owners.items() if not f"{key}.".startswith(over)}
        titles = [change.name for change in applied]
        found = [told(_placed(p, origins, set_here, source), owners, titles) for p in problems]
        raise ScenarioError(unread + found)
    return Scenario(
        title=document.title,
        aeroplane=document.aeroplane,
        power=document.power,
        strip=document.strip,
        air=document.air,
        pilot=document.pilot,
        added=tuple(row for change in applied for row in change.added),
        changes=changes,
        applied=names,
        defaulted=tuple(LeftOut(key, reason) for key, reason in left_out(data)),
        raw=data,
        source=source,
        origins=origins,
        ground=ground,
        overrides=overrides,
    )


def _without_file_keys(data: Tree) -> tuple[Tree, list[Problem]]:
    """Overrides reach the scenario's own tables, not what a file says about files and changes."""
    allowed = "left out of an override: it belongs in the file, and changes have names"
    strange = [Problem(name, shown(data[name]), allowed) for name in FILE_KEYS if name in data]
    return {name: value for name, value in data.items() if name not in FILE_KEYS}, strange


def _origins(ground: Merged, applied: Sequence[Change]) -> dict[str, Origin]:
    """Where each key of the whole was written."""
    origins = dict(ground.origins)
    for change in applied:
        origins |= {key: origin for key, origin in change.origins.items() if key}
    return origins


def _placed(
    problem: Problem, origins: dict[str, Origin], set_here: dict[str, Origin], source: str
) -> Problem:
    """Fill in where the key was written, or what an override put into it, or the table around."""
    inside = (place for key, place in set_here.items() if key.startswith(f"{problem.key}."))
    origin = origins.get(problem.key) or next(inside, None) or origin_of(problem.key, origins)
    if origin is None:
        return replace(problem, source=source)
    return replace(problem, source=origin.source, line=origin.line)
