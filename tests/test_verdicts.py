"""Every verdict by a jet whose reason can be told, and which of several verdicts wins."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from sim.prepare import prepare
from sim.roll.events import End, Happening
from sim.roll.parameters import Setup
from sim.roll.quasi_static import Speeds
from sim.roll.result import simulate_many, simulate_setup
from sim.roll.verdict import BARROW_TIME, RULES, Facts, Verdict, decide
from sim.scenario import load_scenario
from tests.jets import jet

GRIP = 2.0  # a friction no thrust of this jet overcomes

FLYING: dict[str, Any] = {
    "main_x": -0.08, "tail_max_lift": 0.25, "strip_length": 150.0, "aft_z": 0.08,
}  # fmt: skip

CASES: dict[str, tuple[Setup, Verdict]] = {
    "CG behind the mains": (jet(main_x=0.02), Verdict.SITS_ON_TAIL),
    "aft point lower than the wheels": (jet(aft_z=-0.2), Verdict.SITS_ON_TAIL),
    "a steep slope tips it back": (
        jet(main_x=-0.02, slope=0.25, main_friction=0.4, nose_friction=0.4),
        Verdict.SITS_ON_TAIL,
    ),
    "low thrust line tips it back": (
        jet(main_x=-0.02, thrust_z=-0.16, main_friction=GRIP, nose_friction=GRIP),
        Verdict.SITS_ON_TAIL,
    ),
    "thrust below the friction": (jet(static_thrust=3.0), Verdict.DOES_NOT_MOVE),
    "aborts, nose still down": (jet(abort_place=15.0), Verdict.ABORTED),
    "trigger-happy and held back": (
        jet(hold_elevator=0.35, pull_elevator=0.35, elevator_up_limit=0.35, law_on=0.0,
            tail_max_lift=0.4, **{"main_x": -0.05}, aft_z=0.15),
        Verdict.LEAPS_AND_STALLS,
    ),
    "pushed down again after lift-off": (
        jet(law_on=0.0, hold_elevator=0.26, pull_elevator=-0.05, pull_place=np.inf,
            pull_airspeed=20.25, main_x=-0.08, aft_z=0.15),
        Verdict.SETTLES_BACK,
    ),
    "a low tail": (
        jet(**FLYING | {"aft_z": -0.02}), Verdict.SCRAPES_TAIL,
    ),
    "held down with flaps": (
        jet(hold_elevator=-0.2, flap_start=0.4, main_x=-0.13, pull_place=np.inf,
            strip_length=300.0),
        Verdict.WHEELBARROWS,
    ),
    "hardly any tail, nose low": (
        jet(main_x=-0.2, tail_max_lift=0.02, nose_z=-0.095), Verdict.NEVER_ROTATES,
    ),
    "thrust gone before it is fast enough": (
        jet(zero_thrust_airspeed=16.0, quadratic_share=1.0), Verdict.TOO_SLOW,
    ),
    "a short strip": (jet(**FLYING | {"strip_length": 20.0}), Verdict.AIRBORNE_TOO_LATE),
    "a tall obstacle close by": (
        jet(**FLYING, obstacle_distance=70.0, obstacle_height=30.0), Verdict.AIRBORNE_TOO_LATE,
    ),
    "all is well": (jet(**FLYING), Verdict.AIRBORNE),
    "an obstacle it clears": (
        jet(**FLYING, obstacle_distance=140.0, obstacle_height=1.0), Verdict.AIRBORNE,
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_a_jet_for_each_verdict(name: str) -> None:
    setup, expected = CASES[name]
    result = simulate_setup(setup)
    said = [(e.name, round(e.time, 3)) for e in (*result.events, *result.also)]
    assert result.verdict == expected, (result.verdict, result.end, said)


def test_every_verdict_has_its_jet() -> None:
    assert {verdict for _, verdict in CASES.values()} == set(Verdict)


def test_the_reasons_are_the_ones_meant() -> None:
    names = list(CASES)
    many = simulate_many([CASES[name][0] for name in names])
    by_name = {name: many.result(k) for k, name in enumerate(names)}
    assert by_name["low thrust line tips it back"].figures["end_time"] > 0.05  # while spooling up
    assert by_name["CG behind the mains"].figures["end_time"] == 0.0
    assert by_name["thrust below the friction"].end == End.DOES_NOT_MOVE
    assert by_name["aborts, nose still down"].end == End.STOP
    late = by_name["a short strip"].event("lift-off")
    assert late is not None and late.distance > 20.0
    scraped = by_name["a low tail"]
    assert scraped.event("tail-strike") is not None
    k = names.index("hardly any tail, nose low")
    assert np.isnan(many.facts.speeds.needed[k])
    assert many.facts.speeds.least_nose_load[k] > 0.0
    k = names.index("thrust gone before it is fast enough")
    assert many.facts.speeds.needed[k] > many.facts.speeds.reachable[k]
    assert by_name["thrust gone before it is fast enough"].end == End.STEADY


def nothing(count: int = 1) -> Facts:
    """Facts of lanes that flew away without anything to remark."""
    time = np.full((len(Happening), count), np.nan)
    place = time.copy()
    time[Happening.LIFT_OFF], place[Happening.LIFT_OFF] = 3.0, 40.0
    none = np.full(count, np.nan)
    return Facts(
        end=np.full(count, int(End.SCREEN_HEIGHT)), moved=np.ones(count, dtype=bool),
        first_time=time, first_place=place,
        barrow_time=np.zeros(count), screen_time=np.full(count, 5.0),
        strip_length=np.full(count, 80.0), obstacle_clearance=none,
        needs_clearance=np.zeros(count, dtype=bool), speeds=Speeds(none, none, none),
        final_speed=np.full(count, 20.0),
    )  # fmt: skip


def test_the_order_of_precedence_is_the_list() -> None:
    assert [verdict for verdict, _ in RULES] == list(Verdict)
    facts = nothing()
    assert decide(facts) == [Verdict.AIRBORNE]
    facts.first_place[Happening.LIFT_OFF] = 90.0
    assert decide(facts) == [Verdict.AIRBORNE_TOO_LATE]
    facts.barrow_time[:] = BARROW_TIME
    assert decide(facts) == [Verdict.WHEELBARROWS]
    facts.first_time[Happening.TAIL_STRIKE] = 3.5
    assert decide(facts) == [Verdict.SCRAPES_TAIL]
    facts.first_time[Happening.WHEELS_DOWN_AGAIN] = 4.0
    assert decide(facts) == [Verdict.SETTLES_BACK]
    facts.first_time[Happening.WING_STALL] = 4.5
    assert decide(facts) == [Verdict.LEAPS_AND_STALLS]
    facts.first_time[Happening.ABORT] = 1.0
    assert decide(facts) == [Verdict.ABORTED]
    assert decide(replace(facts, end=np.array([int(End.DOES_NOT_MOVE)]))) == [Verdict.DOES_NOT_MOVE]
    assert decide(replace(facts, end=np.array([int(End.SITS_ON_TAIL)]))) == [Verdict.SITS_ON_TAIL]


def test_what_happens_after_screen_height_does_not_count() -> None:
    for what in (Happening.WING_STALL, Happening.TAIL_STRIKE, Happening.WHEELS_DOWN_AGAIN):
        facts = nothing()
        facts.first_time[what] = 5.5
        assert decide(facts) == [Verdict.AIRBORNE]


def test_a_short_lift_of_the_mains_is_no_wheelbarrow() -> None:
    facts = nothing()
    facts.barrow_time[:] = 0.99 * BARROW_TIME
    assert decide(facts) == [Verdict.AIRBORNE]


def test_an_aeroplane_that_tips_back_shows_no_pull_of_the_ground() -> None:
    result = simulate_setup(jet(main_x=0.02))
    assert result.verdict is Verdict.SITS_ON_TAIL
    assert result.trace is not None
    assert result.trace["nose_load"][0] == 0.0
    assert result.trace["main_load"][0] > 0.0
    assert result.trace["pitch_acceleration"][0] > 0.0


def test_of_several_lift_offs_the_first_counts() -> None:
    keys = ("pilot.climb_attitude=1 deg", "pilot.pull_at=35 m", "pilot.gain=5")
    setup = prepare(load_scenario("meadow-jet", keys)).setup
    many = simulate_many([setup, setup])
    for lane in range(2):
        times = [e.time for e in many.result(lane).events if e.name == "lift-off"]
        assert len(times) > 3
        assert many.facts.first_time[Happening.LIFT_OFF, lane] == times[0] == min(times)
