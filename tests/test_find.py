"""Values that just meet a condition: against formulas, another method, and rolls at both sides."""

import json
import math

import numpy as np
import pytest
from scipy.optimize import brentq

from sim.prepare import prepare
from sim.roll.result import simulate_many
from sim.scenario import Scenario, ScenarioError, load_scenario, with_overrides
from sim.show.find_document import find_json
from sim.show.words_find import lead_words, notes, present_words, value_words
from sim.study.condition import ConditionError, condition_of
from sim.study.edges import CROSSES, END, JUMPS
from sim.study.find import LOOK, Search, search
from sim.study.knobs import knob_of
from sim.study.samples import Sampler, apart
from sim.study.usual_range import usual_range

JET, BOOK = load_scenario("meadow-jet"), load_scenario("textbook-rotation")
SLED = load_scenario(
    "textbook-rotation",
    [
        "aeroplane.coefficients.lift_at_zero=0",
        "aeroplane.coefficients.lift_slope=0",
        "aeroplane.coefficients.moment_at_zero=0",
        "aeroplane.coefficients.drag_at_zero_lift=0",
        "aeroplane.coefficients.tail_lift_at_zero=0",
        "aeroplane.coefficients.tail_lift_slope=0",
        "pilot.pull_at=20 m",
    ],
)
"""No air forces, thrust constant and at once: T - mu m g = m V^2/(2 d), by hand."""


def look(scenario: Scenario, key: str, text: str, first: str = "", last: str = "") -> Search:
    """A search for one condition, in a range or the usual one."""
    knob = knob_of(scenario, key, first or None)
    ends = (knob.read(first), knob.read(last)) if first else usual_range(scenario, knob)
    return search(scenario, knob, ends, [condition_of(text)])


def single(scenario: Scenario, override: str) -> tuple[str, float]:
    """Verdict and ground roll of one roll by itself."""
    result = simulate_many([prepare(with_overrides(scenario, [override])).setup]).result(0)
    event = result.event("lift-off")
    return str(result.verdict), event.distance if event else math.nan


def test_a_sled_by_hand():
    """m = 4 kg, mu = 0.08, d = 20 m, V = 12 m/s: T = 4 (7.2/2 + 0.08 g) = 17.538 N; computed."""
    found = look(SLED, "power.static_thrust", "pull.ground_speed >= 12 m/s").found[0]
    thrust = 4.0 * (12.0**2 / 40.0 + 0.08 * 9.80665)
    assert len(found.intervals) == 1
    edge = found.intervals[0].low
    assert edge.kind == CROSSES and edge.value == pytest.approx(thrust, rel=2e-5)
    # dV/dT = d/(m V) = 20/48
    assert edge.slope == pytest.approx(20.0 / 48.0, rel=2e-3)
    assert found.intervals[0].high.kind == END


def test_the_sled_downhill_in_the_other_direction():
    """V^2/(2 d) = T/m - mu g: the largest mass is 25/(3.6 + 0.08 g); grows with falling mass."""
    edge = look(SLED, "aeroplane.mass", "pull.ground_speed >= 12 m/s").found[0].intervals[0].high
    mass = 25.0 / (12.0**2 / 40.0 + 0.08 * 9.80665)
    assert edge.kind == CROSSES and edge.value == pytest.approx(mass, rel=2e-5)
    # dV/dm = -d T/(m^2 V)
    assert edge.slope == pytest.approx(-20.0 * 25.0 / (mass**2 * 12.0), rel=2e-3)


@pytest.mark.parametrize(
    ("key", "unit", "ends", "limit"),
    [
        ("power.static_thrust", "N", (12.0, 30.0), 60.0),
        ("aeroplane.mass", "kg", (2.5, 4.0), 65.0),
        ("aeroplane.gear.main.station", "m", (0.62, 0.70), 55.0),
    ],
)
def test_against_another_method(key, unit, ends, limit):
    """Brent's method on single rolls, each read from the overrides as anybody would."""
    root = brentq(lambda x: single(JET, f"{key}={x!r} {unit}")[1] - limit, *ends, xtol=1e-7)
    looked = look(
        JET, key, f"lift-off.distance <= {limit} m", f"{ends[0]} {unit}", f"{ends[1]} {unit}"
    )
    edges = [e for i in looked.found[0].intervals for e in (i.low, i.high) if e.kind != END]
    assert len(edges) == 1 and edges[0].kind == CROSSES
    assert edges[0].value == pytest.approx(root, abs=2e-6 * (ends[1] - ends[0]) + 1e-7)
    equal = look(
        JET, key, f"lift-off.distance == {limit} m", f"{ends[0]} {unit}", f"{ends[1]} {unit}"
    )
    assert [i.low.value for i in equal.found[0].intervals] == pytest.approx([root], rel=1e-5)


