"""The story of a roll: moments against the roll's own equations, scene, columns, clock."""

import json
import math

import numpy as np
import pytest

from sim.checks.budget import nose_load_budget
from sim.prepare import prepare
from sim.report import build_report
from sim.roll.attitude import rotated
from sim.roll.block import batch_of
from sim.roll.contacts import MAIN, NOSE, SETS
from sim.roll.quasi_static import one_block
from sim.roll.verdict import Verdict
from sim.scenario import load_scenario
from sim.show.figures.side_view import side_of, side_of_aeroplane
from sim.show.replay.balance import balance
from sim.show.replay.clock import HOLD, LONGEST, joined, make_clock, roll_time, shown_time, slowness
from sim.show.replay.scene import aeroplane_of
from sim.show.replay.story import story
from tests.test_show_reports import dragging_report, report_of

NAMES = ("meadow-jet", "flaps-25", "tail-stall", "textbook-rotation", "sunday-tailwind")
REPORTS = {
    name: build_report(prepare(load_scenario(name)), with_advice=False)
    for name in (*NAMES, "wheelbarrow")
}
SOFT = build_report(
    prepare(
        load_scenario(
            "flaps-10",
            [
                'power.thrust_line={ height = "25 mm", tilt = "4 deg" }',
                'aeroplane.tail.twist_per_newton="0.2 deg/N"',
                "strip.slope=3 %",
            ],
        )
    ),
    with_advice=False,
)


def moments_of(report):
    trace = report.result.trace
    return balance(report.result.setup, trace.columns, trace.phase)


def rows_of(report, touching):
    trace = report.result.trace
    rolling = trace["ground_speed"] > 1e-6
    return (np.asarray(trace.phase) == SETS.index(touching)) & rolling


def axles_of(report):
    trace, p = report.result.trace, report.result.setup.parameters
    turn = np.cos(trace["pitch"]), np.sin(trace["pitch"])
    return rotated(p.main_x, p.main_z, *turn), rotated(p.nose_x, p.nose_z, *turn)


@pytest.mark.parametrize("report", [*REPORTS.values(), SOFT], ids=lambda r: r.prepared.title[:20])
def test_moments_sum_to_what_the_nose_wheel_carries_and_to_what_turns_it(report):
    """Moments about the axle: -N_n lever on three wheels, then d'Alembert for a body that turns
    about a point of its own held at one height: (I + m r_x^2) a - m r_x r_z w^2; in the air I a."""
    trace, p = report.result.trace, report.result.setup.parameters
    total = sum(moments_of(report).values())
    main, nose = axles_of(report)
    lever = nose[0] - main[0] + p.nose_friction * (nose[1] - main[1])
    turning, rate = trace["pitch_acceleration"], trace["pitch_rate"]
    wanted = {
        (MAIN, NOSE): -trace["nose_load"] * lever,
        (MAIN,): (p.pitch_inertia + p.mass * main[0] ** 2) * turning
        - p.mass * main[0] * main[1] * rate**2,
        (): p.pitch_inertia * turning,
    }
    met = 0
    for touching, expected in wanted.items():
        rows = rows_of(report, touching)
        met += int(rows.sum())
        assert total[rows] == pytest.approx(expected[rows], abs=1e-9)
    assert met > 300


def test_parts_are_those_of_the_nose_load_budget():
    """Times minus the lever, at a moment late enough for the thrust to be there in full."""
    report = REPORTS["flaps-25"]
    trace, p = report.result.trace, report.result.setup.parameters
    row = int(np.flatnonzero(rows_of(report, (MAIN, NOSE)))[-3])
    block = one_block(batch_of([report.result.setup]), np.zeros(1, dtype=int))
    budget = nose_load_budget(block, trace["airspeed"][[row]], trace["elevator"][row])
    main, nose = axles_of(report)
    lever = (nose[0] - main[0] + p.nose_friction * (nose[1] - main[1]))[row]
    found = {name: part[row] for name, part in moments_of(report).items()}
    tail = [name for name in budget.parts if name not in found]
    assert len(tail) == 5
    for name, moment in found.items():
        loads = sum(budget.parts[n][0] for n in tail) if name == "tail" else budget.parts[name][0]
        assert moment == pytest.approx(-loads * lever, abs=4e-3), name


