"""Files: found, read, laid over each other, and keys replaced from the command line."""

import os
import pickle
import subprocess
import sys
import time
from pathlib import Path

import pytest

from sim.scenario import (
    ScenarioError,
    Trigger,
    find_scenario,
    load_scenario,
    parse_scenario,
    shipped_scenarios,
    with_overrides,
)
from sim.scenario import files as files_module
from sim.scenario.keys import walk_keys
from sim.scenario.models import Document
from tests.test_scenario_sample import EXAMPLE, FULL_SIZE, example


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "base.toml").write_text(EXAMPLE, encoding="utf-8")
    return tmp_path


def written(folder, text, name="over.toml"):
    file = folder / name
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return file


def refused(file, *overrides):
    with pytest.raises(ScenarioError) as caught:
        load_scenario(file, overrides)
    return caught.value.problems


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"\xff\xfe\x00junk", "not text in UTF-8"),
        (b"\x00\x01\x02", "not TOML"),
        (b"mass = 3 kg", "not TOML"),
        (b"a = 1\na = 2", "not TOML"),
        (b"a = " + b"[" * 3000, "nested without end"),
        (b"a = " + b"{b=" * 900, "nested without end"),
        (b'a = "' + b"x" * 100_000 + b'"', "a line of"),
        (b".".join([b"a"] * 3000) + b" = 1", "a line of"),
        (b".".join([b"a"] * 1500) + b" = 1", "deeper"),
        (b"a = 1\n" * 60_000, "more than 256 kB"),
        (b"a = " + b"9" * 3900, "huge number"),
        (b"a = 1e999", "inf"),
        (b"a = 2026-13-40", "not TOML"),
        (b"", "nothing"),
        (b"extends = 3", "3"),
        (b'extends = "nowhere.toml"', "nowhere.toml"),
        (b'extends = "over.toml"', "over.toml"),
    ],
)
def test_content_that_is_no_scenario(folder, content, said):
    started = time.perf_counter()
    problems = refused(written(folder, content))
    assert time.perf_counter() - started < 2.0
    assert said in " ".join(problem.given for problem in problems)
    assert all(str(folder) in problem.source for problem in problems)


def test_the_line_of_a_mistake_in_toml(folder):
    (problem,) = refused(written(folder, "a = 1\nb = 2\nc = 3 kg\n"))
    assert problem.line == 3
    assert "line 3" in problem.text()


def test_files_that_are_not_there(folder, tmp_path):
    for name in (folder / "missing.toml", folder, "x" * 5000, "a\0b", "", tmp_path / "a" / "b"):
        (problem,) = refused(name)
        assert problem.key == "file"
    os.mkfifo(folder / "pipe.toml")
    assert refused(folder / "pipe.toml")[0].key == "file"
    assert refused("/dev/zero")[0].key == "file"


def test_the_line_of_each_wrong_key(folder):
    text = EXAMPLE.replace('"3.20 kg"', "3.2").replace("sweep             =", "sweap =", 1)
    problems = {p.key: p for p in refused(written(folder, text))}
    lines = text.split("\n")
    assert lines[problems["aeroplane.mass"].line - 1].startswith("mass")
    assert lines[problems["aeroplane.wing.sweap"].line - 1].startswith("sweap")
    assert lines[problems["aeroplane.wing.sweep"].line - 1] == "[aeroplane.wing]"


def test_a_file_laid_over_another(folder):
    sub = folder / "sub"
    sub.mkdir()
    written(sub, 'extends = "../base.toml"\n[strip]\nsurface = "pavement"', "one.toml")
    top = written(sub, 'extends = "one.toml"\ntitle = "two"\n[pilot]\nhold = 1', "two.toml")
    scenario = load_scenario(top)
    assert (scenario.title, scenario.strip.surface, scenario.pilot.hold) == ("two", "pavement", 1.0)
    assert scenario.aeroplane == parse_scenario(example()).aeroplane
    assert "extends" not in scenario.raw
    (problem,) = refused(written(sub, 'extends = "../base.toml"\n\n[strip]\nlength = 3'))
    assert (problem.key, problem.line) == ("strip.length", 4)
    assert problem.source.endswith("over.toml")
    (problem,) = refused(written(sub, 'extends = "../base.toml"\n[aeroplane.wing]\nspan="300 mm"'))
    assert problem.key == "aeroplane.wing.flaps.outboard"
    assert problem.source.endswith("base.toml")


