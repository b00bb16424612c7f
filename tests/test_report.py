"""The report: decisive moment, speeds, rotation figures and reasons for every way to end."""

from dataclasses import replace
from math import isfinite, isnan

import numpy as np
import pytest

from sim.checks.reason import Outlook, explain
from sim.checks.sentence import sentence
from sim.prepare import prepare
from sim.report import Report, build_report, summary
from sim.roll.events import End
from sim.roll.result import Event, Result
from sim.roll.verdict import Verdict
from sim.scenario import load_scenario
from tests.documents import laid, read, ready
from tests.test_trade_facts import HERON


def report(name: str, *overrides: str) -> Report:
    """Report of a shipped scenario, without advice."""
    return build_report(prepare(load_scenario(name, overrides)), with_advice=False)


def words(result: Result, outlook: Outlook) -> str:
    """The reason with its numbers."""
    return explain(result, outlook).text(lambda q: f"{q.value:.3g} {q.kind}")


def test_decisive_moment_is_the_nose_leaving() -> None:
    r = report("meadow-jet")
    off = r.result.event("nose-wheel-off")
    assert off is not None and r.decisive_airspeed == off.airspeed
    assert r.decisive_name == "as the nose wheel leaves"
    # the elevator is fully pulled by then: the budget sums to nothing there
    assert sum(r.budget.at(off.airspeed).values()) == pytest.approx(0.0, abs=0.05)


def test_decisive_moment_without_rotation_is_the_fastest_it_rolled() -> None:
    r = report("weak-elevator")
    assert r.result.trace is not None
    assert r.decisive_airspeed == float(np.max(r.result.trace["airspeed"]))
    there = sum(r.budget.at(r.decisive_airspeed).values())
    assert r.outlook.least_nose_load < there < 1.3 * r.outlook.least_nose_load


@pytest.mark.parametrize("name", ["meadow-jet", "weak-elevator", "thin-thrust", "tail-stall"])
def test_least_nose_load_is_over_speeds_that_can_be_reached(name: str) -> None:
    r = report(name)
    o, weight = r.outlook, r.prepared.setup.parameters.mass * 9.80665
    assert abs(o.least_nose_load) < 2.0 * weight
    can = isfinite(o.needed) and not o.needed > o.reachable
    assert (o.least_nose_load <= 0.0) == can


def test_needed_speed_is_where_the_roll_raises_its_nose() -> None:
    # pulled long before, spooled up: the roll agrees with the search to the spool-up's last part
    r = report("meadow-jet")
    off = r.result.event("nose-wheel-off")
    assert off is not None and r.outlook.needed == pytest.approx(off.airspeed, rel=2e-3)


def test_stall_speed_by_hand() -> None:
    r = report("flaps-25")
    p = r.prepared.setup.parameters
    lift = p.wing_max_lift_up
    by_hand = (2 * p.mass * 9.80665 / (p.air_density * p.reference_area * lift)) ** 0.5
    assert r.outlook.stall_start == pytest.approx(by_hand)


def test_pitch_acceleration_available_grows_with_the_pull_speed() -> None:
    # at 13 m/s the nose is still heavy (negative), well past rotation speed it is not
    early, late = (
        report("meadow-jet", "pilot.pull_at=13 m/s"),
        report("meadow-jet", "pilot.pull_at=20 m/s"),
    )
    assert early.rotation.available < 0.0 < late.rotation.available


def test_rotation_figures_are_those_of_the_roll() -> None:
    r = report("meadow-jet")
    off = r.result.event("lift-off")
    assert off is not None and r.rotation.rate_at_lift_off == off.pitch_rate
    assert r.rotation.peak_rate >= off.pitch_rate
    assert 0.0 < r.rotation.stall_margin < 1.0
    assert len(r.rotation.typical) == 3
    flat = summary(r)
    assert flat["pitch_rate_at_lift_off_deg_per_s"] == pytest.approx(np.degrees(off.pitch_rate))
    assert flat["strip_left_at_lift_off_m"] == pytest.approx(70.0 - off.distance)


def test_what_did_not_happen_is_none() -> None:
    flat = summary(report("weak-elevator"))
    assert flat["lift_off_distance_m"] is None and flat["speed_needed_m_per_s"] is None
    assert isnan(report("weak-elevator").rotation.rate_at_lift_off)


