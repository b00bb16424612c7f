"""Laying one scenario over another, and single keys over that."""

import re
import tomllib
from collections.abc import Mapping, Sequence
from datetime import date, time
from typing import Any

from sim.scenario.power import COMMON_KEYS, KIND_KEYS
from sim.scenario.problems import Problem, ScenarioError, fail, near, shorten, shown
from sim.scenario.readings import outdated, with_copies

Tree = dict[str, Any]

LONGEST_OVERRIDE = 2000
DEEPEST = 12
MOST_NODES = 5000
LEAVES = (str, int, float, date, time, type(None))

Side = tuple[str, ...]

ROADS: tuple[Side, Side] = (("aeroplane.coefficients",), ("aeroplane.wing", "aeroplane.tail"))
"""The two roads to the aerodynamics: one of them, whole."""

ALTERNATIVES: tuple[tuple[Side, Side], ...] = (
    ROADS,
    (("aeroplane.mass", "aeroplane.cg.station"), ("aeroplane.weighing",)),
    (
        ("aeroplane.weighing.mains",),
        ("aeroplane.weighing.main_left", "aeroplane.weighing.main_right"),
    ),
    (("aeroplane.cg.height",), ("aeroplane.weighing.tilted",)),
    (("aeroplane.pitch_inertia",), ("aeroplane.swing",)),
    (("aeroplane.gear.nose.axle_height",), ("aeroplane.gear.ground_attitude",)),
    (("aeroplane.wing.section.max_lift",), ("aeroplane.wing.section.surface_max_lift",)),
    (("aeroplane.tail.section.max_lift",), ("aeroplane.tail.section.surface_max_lift",)),
    (("power.points",), ("power.zero_thrust_airspeed", "power.fall_off", "power.exit_diameter")),
    (("power.fan",), ("power.propeller",)),
    (
        ("power.propeller.table", "power.propeller.static_table"),
        ("power.propeller.pitch", "power.propeller.pitch_factor"),
    ),
    (("power.battery.state_of_charge",), ("power.battery.cell_voltage",)),
    (("strip.surface",), ("strip.rolling_resistance",)),
    (("air.elevation",), ("air.pressure",)),
)
"""Sides of which one file takes one only. Laying one side over a base takes the other away."""

NEEDED = frozenset({"aeroplane.coefficients", "aeroplane.gear.nose.axle_height", "strip.surface"})
"""First keys of those alternatives of which exactly one side must be there."""


def value_at(tree: Mapping[str, Any], path: str) -> Any:
    """What stands at a dotted path, None when nothing does."""
    here: Any = tree
    for part in path.split("."):
        if not isinstance(here, Mapping):
            return None
        here = here.get(part)
    return here


def merged(base: Tree, overlay: Tree) -> Tree:
    """The overlay laid over the base, neither changed; excluded alternatives leave the base."""
    kept = _without_alternatives(base, overlay)
    return _joined(with_copies(base, kept, overlay, value_at), overlay)


def _joined(base: Tree, overlay: Tree) -> Tree:
    result = dict(base)
    for name, value in overlay.items():
        old = result.get(name)
        both = isinstance(old, dict) and isinstance(value, dict)
        result[name] = _joined(old, value) if both else value  # type: ignore[arg-type]
    return result


def _without_alternatives(base: Tree, overlay: Tree) -> Tree:
    """The base without what the overlay puts something else in place of."""
    drop: set[str] = set()
    for sides in ALTERNATIVES:
        given = [any(value_at(overlay, path) is not None for path in side) for side in sides]
        if sum(given) == 1 and (sides != ROADS or _whole_road(overlay)):
            drop |= {p for side, there in zip(sides, given, strict=True) if not there for p in side}
    kind = value_at(overlay, "power.kind")
    if isinstance(kind, str) and kind in KIND_KEYS and kind != value_at(base, "power.kind"):
        power = value_at(base, "power")
        kept = KIND_KEYS[kind] + COMMON_KEYS
        drop |= {f"power.{k}" for k in power if k not in kept} if isinstance(power, dict) else set()
    drop |= _replaced_thrust(overlay) | _replaced_rotor(base, overlay)
    drop |= outdated(overlay, value_at)
    if value_at(overlay, "aeroplane.coefficients.reference_area") is not None:
        drop.add("aeroplane.drag")
    if value_at(overlay, "aeroplane.tail.kind") == "all-moving":
        drop.add("aeroplane.tail.elevator_chord_fraction")
    return _dropped(base, drop)


def _whole_road(overlay: Tree) -> bool:
    """Whether the overlay brings a road of its own, not single keys of one."""
    whole = ("aeroplane.coefficients.reference_area",)
    return any(
        all(value_at(overlay, path) is not None for path in side) for side in (whole, ROADS[1])
    )