def test_signs_of_the_moments_a_pilot_knows():
    """Weight ahead of the mains and thrust above the axle hold it down, a pulled tail lifts it."""
    told = story(REPORTS["meadow-jet"])
    row = int(np.searchsorted(told["columns"]["time"], 4.9))
    parts = {part["name"]: part["moment"][row] for part in told["balance"]}
    assert parts["weight"] < -1.0 and parts["thrust"] < -0.5
    assert parts["tail"] > 1.0 and parts["forward acceleration"] > 0.5 and parts["drag"] > 0.0
    p = REPORTS["meadow-jet"].result.setup.parameters
    # by hand, ground attitude nearly nil: 3.10 kg * 9.81 * 105 mm, and a little for the attitude
    assert parts["weight"] == pytest.approx(-p.mass * p.gravity * 0.105, rel=0.02)


@pytest.mark.parametrize("verdict", list(Verdict))
def test_every_roll_has_a_story_that_json_can_hold(verdict):
    told = story(report_of(verdict, with_advice=False))
    text = json.dumps(told, allow_nan=False)
    assert len(text) < 300_000
    assert told["verdict"] == verdict and told["failed"] == (verdict != Verdict.AIRBORNE)
    time = told["columns"]["time"]
    assert all(len(c) == len(time) for c in told["columns"].values())
    assert all(len(part["moment"]) == len(time) for part in told["balance"])
    assert np.all(np.diff(time) > 0.0) and time[0] == 0.0
    places = [event["time"] for event in told["events"]]
    assert places == sorted(places) and all(t <= time[-1] for t in places)
    clock = np.array(told["clock"])
    assert np.all(np.diff(clock, axis=0) >= 0.0) and clock[-1, 1] == pytest.approx(
        time[-1], abs=1e-4
    )


def test_columns_are_the_roll_and_what_happened_is_among_the_rows():
    report = REPORTS["meadow-jet"]
    told, trace = story(report), report.result.trace
    c = told["columns"]
    for name in ("distance", "airspeed", "nose_load", "tail_lift"):
        kept = np.interp(c["time"], trace["time"], trace[name])
        assert c[name] == pytest.approx(kept, abs=6e-3), name
    for event in told["events"]:
        assert event["time"] in c["time"]
    # trailing edge down positive, as the scene turns it: a pull is negative
    row = int(np.searchsorted(c["time"], 4.9))
    assert c["elevator"][row] == pytest.approx(-math.radians(10.0), abs=1e-3)
    assert set(c["weight"]) == {round(report.result.setup.parameters.mass * 9.80665, 3)}


def test_a_long_roll_is_thinned():
    told = story(dragging_report())
    assert len(told["columns"]["time"]) < 1100 and len(json.dumps(told)) < 300_000
    assert 10.0 <= told["clock"][-1][0] <= LONGEST or told["columns"]["time"][-1] < 10.0