def test_a_chain_that_bites_its_tail(folder):
    written(folder, 'extends = "b.toml"', "a.toml")
    written(folder, 'extends = "c.toml"', "b.toml")
    written(folder, 'extends = "a.toml"', "c.toml")
    (problem,) = refused(folder / "a.toml")
    assert problem.key == "extends"
    assert "a.toml -> b.toml -> c.toml -> a.toml" in problem.allowed


@pytest.mark.parametrize(
    ("override", "read", "expected"),
    [
        ("power.static_thrust=30 N", lambda s: s.power.static_thrust, 30.0),
        ('power.static_thrust="30 N"', lambda s: s.power.static_thrust, 30.0),
        (" aeroplane.gear.main.station = 650 mm ", lambda s: s.aeroplane.gear.main.station, 0.65),
        ("strip.surface=short grass", lambda s: s.strip.surface, "short grass"),
        ("strip.rolling_resistance=0.1", lambda s: s.strip.surface, None),
        ("aeroplane.gear.ground_attitude=0 deg", lambda s: s.aeroplane.gear.ground_attitude, 0.0),
        ("air.pressure=990 hPa", lambda s: s.air.elevation, None),
        ("pilot.holds_attitude=false", lambda s: s.pilot.holds_attitude, False),
        ("pilot.pull_at=12 m/s", lambda s: s.pilot.pull_at, Trigger("airspeed", 12.0)),
        ("pilot.pull_at=3 s", lambda s: s.pilot.pull_at, Trigger("time", 3.0)),
        ("pilot.hold=1", lambda s: s.pilot.hold, 1.0),
        ("title=a = b", lambda s: s.title, "a = b"),
        ("strip.obstacle={distance='90 m', height='3 m'}", lambda s: s.strip.obstacle.height, 3.0),
        ("power.kind=ducted-fan", None, "power.exit_diameter"),
        ("aeroplane.tail.kind=hinged", None, "aeroplane.tail.elevator_chord_fraction"),
        ("strip.surfac=pavement", None, "strip.surfac"),
        ("title.x=1", None, "title.x"),
        ("aeroplane.mass.x=1", None, "aeroplane.mass.x"),
        ("nothing", None, "override"),
        ("=3", None, "override"),
        ("a..b=3", None, "override"),
        (".".join("a" * 50) + "=3", None, "override"),
        ("title=" + "x" * 5000, None, "override"),
        ("aeroplane.mass=" + "[" * 1500, None, "aeroplane.mass"),
        ("aeroplane.mass=1\nb=2", None, "aeroplane.mass"),
    ],
)
def test_a_key_replaced(folder, override, read, expected):
    file = folder / "base.toml"
    if read is None:
        problems = refused(file, override)
        assert expected in {problem.key for problem in problems}
    else:
        assert read(load_scenario(file, [override])) == expected


def test_replacing_from_a_loaded_scenario_validates_anew(folder):
    scenario = load_scenario(folder / "base.toml")
    changed = with_overrides(scenario, ["power.static_thrust=30 N", "power.static_thrust=31 N"])
    assert changed.power.static_thrust == 31.0
    assert scenario.power.static_thrust == 24.0
    assert with_overrides(changed, []) == changed
    assert with_overrides(changed, ["power.static_thrust=24 N"]) == scenario
    with pytest.raises(ScenarioError) as caught:
        with_overrides(scenario, ["aeroplane.wing.span=500 mm", "pilot.hold=2", "oops"])
    assert [p.key for p in caught.value.problems] == [
        "override",
        "pilot.hold",
        "aeroplane.wing.flaps.outboard",
    ]
    assert caught.value.problems[1].source == "override pilot.hold=2"


