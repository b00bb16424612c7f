"""The JSON Schema: takes what the program takes, refuses what an editor can see is wrong."""

import json
import re
import tomllib
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from sim.scenario import (
    ScenarioError,
    load_scenario,
    parse_quantity,
    parse_scenario,
    shipped_scenarios,
)
from sim.scenario.keys import walk_keys
from sim.scenario.problems import Problem
from sim.scenario.schema import DIALECT, scenario_schema
from sim.scenario.unit_pattern import quantity_pattern
from sim.scenario.unit_table import DIMENSIONS, UNITS
from tests.documents import Document, laid, trolley

SCHEMA = scenario_schema()
CHECK = jsonschema.Draft202012Validator(SCHEMA)

TEXTS = [
    "120 mm", "120mm", " 120  mm ", "12.", "1.5.2 mm", "+.5 in", "-3e2 ft", "1e3m", "1 m**1",
    "1 m^2", "3 m²", "2 dm**2", "3 N", "3 N/m", "3 N / mm", "3 kg*m/s^2",
    "3 m/s^2*kg", "3 s^-2*m*kg", "3 kg", "0.5 N*m", "0.5 N·m", "5 ozf*in", "0.15 kg*m^2",
    "0.15 kg m^2", "1 lb*ft²",
    "20 deg", "20°", "20 °", "20 degC", "20 °C", "20 degF", "20 degC^1", "293 K", "293 K^1", "20 %",
    "20", "20 ", "%", "mm", "twenty mm", "20 furlong", "20 Mm", "20 MM", "12 m/s", "12 m s^-1",
    "12 m*s^-1", "12 km/h", "30 mph", "30 kt", "12 m//s", "12 m**s", "12 /s", "12 1/s", "121/s",
    "50 Hz", "4.5 1/rad", "4.5 rad^-1", "4.5 1/deg", "0.05 deg/N", "0.05 °/N", "3 deg/lbf",
    "200 deg/s", "2 rad/s", "300 rpm", "1400 rpm/V", "1400 rpm/ V", "14 rad/s/V", "20 mohm",
    "20 mΩ", "1 V/A", "22.2 V", "80 A", "1500 W", "1.5 kW", "22 V*A", "1013 hPa", "29.9 inHg",
    "10 N/m^2", "1 m^5", "1 m^0", "1 m^12", "120 mm\n", "\t120 mm", "120 mm mm", "1,5 m",
    "nan m", "inf m", "1.2 kg/m^3", "1.2 kg/m³",
    "5 g", "5 gf", "5 oz", "5 ozf", "2 min", "2 h", "2 ms", "",
]  # fmt: skip


def complaints(document: Any) -> list[str]:
    return [error.message for error in CHECK.iter_errors(document)]


def reads(text: str, dimension: str) -> bool:
    try:
        parse_quantity(text, dimension)
    except ScenarioError:
        return False
    return True


def test_it_is_a_schema_of_the_draft_it_names() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == DIALECT
    assert json.loads(json.dumps(SCHEMA, allow_nan=False)) == SCHEMA


@pytest.mark.parametrize("path", shipped_scenarios().values(), ids=lambda path: path.stem)
def test_shipped_scenarios_pass(path: Path) -> None:
    assert complaints(tomllib.loads(path.read_text(encoding="utf-8"))) == []


def jet() -> Document:
    return tomllib.loads(shipped_scenarios()["meadow-jet"].read_text(encoding="utf-8"))


def test_documents_of_the_other_tests_pass() -> None:
    assert complaints(trolley("3 kg", "20 N", 0.1, "20 m")) == []
    assert complaints(laid(jet(), strip__rolling_resistance=0.1)) == []
    three = {"low": 0.1, "typical": 0.12, "high": 0.2}
    assert complaints(laid(jet(), strip__rolling_resistance=three)) == []
    points = [{"airspeed": "0 m/s", "thrust": "21 N"}, {"airspeed": "20 m/s", "thrust": "15 N"}]
    assert complaints(laid(jet(), power__points=points)) == []
    assert complaints(laid(jet(), power__power_at_start=0.5, pilot__pull_at="3 s")) == []