def test_a_jump_is_told_as_one_and_stands_on_the_right_side():
    """Main wheels forward: the outcome turns over from one micrometre to the next."""
    looked = look(JET, "aeroplane.gear.main.station", "verdict == airborne", "580 mm", "640 mm")
    (interval,) = looked.found[0].intervals
    edge = interval.low
    assert (edge.kind, edge.inside, edge.outside) == (JUMPS, "airborne", "settles-back")
    assert interval.high.kind == END and edge.width <= 1e-5 * 0.06 * 1.01
    at, beside = edge.value, edge.value - 1.5 * edge.width
    assert single(JET, f"aeroplane.gear.main.station={at!r} m")[0] == "airborne"
    assert single(JET, f"aeroplane.gear.main.station={beside!r} m")[0] == "settles-back"


def test_two_sides_and_several_intervals():
    """The best place to pull is in the middle: later and earlier both roll longer."""
    inner = look(JET, "pilot.pull_at", "lift-off.distance <= 50 m").found[0]
    outer = look(JET, "pilot.pull_at", "lift-off.distance >= 50 m").found[0]
    (middle,) = inner.intervals
    assert middle.low.kind == middle.high.kind == CROSSES
    assert [(i.low.kind, i.high.kind) for i in outer.intervals] == [(END, CROSSES), (CROSSES, END)]
    shared = [outer.intervals[0].high.value, outer.intervals[1].low.value]
    assert shared == pytest.approx([middle.low.value, middle.high.value], abs=1e-3)
    assert middle.low.slope < 0.0 < middle.high.slope


def test_a_dip_between_two_places_of_the_first_look_is_found():
    wide = look(JET, "pilot.pull_at", "lift-off.distance <= 10 m")
    best = wide.found[0].closest
    assert best is not None
    limit = best.quantity + 2e-4
    even = apart(wide.samples, 0.9 * wide.step)
    first = even.rows["lift-off.distance"]
    assert np.nanmin(first[: LOOK - 1]) > limit or best.value not in even.x
    dip = look(JET, "pilot.pull_at", f"lift-off.distance <= {limit!r} m").found[0]
    assert len(dip.intervals) == 1
    width = dip.intervals[0].high.value - dip.intervals[0].low.value
    assert 0.0 < width < wide.step


def test_nowhere_everywhere_and_never():
    nowhere = look(JET, "pilot.pull_at", "lift-off.distance <= 40 m")
    assert not nowhere.found[0].intervals and nowhere.found[0].closest is not None
    assert nowhere.found[0].closest.quantity == pytest.approx(48.11, abs=0.02)
    assert lead_words(nowhere, nowhere.found[0], "si").startswith("Met nowhere from 0 m to 70 m.")
    everywhere = look(BOOK, "power.static_thrust", "verdict == airborne", "30 N", "32 N")
    assert everywhere.found[0].everywhere()
    assert lead_words(everywhere, everywhere.found[0], "si") == "Met everywhere from 30 N to 32 N."
    never = look(BOOK, "power.static_thrust", "lift-off.distance <= 9 m", "0.1 N", "1 N")
    assert never.found[0].closest is None
    assert "does-not-move (97)" in lead_words(never, never.found[0], "si")


def test_several_clauses_name_the_one_that_decides():
    text = "lift-off.distance <= 50 m and lift-off.airspeed >= 18 m/s and verdict == airborne"
    looked = look(JET, "aeroplane.mass", text, "2.3 kg", "3.6 kg")
    (interval,) = looked.found[0].intervals
    assert interval.low.clause is not None and interval.low.clause.name == "lift-off.airspeed"
    assert interval.high.clause is not None and interval.high.clause.name == "lift-off.distance"
    both = look(JET, "aeroplane.mass", "lift-off.distance <= 30 m and lift-off.airspeed >= 24 m/s")
    assert not both.found[0].intervals and both.found[0].closest is None
    assert "Nowhere by itself" in lead_words(both, both.found[0], "si") or (
        "Each part is met somewhere" in lead_words(both, both.found[0], "si")
    )


def test_a_variant_that_makes_no_scenario_is_an_edge():
    """The nose wheel must stay ahead of the CG, which is at station zero."""
    looked = look(BOOK, "aeroplane.gear.nose.station", "pull.distance <= 1 m", "-400 mm", "200 mm")
    edge = looked.found[0].intervals[-1].high
    assert edge.kind == JUMPS and edge.outside == "refused"
    assert edge.value == pytest.approx(0.0, abs=1e-6)


def test_whole_numbers():
    base = load_scenario("workshop")
    looked = look(base, "power.battery.cells", "lift-off.distance <= 70 m", "4", "10")
    assert list(looked.samples.x) == [4, 5, 6, 7, 8, 9, 10]
    (interval,) = looked.found[0].intervals
    cells = int(interval.low.value)
    assert "7 rolls, one for each number" in list(notes(looked, looked.found[0], "si"))
    assert single(base, f"power.battery.cells={cells}")[1] <= 70.0
    assert not single(base, f"power.battery.cells={cells - 1}")[1] <= 70.0


