"""Rolls along one key or two: each row is the roll alone, whatever became of it."""

import csv
import itertools

import numpy as np
import pytest

import sim
from sim.prepare import prepare
from sim.roll.result import simulate_many
from sim.scenario import ScenarioError, load_scenario
from sim.show.vary_document import document_key, vary_csv, vary_document
from sim.study.axis import Axis, axis_of, value_text
from sim.study.batch import CHUNK_FIRST
from sim.study.executors import worker_pool
from sim.study.outcome_columns import OUTCOME_COLUMNS, column_of
from sim.study.vary import COLUMNS, ROLL, Vary, axes_of, roll_vary

JET, BOOK = load_scenario("meadow-jet"), load_scenario("textbook-rotation")


def alone(name: str, *overrides: str) -> tuple[str, float]:
    """Verdict and ground roll of one roll by itself."""
    result = simulate_many([prepare(load_scenario(name, overrides)).setup]).result(0)
    event = result.event("lift-off")
    return str(result.verdict), event.distance if event else float("nan")


def row_of(vary: Vary, index: int) -> tuple[str, float]:
    return vary.rows.verdict(index), float(vary.rows[ROLL][index])


@pytest.mark.parametrize(
    ("key", "what", "texts"),
    [
        ("power.static_thrust", "4 N:24 N:3", ("4 N", "14 N", "24 N")),
        ("aeroplane.gear.main.station", "40 mm:80 mm:3", ("40 mm", "60 mm", "80 mm")),
        ("pilot.pull_at", "3 m,4 s,5 m/s", ("3 m", "4 s", "5 m/s")),
        ("strip.rolling_resistance", "0.05,0.4", ("0.05", "0.4")),
        ("pilot.holds_attitude", "true,false", ("true", "false")),
        ("power.fall_off", "constant,linear", ("constant", "linear")),
    ],
)
def test_rows_are_the_rolls_one_by_one(key, what, texts):
    extra = ["power.zero_thrust_airspeed=40 m/s"] if key == "power.fall_off" else []
    base = load_scenario("textbook-rotation", extra)
    vary = roll_vary(base, [f"{key}={what}"])
    for index, text in enumerate(texts):
        wanted = alone("textbook-rotation", *extra, f"{key}={text}")
        verdict, roll = row_of(vary, index)
        assert verdict == wanted[0], text
        assert roll == pytest.approx(wanted[1], nan_ok=True, rel=1e-12), text
    assert len(vary.rows) == len(texts)


def test_geometry_and_surfaces_too():
    keys = ("aeroplane.wing.span=0.9 m:1.1 m:2", "strip.surface=pavement,wet grass")
    spans, surfaces = ("0.9 m", "1.1 m"), ("pavement", "wet grass")
    for order in (keys, keys[::-1]):
        vary = roll_vary(JET, order)
        places = itertools.product(*((spans, surfaces) if order == keys else (surfaces, spans)))
        for index, pair in enumerate(places):
            span, surface = pair if order == keys else pair[::-1]
            sets = (f"aeroplane.wing.span={span}", f"strip.surface={surface}")
            assert row_of(vary, index) == alone("meadow-jet", *sets), pair
        worded = 1 if order == keys else 0
        assert vary.axes[worded].words == surfaces
        assert vary.present[worded] is None  # mown grass is not on the list
    assert roll_vary(JET, ["strip.surface=wet grass,mown grass"]).present == (1.0,)


def test_failed_and_refused_rolls_are_rows():
    """A nose wheel behind the mains makes no scenario; little thrust does not move."""
    vary = roll_vary(BOOK, ["aeroplane.gear.nose.station=-400 mm:200 mm:4"])
    assert [vary.rows.verdict(i) for i in range(4)][-1] == "refused"
    assert "nose" in vary.rows.refused[3] and vary.rows.complete
    table = list(csv.reader(vary_csv(vary).splitlines()))
    assert table[-1][2] == "refused" and table[-1][-1] and not any(table[-1][3:-1])
    still = roll_vary(BOOK, ["power.static_thrust=0.5 N:25 N:2"])
    assert still.rows.verdict(0) == "does-not-move" and np.isnan(still.rows[ROLL][0])


def test_a_word_that_contradicts_the_rest_is_refused_lane_by_lane():
    """A hinged tail needs the chord of its elevator: the scenario has an all-moving one."""
    vary = roll_vary(JET, ["aeroplane.tail.kind=hinged,all-moving", "air.headwind=0 m/s:2 m/s:2"])
    words = [vary.rows.verdict(i) for i in range(4)]
    assert words[:2] == ["refused"] * 2 and "refused" not in words[2:]
    assert "elevator_chord_fraction" in vary.rows.refused[0]
    turned = roll_vary(JET, ["air.headwind=0 m/s:2 m/s:2", "aeroplane.tail.kind=hinged,all-moving"])
    assert list(turned.rows.lanes) == [0, 1, 2, 3] and set(turned.rows.refused) == {0, 2}
    assert turned.rows[ROLL][[1, 3]] == pytest.approx(vary.rows[ROLL][[2, 3]], rel=1e-12)


def test_processes_do_not_change_the_rows():
    keys = ["power.static_thrust=10 N:30 N:20", "strip.rolling_resistance=0.05,0.1,0.2"]
    here = roll_vary(BOOK, keys)
    with worker_pool(2) as pool:
        there = roll_vary(BOOK, keys, executor=pool)
    assert np.array_equal(here.rows.values, there.rows.values, equal_nan=True)
    assert np.array_equal(here.rows.verdicts, there.rows.verdicts)