def _replaced_thrust(overlay: Tree) -> set[str]:
    """New points or jet power replace an older static thrust, and static thrust a jet power."""
    power = value_at(overlay, "power")
    if not isinstance(power, dict):
        return set()
    drop = {"power.jet_power"} if "static_thrust" in power else set()
    if "static_thrust" not in power and ("points" in power or "jet_power" in power):
        drop.add("power.static_thrust")
    return drop - {f"power.{k}" for k in power}


def _replaced_rotor(base: Tree, overlay: Tree) -> set[str]:
    """A reading of a fan says nothing of a propeller, an old table at rest nothing of a new one."""
    drop = set()
    for old, new in (("power.fan", "power.propeller"), ("power.propeller", "power.fan")):
        if value_at(base, old) is not None and value_at(overlay, new) is not None:
            drop.add("power.bench")
    if value_at(overlay, "power.propeller.table") is not None:
        drop.add("power.propeller.static_table")
    if value_at(overlay, "power.kind") == "propeller" != value_at(base, "power.kind"):
        drop.add("power.static_thrust")
    return drop


def _dropped(tree: Tree, paths: set[str], here: str = "") -> Tree:
    result = {}
    for name, value in tree.items():
        path = f"{here}{name}"
        if path not in paths:
            result[name] = _dropped(value, paths, f"{path}.") if isinstance(value, dict) else value
    return result


def check_shape(data: object) -> Tree:
    """Refuse what no scenario looks like: too deep, too large, keys that are not text.

    Raises
    ------
    ScenarioError
        So that everything after this may walk the tree without care.

    """
    if not isinstance(data, dict):
        raise fail("scenario", shown(data), "a table of tables, as in a scenario file")
    waiting: list[tuple[object, int]] = [(data, 0)]
    for count in range(MOST_NODES + 1):
        if not waiting:
            return data
        value, depth = waiting.pop()
        if depth > DEEPEST or count == MOST_NODES:
            break
        if isinstance(value, dict):
            _check_names(value)
            waiting += [(item, depth + 1) for item in value.values()]
        elif isinstance(value, list | tuple):
            waiting += [(item, depth + 1) for item in value]
        elif not isinstance(value, LEAVES):
            raise fail("scenario", shown(value), "tables, lists, texts, numbers, true and false")
    limits = f"at most {MOST_NODES} values, tables at most {DEEPEST} deep"
    raise fail("scenario", "a table far larger or deeper than any scenario", limits)


def _check_names(table: dict[Any, Any]) -> None:
    for name in table:
        if not isinstance(name, str):
            raise fail("scenario", f"the key {shown(name)}", "keys that are text")


def with_keys(data: Tree, overrides: Sequence[str]) -> tuple[Tree, dict[str, str], list[Problem]]:
    """Lay `KEY=VALUE` texts over a scenario, one after the other.

    Returns
    -------
    The new tree; for each key replaced the text that did it; the problems of texts that are not
    of that form.

    """
    problems: list[Problem] = []
    origins: dict[str, str] = {}
    for text in (overrides,) if isinstance(overrides, str) else tuple(overrides):
        try:
            path, value = _override(text)
            data = merged(data, check_shape(_nested(data, path, value)))
            origins[path] = f"override {shorten(text)}"
        except ScenarioError as error:
            problems += error.problems
    return data, origins, problems


def _override(text: object) -> tuple[str, Any]:
    """Key and value of one override."""
    form = 'KEY=VALUE, such as "power.static_thrust=30 N"'
    if not isinstance(text, str) or len(text) > LONGEST_OVERRIDE:
        raise fail("override", shown(text), form)
    path, equals, value = text.partition("=")
    parts = [part.strip() for part in path.split(".")]
    if not equals or len(parts) >= DEEPEST:
        raise fail("override", shown(text), form)
    if not all(re.fullmatch(r"[A-Za-z0-9_-]{1,60}", part) for part in parts):
        raise fail("override", shown(text), form)
    return ".".join(parts), _value(value.strip())


def _value(text: str) -> Any:
    """A TOML value, else the bare text itself: a quantity or a word without its quotes."""
    try:
        read = tomllib.loads(f"value = {text}")
    except (ValueError, RecursionError):
        return text
    return read["value"] if len(read) == 1 else text


def _nested(data: Tree, path: str, value: Any) -> Tree:
    """A tree with one value in it, after looking that no value of the base stands in the way."""
    parts = path.split(".")
    for i in range(1, len(parts)):
        above = ".".join(parts[:i])
        standing = value_at(data, above)
        if standing is not None and not isinstance(standing, dict):
            guess = near(parts[0], data)
            raise fail(path, shown(value), f"nothing: {above} is not a table", guess)
    for part in reversed(parts):
        value = {part: value}
    return dict(value)