def test_printed_numbers_meet_the_condition():
    """Rounded to the inside: whoever types the number gets what was asked."""
    looked = look(JET, "power.static_thrust", "lift-off.distance <= 60 m")
    words = lead_words(looked, looked.found[0], "si")
    number = words.split("from ")[1].split(" upwards")[0]
    assert single(JET, f"power.static_thrust={number}")[1] <= 60.0
    knob = looked.knob
    assert value_words(knob, 18.64406, "si", 1) == "18.65 N"
    assert value_words(knob, 18.64406, "si", -1) == "18.64 N"
    assert value_words(knob, 18.64, "si", 1) == value_words(knob, 18.64, "si", -1) == "18.64 N"
    station = knob_of(JET, "aeroplane.cg.station")
    assert value_words(station, -0.0123456, "si", 1) == "-12.34 mm"
    assert value_words(station, 0.0, "si", 1) == "0 mm"
    assert "with 2.3 N to spare" in present_words(looked, looked.found[0], "si")
    told = " ".join(notes(looked, looked.found[0], "si"))
    assert "falls by 4.69 m per N" in told
    imperial = " ".join(notes(looked, looked.found[0], "imperial"))
    assert f"falls by {4.6878 / 0.3048 * 4.44822:.3g} ft per lbf" in imperial


def test_a_temperature_has_differences_without_its_offset():
    looked = look(JET, "air.temperature", "lift-off.distance <= 52 m")
    told = present_words(looked, looked.found[0], "si")
    edge = looked.found[0].intervals[-1].high.value - 291.15
    assert f"{math.floor(edge * 10) / 10:g}" in told or f"{math.floor(edge):g}" in told
    assert "-2" not in told


def test_mind_the_rolls_that_meet_it_and_fail():
    looked = look(JET, "power.static_thrust", "lift-off.distance <= 90 m", "12 N", "24 N")
    told = " ".join(notes(looked, looked.found[0], "si"))
    assert "some rolls that meet it end airborne-too-late" in told
    strict = look(JET, "power.static_thrust", "lift-off.distance <= 90 m and verdict == airborne")
    assert "mind" not in " ".join(notes(strict, strict.found[0], "si"))


def test_the_document_is_strict_and_in_si():
    data = json.loads(
        find_json(look(JET, "aeroplane.cg.station", "lift-off.pitch_rate <= 60 deg/s")),
        parse_constant=pytest.fail,
    )
    assert data["unit"] == "m" and data["present"] == 0.55
    crossing = [e for i in data["intervals"] for e in (i["low"], i["high"]) if e["kind"] == CROSSES]
    assert crossing and all(abs(e["slope"]) > 1.0 for e in crossing)  # deg/s per metre


@pytest.mark.parametrize(
    ("key", "ends"),
    [
        ("power.static_thrust", (10.5, 42.0)),
        ("strip.surface", (-1.0, 1.0)),
        ("pilot.pull_at", (0.0, 70.0)),
        ("air.headwind", (-6.0, 6.0)),
        ("strip.slope", (-0.06, 0.06)),
        ("aeroplane.wing.incidence", (math.radians(-14.0), math.radians(15.0))),
        ("aeroplane.cg.height", (0.004 - 0.25 * 0.445, 0.004 + 0.25 * 0.445)),
        ("aeroplane.wing.flaps.deflection", (0.0, math.radians(40.0))),
        ("air.temperature", (291.15 - 25.0, 291.15 + 25.0)),
        ("pilot.hold", (-1.0, 1.0)),
        ("pilot.pull", (0.5, 1.0)),
    ],
)
def test_where_it_looks_when_nobody_says(key, ends):
    assert usual_range(JET, knob_of(JET, key)) == pytest.approx(ends, rel=1e-9)


def test_mistakes():
    with pytest.raises(ScenarioError, match="--between"):
        usual_range(JET, knob_of(JET, "aeroplane.pitch_inertia"))
    knob = knob_of(JET, "power.static_thrust")
    with pytest.raises(ScenarioError, match="rises"):
        search(JET, knob, (30.0, 20.0), [condition_of("lift-off.distance <= 60 m")])
    both = condition_of("lift-off.distance == 60 m and verdict == airborne")
    with pytest.raises(ConditionError, match="stands alone"):
        search(JET, knob, (20.0, 30.0), [both])


def test_a_value_is_rolled_once():
    sampler = Sampler(BOOK, knob_of(BOOK, "power.static_thrust"), ("lift-off.distance",))
    sampler.roll([20.0, 30.0])
    samples = sampler.roll([30.0, 25.0, 20.0])
    assert list(samples.x) == [20.0, 25.0, 30.0] and sampler.rolled == 3
    assert np.all(np.diff(samples.rows["lift-off.distance"]) < 0.0)
