"""Every shipped scenario loads, runs and gives the verdict that stands here; its point holds."""

from functools import cache
from math import isfinite

import pytest

from sim.checks.budget import PARTS
from sim.prepare import prepare
from sim.report import Report, build_report, summary
from sim.roll.verdict import Verdict
from sim.scenario import load_scenario, shipped_scenarios

VERDICTS = {
    "abort-drill": Verdict.ABORTED,
    "flaps-10": Verdict.AIRBORNE,
    "flaps-25": Verdict.AIRBORNE,
    "long-grass": Verdict.AIRBORNE_TOO_LATE,
    "long-nose-leg": Verdict.AIRBORNE,
    "mains-far-aft": Verdict.LEAPS_AND_STALLS,
    "mains-forward": Verdict.AIRBORNE,
    "meadow-jet": Verdict.AIRBORNE,
    "pavement": Verdict.AIRBORNE,
    "small-tail": Verdict.AIRBORNE,
    "small-tail-flaps": Verdict.AIRBORNE,
    "sunday-tailwind": Verdict.AIRBORNE_TOO_LATE,
    "tail-stall": Verdict.TOO_SLOW,
    "tail-strike": Verdict.SCRAPES_TAIL,
    "textbook-rotation": Verdict.AIRBORNE,
    "thin-thrust": Verdict.TOO_SLOW,
    "weak-elevator": Verdict.NEVER_ROTATES,
    "wet-grass": Verdict.AIRBORNE,
    "wheelbarrow": Verdict.WHEELBARROWS,
    "workshop": Verdict.AIRBORNE_TOO_LATE,
}
DEFAULT = "meadow-jet"


@cache
def report(name: str) -> Report:
    """The whole report of a shipped scenario."""
    return build_report(prepare(load_scenario(name)))


def lift_off(name: str) -> float:
    """Place of lift-off [m]."""
    event = report(name).result.event("lift-off")
    assert event is not None
    return event.distance


def rotation(name: str) -> float:
    """Airspeed at which the nose wheel leaves [m/s]."""
    event = report(name).result.event("nose-wheel-off")
    assert event is not None
    return event.airspeed


def test_every_shipped_scenario_is_in_the_table() -> None:
    assert set(VERDICTS) == set(shipped_scenarios())


@pytest.mark.parametrize("name", VERDICTS)
def test_verdict(name: str) -> None:
    assert report(name).result.verdict == VERDICTS[name]


@pytest.mark.parametrize("name", VERDICTS)
def test_report_is_whole(name: str) -> None:
    r = report(name)
    assert r.reason.quantities and all(isfinite(q.value) for q in r.reason.quantities.values())
    assert "{" not in r.reason.text(lambda q: f"{q.value:.3g}")
    assert r.budget.airspeed[0] <= r.decisive_airspeed <= r.budget.airspeed[-1]
    assert all(isfinite(r.budget.at(r.decisive_airspeed)[part]) for part in PARTS)
    assert isfinite(r.outlook.least_nose_load)
    numbers = [v for v in summary(r).values() if v is not None]
    assert all(isfinite(v) for v in numbers) and len(numbers) > 15
    assert len(r.advice) >= 5


def test_surfaces_in_order() -> None:
    places = [lift_off(n) for n in ("pavement", DEFAULT, "wet-grass", "long-grass")]
    assert places == sorted(places) and len(set(places)) == 4


def test_flaps_delay_a_weak_tail_and_help_a_good_one() -> None:
    assert rotation("small-tail-flaps") > rotation("small-tail") + 0.3
    assert rotation("flaps-10") < rotation(DEFAULT) - 0.3
    assert report("small-tail-flaps").result.event("tail-stall") is not None


def test_mains_and_nose_leg_move_rotation_as_said() -> None:
    assert rotation("mains-forward") < rotation(DEFAULT) - 1.0
    assert rotation("mains-far-aft") > rotation(DEFAULT) + 1.0
    assert lift_off("long-nose-leg") < lift_off(DEFAULT)


def test_textbook_rotation_speed() -> None:
    assert rotation("textbook-rotation") == pytest.approx(9.17, abs=0.05)


def test_where_the_abort_drill_ends() -> None:
    result = report("abort-drill").result
    abort, stop = result.event("abort"), result.event("stop")
    assert abort is not None and abort.distance == pytest.approx(40.0, abs=1e-3)
    assert stop is not None and stop.distance > 41.0
    assert result.event("nose-wheel-off") is None


def test_failures_happen_for_the_reason_they_are_shipped_for() -> None:
    outlook = report("weak-elevator").outlook
    assert not isfinite(outlook.needed) and outlook.least_nose_load > 1.0
    thin = report("thin-thrust").outlook
    assert thin.needed > thin.reachable
    stalled = report("tail-stall")
    assert stalled.result.event("tail-stall") is not None
    assert stalled.budget.at(stalled.decisive_airspeed)["tail stall"] > 1.0
    hedge = report("sunday-tailwind").result.figures["obstacle_clearance"]
    assert lift_off("sunday-tailwind") < 70.0 and hedge < -0.5