WRONG = [
    {"aeroplane__mass": "3.1"},
    {"aeroplane__mass": 3.1},
    {"aeroplane__mass": "31 N"},
    {"aeroplane__maas": "3 kg"},
    {"aeroplane__gear__main__wheel_diameter": "70 MM"},
    {"aeroplane__wing__section__name": "round"},
    {"aeroplane__wing__flaps__chord_fraction": 0.9},
    {"aeroplane__wing__flaps__chord_fraction": "22 %"},
    {"aeroplane__tail": {}},
    {"aeroplane__tail": 3},
    {"power__kind": "rocket"},
    {"power__static_thrust": "2.1 kg"},
    {"power__points": [{"airspeed": "0 m/s"}]},
    {"power__points": {"airspeed": "0 m/s"}},
    {"power__points": []},
    {"power__points": [{"airspeed": "0 m/s", "thrust": "21 N"}]},
    {"power__points": [{"airspeed": "0 m/s", "thrust": "21 N"}] * 201},
    {"power__points": [{"airspeed": "0 m/s", "thrust": "21 N", "watts": 3}] * 2},
    {"strip__rolling_resistance": {"low": 0.1, "typical": 0.1, "high": 0.1, "lowest": 0.0}},
    {"strip__obstacle": {"distance": "30 m", "height": "2 m", "kind": "hedge"}},
    {"pilot__pull_at": {"place": "20 m"}},
    {"pilot__pull_at": "3 s or 20 m"},
    {"pilot__abort_at": "3 s"},
    {"pilot__drop_flaps": {"at": "20", "to": "10 deg"}},
    {"pilot__drop_flaps": {"at": "20 m", "to": "10 deg", "from": "0 deg"}},
    {"power__power_at_start": 50},
    {"strip__surface": "lawn"},
    {"strip__slope": 0.02},
    {"strip__rolling_resistance": 3},
    {"strip__rolling_resistance": {"low": 0.1}},
    {"strip__rolling_resistance": "0.1"},
    {"air__temperature": "18"},
    {"pilot__pull_at": "20"},
    {"pilot__pull_at": "20 kg"},
    {"pilot__pull": True},
    {"pilot__holds_attitude": "yes"},
    {"title": "x" * 201},
    {"extends": 3},
]


@pytest.mark.parametrize("keys", WRONG, ids=str)
def test_wrong_ones_do_not_pass(keys: Document) -> None:
    assert complaints(laid(jet(), **keys))
    if "extends" not in keys:  # that one has been followed when the program sees a tree
        with pytest.raises(ScenarioError):
            parse_scenario(laid(jet(), **keys))


ODD: tuple[Any, ...] = (True, {"foo": 1})
SEEN_BY_THE_PROGRAM = ("a file of propeller coefficients", "left out when kind is")
"""What is said of the slips that only the program sees, as the schema's description tells."""


def test_values_of_a_wrong_kind_are_seen_at_every_key() -> None:
    raw = load_scenario("workshop").raw
    for path, _ in walk_keys():
        for value in ODD:
            document = put(raw, path, value)
            if document is None or complaints(document):
                continue
            for problem in problems(document):
                there = problem.key == path or problem.key.startswith((f"{path}.", f"{path}["))
                told = any(text in problem.allowed for text in SEEN_BY_THE_PROGRAM)
                assert told or not there, (path, value, problem)


def problems(document: Document) -> tuple[Problem, ...]:
    try:
        parse_scenario(document)
    except ScenarioError as error:
        return error.problems
    return ()


def put(document: Document, path: str, value: Any) -> Document | None:
    """A copy with one value more; None where a list of tables is in the way."""
    name, _, rest = path.partition(".")
    inner = document.get(name, {})
    if not isinstance(inner, dict):
        return None
    return document | {name: put(inner, rest, value) if rest else value}


@pytest.mark.parametrize(
    "path",
    [
        "aeroplane", "power", "strip", "pilot", "aeroplane.body.width", "aeroplane.gear",
        "aeroplane.gear.main.station", "aeroplane.wing.span", "aeroplane.tail.throw.up",
        "power.kind", "strip.length", "pilot.pull_at",
    ],
)  # fmt: skip
def test_missing_keys_are_seen_unless_another_file_brings_them(path: str) -> None:
    document = jet()
    *tables, last = path.split(".")
    place = document
    for table in tables:
        place = place[table]
    del place[last]
    assert any(f"'{last}' is a required property" in text for text in complaints(document))
    assert complaints({"extends": "meadow-jet"} | document) == []


def test_a_file_that_extends_is_still_checked() -> None:
    assert complaints({"extends": "meadow-jet"}) == []
    assert complaints({"extends": "meadow-jet", "power": {"static_thrust": "30 N"}}) == []
    assert complaints({"extends": "meadow-jet", "power": {"static_thrust": "30"}})
    assert complaints({"extends": "meadow-jet", "power": {"points": [{"airspeed": "0 m/s"}]}})
    assert complaints({"extends": "meadow-jet", "strip": {"surfaces": "pavement"}})


ELECTRIC = {
    "kind": "electric",
    "battery": {"cells": 6, "capacity": "5000 mAh"},
    "controller": {"resistance": "2 mohm"},
    "motor": {
        "speed_constant": "1500 rpm/V",
        "resistance": "12 mohm",
        "no_load_current": "3 A",
    },
    "fan": {"diameter": "90 mm", "hub_diameter": "36 mm", "exit_diameter": "78 mm"},
    "bench": {"voltage": "21.8 V", "current": "78 A", "thrust": "26 N"},
}