def test_an_interruption_leaves_what_is_finished():
    def stop(done: int, total: int) -> None:
        assert total == 2 * CHUNK_FIRST
        raise KeyboardInterrupt

    vary = roll_vary(BOOK, [f"power.static_thrust=10 N:30 N:{2 * CHUNK_FIRST}"], progress=stop)
    assert len(vary.rows) == CHUNK_FIRST and not vary.rows.complete
    last = vary_csv(vary).splitlines()[-1]
    assert "incomplete: 512 of 1024" in last
    document = vary_document(vary)
    assert document["complete"] is False and len(document["rows"]) == CHUNK_FIRST


def test_the_document_and_the_table_tell_the_same():
    keys = ["strip.rolling_resistance=0.05,0.3", "pilot.pull_at=2 m,3 m/s"]
    vary = roll_vary(BOOK, keys)
    rows = list(csv.DictReader(vary_csv(vary).splitlines()))
    document = vary_document(vary)
    assert [k["unit"] for k in document["keys"]] == ["-", "words"]
    assert document["verdicts"] == vary.rows.counts()
    for row, record in zip(rows, document["rows"], strict=True):
        assert row["pilot.pull_at"] == record["pilot.pull_at"]
        assert float(row["strip.rolling_resistance [-]"]) == record["strip.rolling_resistance"]
        assert row["verdict"] == record["verdict"]
        roll = record["lift_off_distance_m"]
        assert (float(row["lift off distance [m]"]) if roll else None) == pytest.approx(roll)
    assert len(rows) == 4


def test_every_column_has_a_key_of_its_own_in_a_document():
    keys = [document_key(column_of(name))[0] for name in COLUMNS]
    assert len(set(keys)) == len(keys)
    assert document_key(column_of("lift-off.pitch_rate")) == (
        "lift_off_pitch_rate_deg_per_s",
        pytest.approx(57.29577951),
    )
    for name in OUTCOME_COLUMNS:
        document_key(column_of(name))


def texts_of(axis: Axis) -> list[str]:
    return [axis.text(i) for i in range(len(axis))]


def test_what_may_stand_behind_a_key():
    assert texts_of(axis_of(JET, "power.static_thrust=20 N:10 N:3")) == ["20 N", "15 N", "10 N"]
    assert texts_of(axis_of(JET, "aeroplane.cg.station=0.5 m, 520 mm")) == ["500 mm", "520 mm"]
    assert texts_of(axis_of(JET, "strip.surface=low:high:3")) == ["-1", "0", "1"]
    words = axis_of(JET, " strip.surface = mown grass , long grass ")
    assert words.words == ("mown grass", "long grass") and words.knob is None
    degrees = axis_of(JET, "aeroplane.wing.flaps.deflection=0 deg:20 deg:3")
    assert degrees.values == pytest.approx(np.radians([0.0, 10.0, 20.0]))
    knob = axis_of(JET, "air.temperature=0 degC:20 degC:2").knob
    assert knob is not None and value_text(knob, 293.15) == "20 degC"
    assert value_text(knob, 293.15, "imperial") == "68 degF"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("power.static_thrust", ("KEY=FROM:TO:COUNT",)),
        ("power.static_thrust=", ("KEY=FROM:TO:COUNT",)),
        ("=1 N:2 N:3", ("KEY=FROM:TO:COUNT",)),
        ("power.static_thrust=5 N", ("two values or more",)),
        ("power.static_thrust=5 N:6 N", ("FROM:TO:COUNT",)),
        ("power.static_thrust=5 N:6 N:1", ("from 2 to 2001", "nearest: 2")),
        ("power.static_thrust=5 N:6 N:9999", ("nearest: 2001",)),
        ("power.static_thrust=5 N:6 N:many", ("whole number",)),
        ("power.static_thrust=5 N:5 N:4", ("differ",)),
        ("power.static_thrust=5 N:6:4", ('given "6"', "force with its unit")),
        ("power.static_thrust=5:6 N:4", ('given "5"', "force with its unit")),
        ("power.static_thrust=-5 N:6 N:4", ("from 0.01 N",)),
        ("power.static_thrust=5 N,6 mm", ('given "6 mm"',)),
        ("power.static_thrust=5 N,5 N", ("each value once",)),
        ("aeroplane.mass=1 kg,1000 g", ("each value once",)),
        ("power.static_thrst=5 N:6 N:4", ("nearest: power.static_thrust",)),
        ("pilot.pull_at=5 m:6 m/s:4", ("a place like the others",)),
        ("strip.surface=mown grass,lng grass", ('nearest: "long grass"',)),
    ],
)
def test_mistakes(text, words):
    with pytest.raises(ScenarioError) as caught:
        axis_of(JET, text)
    for word in words:
        assert word in str(caught.value)


def test_whole_numbers_stay_whole():
    base = load_scenario("workshop")
    axis = axis_of(base, "power.battery.cells=4:8:5")
    assert list(axis.values) == [4, 5, 6, 7, 8]
    with pytest.raises(ScenarioError, match="nearest: 4:8:5"):
        axis_of(base, "power.battery.cells=4:8:4")


def test_how_many_keys_and_rolls():
    thrust = "power.static_thrust=5 N:6 N:2001"
    for texts, words in (
        ([], "one key, or two"),
        ([thrust] * 3, "one key, or two"),
        ([thrust, "power.static_thrust=1 N,2 N"], "two different keys"),
        ([thrust, "aeroplane.mass=1 kg:2 kg:2001"], "100000 at most"),
    ):
        with pytest.raises(ScenarioError, match=words):
            axes_of(JET, texts)


def test_the_package_gives_the_same_scenario():
    assert sim.load_scenario("meadow-jet") == JET
