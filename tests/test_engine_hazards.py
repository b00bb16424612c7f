"""Hazards of event handling: first step, two in one step, wrong way, exactly on, re-arming."""

import numpy as np
import pytest

from sim.roll.engine import Settings
from sim.roll.events import End
from sim.roll.result import Result, simulate_setup
from tests.jets import jet


def times(result: Result, name: str) -> list[float]:
    return [e.time for e in (*result.events, *result.also) if e.name == name]


def only(result: Result, name: str) -> float:
    found = times(result, name)
    assert len(found) == 1, (name, found)
    return found[0]


@pytest.mark.parametrize("trigger", ["pull_place", "pull_time", "pull_airspeed"])
def test_a_pull_due_at_the_start_happens_at_the_start(trigger: str) -> None:
    result = simulate_setup(jet(**{"pull_place": np.inf, trigger: 0.0}))
    assert only(result, "pull") == 0.0
    moved = result.trace
    assert moved is not None
    k = int(np.searchsorted(moved["time"], np.radians(15) / np.radians(200) + 1e-9))
    assert moved["elevator"][k] == pytest.approx(np.radians(15), abs=1e-12)


def test_headwind_already_above_the_pull_speed() -> None:
    result = simulate_setup(jet(pull_place=np.inf, pull_airspeed=3.0, headwind=4.0))
    assert only(result, "pull") == 0.0


def test_everything_at_one_place_happens_there() -> None:
    result = simulate_setup(
        jet(pull_place=20.0, drop_place=20.0, strip_length=20.0, flap_dropped=0.2)
    )
    wanted = ("pull", "flaps-drop", "strip-end")
    events = [e for e in (*result.events, *result.also) if e.name in wanted]
    assert sorted(e.name for e in events) == ["flaps-drop", "pull", "strip-end"]
    for event in events:
        assert event.distance == pytest.approx(20.0, abs=1e-7)
    assert max(e.time for e in events) - min(e.time for e in events) < 1e-9


def test_two_triggers_in_one_step_keep_their_order() -> None:
    result = simulate_setup(jet(pull_place=20.0, drop_place=20.001, strip_length=20.0005))
    order = sorted(("pull", "strip-end", "flaps-drop"), key=lambda name: only(result, name))
    assert order == ["pull", "strip-end", "flaps-drop"]
    assert only(result, "flaps-drop") - only(result, "pull") < 1e-3


def test_abort_and_pull_at_one_place_the_abort_wins() -> None:
    result = simulate_setup(jet(pull_place=15.0, abort_place=15.0))
    assert not times(result, "pull")
    assert result.event("abort") is not None
    assert result.end == End.STOP


def test_falling_through_a_trigger_the_wrong_way_does_nothing() -> None:
    # a rolling start above the pull speed that slows down: due at once, and only once
    slow = jet(initial_speed=9.0, static_thrust=0.0, pull_place=np.inf, pull_airspeed=8.0)
    assert only(simulate_setup(slow), "pull") == 0.0
    # starting below and never reaching it
    weak = jet(initial_speed=7.0, static_thrust=0.0, pull_place=np.inf, pull_airspeed=8.0)
    assert not times(simulate_setup(weak), "pull")


def test_starting_exactly_on_a_guard() -> None:
    result = simulate_setup(jet(initial_speed=5.0, pull_place=np.inf, pull_airspeed=5.0))
    assert only(result, "pull") == 0.0


def test_a_kink_is_landed_on_exactly() -> None:
    result = simulate_setup(jet(pull_place=np.inf, pull_time=1.3, law_on=0.0))
    assert only(result, "pull") == 1.3
    trace = result.trace
    assert trace is not None
    stop = 1.3 + np.radians(15) / np.radians(200)
    at_stop = np.flatnonzero(trace["time"] == stop)
    assert at_stop.size >= 2  # the end of one step and the start of the next
    np.testing.assert_allclose(trace["elevator"][at_stop], np.radians(15), atol=1e-14)
    later = trace["time"] >= stop
    assert np.ptp(trace["elevator"][later]) < 1e-12


def test_a_bouncing_jet_touches_again_and_again_and_never_sinks_in() -> None:
    result = simulate_setup(
        jet(law_on=0.0, hold_elevator=0.26, pull_elevator=-0.05, pull_place=np.inf,
            pull_airspeed=20.25, main_x=-0.08)
    )  # fmt: skip
    down = times(result, "wheels-down-again")
    up = times(result, "lift-off")
    assert len(down) >= 1
    assert up[0] < down[0]
    assert len(times(result, "nose-wheel-down-again")) >= 2
    trace = result.trace
    assert trace is not None
    assert trace["height"].min() > -1e-6