def test_electric_parts_and_propellers_are_known() -> None:
    assert complaints(jet() | {"power": ELECTRIC}) == []
    parse_scenario(jet() | {"power": ELECTRIC})
    assert complaints(jet() | {"power": laid(ELECTRIC, battery__cells=6.5)})
    assert complaints(jet() | {"power": laid(ELECTRIC, motor__speed_constant="1500 rpm")})
    assert complaints(jet() | {"power": laid(ELECTRIC, bench={"voltage": "21.8 V"})})
    propeller = {"diameter": "12 in", "table": "curves.txt"}
    power = {"kind": "propeller", "propeller": propeller, "rotation": "9000 rpm"}
    assert complaints(jet() | {"power": power}) == []


def with_change(**keys: Any) -> Document:
    table = {
        "text": "Mains moved forward",
        "hours": 3,
        "reversible": True,
        "add": [{"item": "plate", "mass": "20 g", "station": "600 mm", "height": "0 mm"}],
        "aeroplane": {"gear": {"main": {"station": "620 mm"}}},
    }
    return {"change": {"mains-forward": laid(table, **keys)}}


def test_changes_are_completed_and_checked_like_the_scenario() -> None:
    for base in ({}, {"extends": "meadow-jet"}, jet()):
        assert complaints(base | with_change()) == []
        assert complaints(base | with_change(aeroplane__gear__main__station="620"))
        assert complaints(base | with_change(power__kind="rocket"))
        assert complaints(base | with_change(titel="x"))
        assert complaints(base | with_change(add=[{"item": "plate"}]))
        assert complaints(base | with_change(text=3))
        assert complaints(base | with_change(reversible="yes"))
        assert complaints(base | with_change(hours="3"))
        assert complaints(base | with_change(text=" "))
        assert complaints(base | with_change(text="one\ntwo"))
        assert complaints(base | with_change(text="x" * 201))
        assert complaints(base | with_change(aeroplane__mass="3 kg"))
        assert complaints(base | with_change(aeroplane__swing={"period": "2 s"}))
        assert complaints(base | {"change": {"a": {"hours": 2}}})
        assert complaints(base | {"change": {"Mains Forward": {"text": "x"}}})
    assert complaints({"changes_from": "others.toml"} | jet()) == []
    assert complaints(with_change() | {"strip": {"length": "60 m"}})
    assert parse_scenario(jet() | with_change()).changes["mains-forward"].hours == 3


@pytest.mark.parametrize("dimension", [name for name in DIMENSIONS if name != "bare"])
def test_patterns_and_the_program_agree(dimension: str) -> None:
    pattern = re.compile(quantity_pattern(dimension))
    for text in [*TEXTS, *(f"{5 if v[4] else 1} {unit}" for unit, (_, v) in UNITS.items())]:
        clean = text.replace("\n", "\r")  # Python lets a line end slip past the end of a pattern
        assert bool(pattern.search(clean)) == reads(clean, dimension), (text, dimension)
    assert pattern.search(DIMENSIONS[dimension].example)


def test_texts_hold_both_sorts_for_every_kind() -> None:
    for dimension in set(DIMENSIONS) - {"bare"}:
        texts = [*TEXTS, DIMENSIONS[dimension].example]
        assert {reads(text, dimension) for text in texts} == {True, False}, dimension


def test_what_patterns_leave_out_is_only_what_nobody_writes() -> None:
    left = [("1 W*s/N", "length"), ("1 m*m/m", "length"), ("1 m/1", "length"), ("2 in*ft", "area")]
    for text, dimension in left:
        assert reads(text, dimension), text
        assert not re.search(quantity_pattern(dimension), text)


def test_it_says_what_it_leaves_to_the_program() -> None:
    assert "bounds of quantities with units" in SCHEMA["description"]
    reversible = SCHEMA["$defs"]["Change"]["properties"]["reversible"]
    assert reversible["type"] == "boolean" and "true or false" in reversible["description"]


def test_every_key_is_there_described_and_with_its_words() -> None:
    for path, key in walk_keys():
        value = at(path)
        assert value["description"].startswith(" ".join(key.note.description.split())), path
        assert list(value.get("enum", ())) == list(key.words), path


def at(path: str) -> dict[str, Any]:
    """Schema of a key, references to tables followed."""
    here = SCHEMA
    for name in path.split("."):
        table = here.get("items", here)
        table = table["allOf"][0] if "allOf" in table else table
        while "$ref" in table:
            table = SCHEMA["$defs"][table["$ref"].rpartition("/")[2]]
        here = table["properties"][name]
    return here
