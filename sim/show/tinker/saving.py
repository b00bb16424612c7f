"""A state of the page as a scenario file that extends the one loaded."""

import re
from contextlib import suppress
from pathlib import Path
from typing import Any

import numpy as np

from sim.ask.toml_text import toml_key, toml_path, toml_value
from sim.prepare import prepare
from sim.scenario import Scenario, ScenarioError, load_scenario
from sim.scenario.merging import Tree
from sim.show.files import OutputError, write_text
from sim.show.fit_document import extends_line, printable
from sim.show.tinker.answer import Bench
from sim.show.tinker.state import State

NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,59}\.toml")
ALLOWED = 'a plain name that ends in .toml, such as "longer-leg.toml"'
BALANCE = ("weighing", "swing")


def save_state(bench: Bench, state: State, name: str) -> Path:
    """Write the state beside the scenario loaded; nothing there is ever replaced.

    Raises
    ------
    OutputError
        For a name that is not plain or is taken, or when the disk refuses.
    ScenarioError
        For a state that makes no scenario.

    """
    if not NAME.fullmatch(name):
        raise OutputError(f"{name!r} is not {ALLOWED}")
    target = bench.folder / name
    if target.exists() or target.is_symlink():
        raise OutputError(f"{name} is there already, choose another name")
    scenario = bench.altered(state)
    write_text(target, scenario_text(bench, scenario, target))
    _must_be_the_same(target, scenario)
    return target


def scenario_text(bench: Bench, scenario: Scenario, target: Path) -> str:
    """A scenario file that extends the one loaded with all that is altered."""
    told = [
        f"# {printable(Path(bench.name).name)} as altered on the live page."
        + (f" Changes laid over it: {', '.join(scenario.applied)}." if scenario.applied else "")
    ]
    tree = _altered(scenario.raw, bench.loaded.ground.data) | {"title": _title(scenario)}
    if scenario.added:
        tree = _with_masses(tree, scenario)
    head = [extends_line(bench.name, target), f"title = {toml_value(tree.pop('title'))}"]
    return "\n".join([*told, *head, *_tables(tree)]) + "\n"


def _title(scenario: Scenario) -> str:
    return f"{prepare(scenario).title}, altered"


def _altered(tree: Tree, base: Tree) -> Tree:
    """What stands in a tree otherwise than in the base."""
    found: Tree = {}
    for name, value in tree.items():
        old = base.get(name)
        if isinstance(value, dict) and isinstance(old, dict):
            inner = _altered(value, old)
            if inner:
                found[name] = inner
        elif value != old:
            found[name] = value
    return found


def _with_masses(tree: Tree, scenario: Scenario) -> Tree:
    """The balance of the whole: a file of its own cannot name the masses that changes brought."""
    whole = prepare(scenario).masses
    assert whole is not None
    total = whole.total
    aeroplane = {k: v for k, v in tree.get("aeroplane", {}).items() if k not in BALANCE}
    balance: dict[str, Any] = {
        "mass": f"{total.mass!r} kg",
        "cg": {"station": f"{total.station!r} m", "height": f"{total.height!r} m"},
        "pitch_inertia": f"{total.pitch_inertia!r} kg*m^2",
    }
    return tree | {"aeroplane": aeroplane | balance}


def _tables(tree: Tree, *path: str) -> list[str]:
    """Tables with their keys; the plain keys of a table stand before the tables in it."""
    plain = {k: v for k, v in tree.items() if not isinstance(v, dict)}
    lines = ["", f"[{toml_path(*path)}]"] if plain and path else []
    lines += [f"{toml_key(name)} = {toml_value(value)}" for name, value in plain.items()]
    for name, value in tree.items():
        if isinstance(value, dict):
            lines += _tables(value, *path, name)
    return lines


def _must_be_the_same(target: Path, scenario: Scenario) -> None:
    """Read the file again; one that rolls otherwise than the page is taken away."""
    try:
        same = _same_roll(load_scenario(target), scenario)
    except ScenarioError as wrong:
        _take_away(target)
        raise OutputError(f"a file of its own cannot say this: {wrong}") from None
    if not same:
        _take_away(target)
        raise OutputError("a file of its own cannot say all that is altered here")


def _same_roll(one: Scenario, other: Scenario) -> bool:
    """Whether two scenarios give the core the same numbers, to the last digit."""
    first, second = prepare(one).setup, prepare(other).setup
    pairs = [(first.table.values, second.table.values)]
    if first.thrust_table is not None and second.thrust_table is not None:
        pairs.append((first.thrust_table.airspeed, second.thrust_table.airspeed))
        pairs.append((first.thrust_table.thrust, second.thrust_table.thrust))
    return (
        first.parameters == second.parameters
        and (first.thrust_table is None) == (second.thrust_table is None)
        and all(np.array_equal(a, b) for a, b in pairs)
    )


def _take_away(target: Path) -> None:
    with suppress(OSError):
        target.unlink()