def test_rolling_back_down_a_slope() -> None:
    result = simulate_setup(jet(static_thrust=0.5, slope=0.2, main_friction=0.05,
                                nose_friction=0.05))  # fmt: skip
    assert times(result, "rolls-back") == [0.0]
    trace = result.trace
    assert trace is not None
    assert trace["ground_speed"][-1] < -1.0
    first = trace["acceleration"][0]
    # spool 0 at t = 0: g (mu cos - sin) up the slope
    assert first == pytest.approx(9.80665 * (0.05 * np.cos(0.2) - np.sin(0.2)), rel=1e-9)


def test_thrown_uphill_it_stops_and_rolls_back_without_a_stop_event() -> None:
    result = simulate_setup(jet(static_thrust=0.0, initial_speed=3.0, slope=0.3))
    assert not times(result, "stop")
    turn = only(result, "rolls-back")
    decelerating = 9.80665 * (np.sin(0.3) + 0.13 * np.cos(0.3))
    assert turn == pytest.approx(3.0 / decelerating, rel=2e-2)  # drag shortens it a little
    assert turn < 3.0 / decelerating


def test_an_aborted_jet_rolls_to_rest_and_stays() -> None:
    result = simulate_setup(jet(abort_place=15.0, pull_place=40.0))
    assert result.end == End.STOP
    assert result.events[-1].name == "stop"
    assert abs(result.figures["end_speed"]) < 1e-9
    assert not times(result, "pull")
    trace = result.trace
    assert trace is not None
    assert trace["thrust"][-1] < 0.01


def test_a_tailwind_at_the_start_means_no_air_forces() -> None:
    result = simulate_setup(jet(headwind=-3.0))
    trace = result.trace
    assert trace is not None
    calm = trace["airspeed"] < 0.0
    assert calm.any()
    assert not trace["wing_lift"][calm].any()
    assert not trace["drag"][calm].any()
    assert result.event("lift-off") is not None
    still = simulate_setup(jet()).event("lift-off")
    off = result.event("lift-off")
    assert off is not None and still is not None
    assert off.ground_speed - still.ground_speed == pytest.approx(3.0, abs=0.6)


def test_without_spool_time_thrust_is_there_and_gone_at_once() -> None:
    result = simulate_setup(jet(spool_rate=0.0, initial_spool=1.0, abort_place=10.0))
    trace = result.trace
    assert trace is not None
    assert trace["thrust"][0] == pytest.approx(24.0)
    abort = only(result, "abort")
    assert not trace["thrust"][trace["time"] > abort].any()
    pitch = trace["pitch"][0]  # nose a little down: thrust presses it to the ground
    load = 3.2 * 9.80665 - 24.0 * np.sin(pitch)
    assert trace["acceleration"][0] == pytest.approx((24.0 * np.cos(pitch) - 0.13 * load) / 3.2)


def test_a_rolling_start_begins_at_its_speed() -> None:
    result = simulate_setup(jet(initial_speed=6.0, initial_spool=1.0))
    trace = result.trace
    assert trace is not None
    assert trace["ground_speed"][0] == 6.0
    still = simulate_setup(jet(initial_spool=1.0)).event("lift-off")
    off = result.event("lift-off")
    assert off is not None and still is not None
    assert off.distance < still.distance - 0.5 * 6.0**2 / 6.3


def test_a_jet_held_at_rest_waits_for_what_the_pilot_will_do() -> None:
    result = simulate_setup(jet(main_friction=2.0, nose_friction=2.0, pull_place=np.inf,
                                pull_time=2.0))  # fmt: skip
    assert only(result, "pull") == 2.0
    assert result.end == End.DOES_NOT_MOVE


def test_the_trace_has_rows_after_the_last_event_and_both_sides_of_each() -> None:
    result = simulate_setup(jet())
    trace = result.trace
    assert trace is not None
    assert np.all(np.diff(trace["time"]) >= 0.0)
    screen = result.event("screen-height")
    off = result.event("lift-off")
    assert screen is not None and off is not None
    assert trace["time"][-1] == pytest.approx(max(off.time + 1.0, screen.time), abs=1e-12)
    assert (trace["time"] == off.time).sum() >= 2


def test_a_fixed_step_gives_the_same_events() -> None:
    usual = simulate_setup(jet())
    fixed = simulate_setup(jet(), Settings(fixed_step=0.005))
    assert [e.name for e in usual.events] == [e.name for e in fixed.events]
    for a, b in zip(usual.events, fixed.events, strict=True):
        assert a.time == pytest.approx(b.time, abs=1e-5)


def test_numbers_without_meaning_end_the_roll_instead_of_hanging() -> None:
    result = simulate_setup(jet(initial_speed=5.0, zero_lift_drag_start=float("nan")))
    assert result.end is End.GAVE_UP


def test_a_motion_too_stiff_to_follow_gives_up_after_so_many_steps(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("sim.roll.pace.MOST_TRIES", 25)
    result = simulate_setup(jet())
    assert result.end is End.GAVE_UP
    assert result.trace is not None and len(result.trace) > 25