def test_the_scene_is_the_files_own_geometry():
    scene = story(REPORTS["flaps-25"])["scene"]
    body = np.array(next(s for s in scene["outlines"] if s["name"] == "fuselage")["points"])
    assert np.ptp(body[:, 0]) == pytest.approx(1.26, abs=1e-3)
    assert body[:, 0].max() == pytest.approx(0.55, abs=1e-3)  # the nose is 550 mm ahead of the CG
    wheels = {w["name"]: w for w in scene["wheels"]}
    assert wheels["main"]["axle"] == pytest.approx([-0.105, -0.122])
    assert wheels["nose"]["radius"] == pytest.approx(0.0325)
    moving = {s["name"]: s for s in scene["surfaces"]}
    assert set(moving) == {"elevator", "flap"}
    assert moving["elevator"]["hinge"][0] == pytest.approx(0.55 - 1.035)  # the pivot of the file
    points = np.array(moving["flap"]["points"])
    assert points[:, 0].min() < moving["flap"]["hinge"][0] - 0.05  # it lies behind its hinge
    assert scene["strip"] == {"length": 70.0, "obstacle": None, "screen_height": 2.0, "slope": 0.0}
    assert scene["points"]["thrust"][0] > wheels["nose"]["axle"][0]


def test_a_hinged_elevator_is_cut_from_the_tail_at_its_hinge():
    scenario = load_scenario(
        "meadow-jet", ['aeroplane.tail.kind="hinged"', "aeroplane.tail.elevator_chord_fraction=0.4"]
    )
    scene = story(build_report(prepare(scenario), with_advice=False))["scene"]
    fixed = np.array(next(s for s in scene["outlines"] if s["name"] == "tail")["points"])
    moving = next(s for s in scene["surfaces"] if s["name"] == "elevator")
    assert np.ptp(fixed[:, 0]) == pytest.approx(0.6 * 0.19, abs=2e-3)
    assert np.ptp(np.array(moving["points"])[:, 0]) == pytest.approx(0.4 * 0.19, abs=2e-3)
    assert moving["hinge"][0] == pytest.approx(fixed[:, 0].min(), abs=2e-3)


def test_the_aeroplane_comes_back_from_its_resolved_numbers():
    scenario = load_scenario("flaps-25")
    prepared = prepare(scenario)
    found = aeroplane_of(prepared)
    assert found is not None
    one, other = side_of_aeroplane(found, prepared), side_of(scenario, prepared)
    assert (one.main, one.nose, one.cg, one.scrape) == (
        other.main,
        other.nose,
        other.cg,
        other.scrape,
    )
    for mine, its in zip((*one.wing, *one.tail), (*other.wing, *other.tail), strict=True):
        assert np.array_equal(mine, its)
    assert np.array_equal(one.body, other.body) and np.array_equal(one.flap, other.flap)
    assert aeroplane_of(report_of(Verdict.AIRBORNE, False).prepared) is None


def test_the_clock_is_slow_around_rotation_and_never_runs_back():
    told = story(REPORTS["meadow-jet"])
    clock, events = told["clock"], {e["name"]: e["time"] for e in told["events"]}
    assert slowness(clock, 1.0) == pytest.approx(1.0, rel=1e-4)
    for name in ("nose-wheel-off", "lift-off"):
        assert slowness(clock, float(shown_time(clock, events[name]))) == pytest.approx(
            5.0, rel=0.01
        )
    shown = np.linspace(0.0, clock[-1][0], 500)
    assert np.all(np.diff(roll_time(clock, shown)) >= 0.0)
    assert roll_time(clock, shown_time(clock, 4.0)) == pytest.approx(4.0)
    assert math.isinf(slowness(clock, clock[-1][0] - 0.5 * HOLD))
    assert 10.0 <= clock[-1][0] <= LONGEST


def test_two_clocks_joined_are_slow_where_either_is():
    one, other = make_clock(6.0, (3.0, 4.0)), make_clock(9.0, (5.0, 6.0))
    both = joined(one, other)
    assert both == joined(other, one) and joined(one, one) == one
    for moment in (3.5, 5.5):
        assert slowness(both, float(shown_time(both, moment))) == pytest.approx(5.0, rel=1e-3)
    assert both[-1][1] == 9.0 and np.all(np.diff(np.array(both), axis=0) >= 0.0)
    long = joined(make_clock(90.0, (10.0, 12.0)), make_clock(80.0, (40.0, 42.0)))
    assert long[-1][0] <= LONGEST + 1e-3