def test_flaps_dropped_in_the_roll_count_in_budget_and_speeds() -> None:
    drop = {"at": "5 m", "to": "20 deg", "duration": "0.5 s"}
    r = build_report(ready(laid(read(HERON), pilot__drop_flaps=drop)), with_advice=False)
    assert r.outlook.stall_dropped < r.outlook.stall_start
    assert r.budget.at(r.decisive_airspeed)["downwash of the flaps"] < 0.0


FLEW = report("meadow-jet")


def staged(verdict: Verdict, end: End, *events: Event, **figures: float) -> Result:
    """A result as it could have come out of a roll."""
    return replace(
        FLEW.result, verdict=verdict, end=end, events=events, also=(),
        figures={**FLEW.result.figures, **figures},
    )  # fmt: skip


def event(name: str, time: float, distance: float) -> Event:
    """An event somewhere."""
    return Event(name, time, distance, 12.0, 12.0, 0.1, 0.2, 0.0, 0.0, 0.0)


OUTLOOK = FLEW.outlook


def test_abort_past_the_strip_end_and_its_stop() -> None:
    abort, past = event("abort", 3.0, 40.0), event("strip-end", 5.0, 70.0)
    rolling = staged(Verdict.ABORTED, End.TIME_LIMIT, abort, past)
    assert "passed the strip end still rolling" in words(rolling, OUTLOOK)
    before = staged(Verdict.ABORTED, End.TIME_LIMIT, event("strip-end", 2.0, 20.0), abort)
    assert "strip had ended when the throttle was closed" in words(before, OUTLOOK)
    stopped = staged(Verdict.ABORTED, End.STOP, abort, past, event("stop", 9.0, 88.0))
    assert "88 distance" in words(stopped, OUTLOOK)
    never = staged(Verdict.ABORTED, End.TIME_LIMIT, abort)
    assert "still rolling" in words(never, OUTLOOK)


def test_stall_with_the_wheels_leaving_and_later() -> None:
    at_once = staged(
        Verdict.LEAPS_AND_STALLS, End.UPSET, event("lift-off", 3.0, 30.0),
        event("wing-stall", 3.0, 30.0),
    )  # fmt: skip
    assert "past its stall already" in words(at_once, OUTLOOK)
    late = staged(
        Verdict.LEAPS_AND_STALLS, End.UPSET, event("lift-off", 2.0, 20.0),
        event("wing-stall", 3.0, 30.0),
    )  # fmt: skip
    assert "leaps off at 20 distance" in words(late, OUTLOOK)


def test_too_late_for_each_reason() -> None:
    off = event("lift-off", 4.0, 60.0)
    late = Verdict.AIRBORNE_TOO_LATE
    beyond = staged(late, End.SCREEN_HEIGHT, event("lift-off", 4.0, 90.0))
    assert "20 distance beyond" in words(beyond, OUTLOOK)
    hedge = staged(late, End.SCREEN_HEIGHT, off, obstacle_clearance=-0.5)
    assert "0.5 height below the top" in words(hedge, OUTLOOK)
    low = staged(late, End.TIME_LIMIT, off, obstacle_clearance=0.5)
    assert "climb to screen height" in words(low, OUTLOOK)
    far = staged(late, End.UPSET, off, event("screen-height", 6.0, 80.0))
    assert "as far as the obstacle" in words(far, OUTLOOK)


def test_too_slow_for_each_reason() -> None:
    pull, nose = event("pull", 1.0, 10.0), event("nose-wheel-off", 2.0, 20.0)
    slow = Verdict.TOO_SLOW
    assert "never reached" in words(staged(slow, End.STEADY), OUTLOOK)
    held = words(staged(slow, End.STEADY, pull, nose), OUTLOOK)
    assert "hold it below flying speed" in held
    assert "45 degrees" in words(staged(slow, End.UPSET, pull, nose), OUTLOOK)
    wanting = replace(OUTLOOK, needed=20.0, reachable=15.0)
    assert "already at 15 speed" in words(staged(slow, End.STEADY, pull), wanting)
    assert "90 s were over" in words(staged(slow, End.TIME_LIMIT, pull), OUTLOOK)


def test_sentence_fills_in_every_quantity() -> None:
    s = sentence("{a} and {b}", a=(1.0, "speed"), b=(2.0, "force"))
    assert s.text(lambda q: f"{q.value:g} {q.kind}") == "1 speed and 2 force"
    with pytest.raises(KeyError):
        sentence("{a} and {c}", a=(1.0, "speed")).text(lambda q: q.kind)