def test_a_hinged_tail_and_a_fan_laid_over_and_back(folder):
    base = load_scenario(folder / "base.toml")
    hinged = ["aeroplane.tail.kind=hinged", "aeroplane.tail.elevator_chord_fraction=0.35"]
    tail = with_overrides(base, hinged)
    assert tail.aeroplane.tail.elevator_chord_fraction == 0.35
    assert with_overrides(tail, ["aeroplane.tail.kind=all-moving"]) == base
    fan = with_overrides(base, ["power.kind=ducted-fan", "power.exit_diameter=62 mm"])
    assert fan.power.zero_thrust_airspeed is None
    powered = with_overrides(fan, ["power.jet_power=900 W"])
    assert (powered.power.static_thrust, powered.power.jet_power) == (None, 900.0)
    back = with_overrides(powered, ["power.kind=measured", "power.static_thrust=24 N"])
    assert (back.power.jet_power, back.power.exit_diameter) == (None, 0.062)


def test_coefficients_laid_over_a_measured_aeroplane(folder):
    given = FULL_SIZE["aeroplane"]["coefficients"]
    over = written(folder, 'extends = "base.toml"\n[aeroplane.coefficients]\n' + _table(given))
    scenario = load_scenario(over)
    assert scenario.aeroplane.wing is None
    assert scenario.aeroplane.coefficients.max_lift == 1.8
    single = refused(folder / "base.toml", "aeroplane.coefficients.lift_slope=4")
    assert "aeroplane.wing" in {problem.key for problem in single}


def _table(values):
    def one(value):
        if isinstance(value, dict):
            return "{" + ", ".join(f"{k} = {one(v)}" for k, v in value.items()) + "}"
        return f'"{value}"' if isinstance(value, str) else str(value)

    return "\n".join(f"{key} = {one(value)}" for key, value in values.items())


def test_shipped_scenarios_are_found_by_name(folder, monkeypatch):
    with pytest.raises(ScenarioError):
        find_scenario("no such scenario")
    for name, path in shipped_scenarios().items():
        assert find_scenario(name) == path
        assert path.suffix == ".toml"
    monkeypatch.setattr(files_module, "shipped_scenarios", lambda: {"meadow": folder / "base.toml"})
    assert load_scenario("meadow") == load_scenario(folder / "base.toml")
    over = written(folder, 'extends = "meadow"\ntitle = "over"')
    assert load_scenario(over).title == "over"
    (problem,) = refused("meadoww")
    assert problem.nearest == "meadow"


def test_a_dictionary_reads_no_files():
    with pytest.raises(ScenarioError, match="only a file extends another"):
        parse_scenario({"extends": "base.toml"})


def test_scenarios_and_errors_travel_between_processes(folder):
    scenario = load_scenario(folder / "base.toml")
    assert pickle.loads(pickle.dumps(scenario)) == scenario
    with pytest.raises(ScenarioError) as caught:
        parse_scenario({})
    again = pickle.loads(pickle.dumps(caught.value))
    assert again.problems == caught.value.problems
    assert str(again) == str(caught.value)


def test_importing_does_not_start_the_units_library():
    code = "import sys, sim.scenario; print('pint' in sys.modules)"
    root = Path(__file__).parents[1]
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=root
    )
    assert done.stdout.strip() == "False"


def test_every_key_is_described_and_its_bounds_can_be_read():
    keys = dict(walk_keys())
    assert len(keys) > 140
    for path, key in keys.items():
        assert key.note.description.endswith("."), path
        assert key.allowed(), path
        if hasattr(key.note, "low"):
            assert key.note.bound(key.note.low) < key.note.bound(key.note.high), path
    assert not any(key.required and key.note.left_out for key in keys.values())


def test_defaults_lie_within_their_bounds_and_agree_with_what_is_told():
    for path, key in walk_keys():
        if isinstance(key.default, float):
            low, high = key.note.bound(key.note.low), key.note.bound(key.note.high)
            assert low <= key.default <= high, path
            told = key.note.left_out.removeprefix("taken as ")
            if told[:1].isdigit():
                said = float(told) if key.note.dimension == "bare" else told
                assert key.note.read(said) == pytest.approx(key.default, rel=1e-15), path


def test_a_json_schema_can_be_made():
    schema = Document.model_json_schema()
    mass = schema["$defs"]["Aeroplane"]["properties"]["mass"]
    assert mass["examples"] == ["3.2 kg"]
    assert "from 5 g to 200000 kg" in mass["description"]
    hold = schema["$defs"]["Pilot"]["properties"]["hold"]
    assert (hold["type"], hold["minimum"], hold["maximum"]) == ("number", -1.0, 1.0)
