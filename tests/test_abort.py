"""The abort mark, against work done by hand and against a roll that closes its throttle there."""

from dataclasses import replace

import numpy as np
import pytest

from sim.checks.abort import THINKING, Room, abort_mark, never_pulling, not_given_up
from sim.prepare import prepare
from sim.roll.aero_table import constant_table
from sim.roll.parameters import NEVER
from sim.roll.result import simulate_setup
from sim.scenario import load_scenario, with_overrides
from sim.study.ranges import range_setups
from tests.jets import changed, columns, jet

G = 9.80665
THRUST, MASS, MU = 20.0, 3.2, 0.13


def sled(**changes):
    """A jet that the air does not touch; its thrust steady, there at once and level."""
    nothing = dict.fromkeys(("wing", "moment", "tail"), (0.0,) * 5)
    table = constant_table(columns(**nothing, own_slope=0.0, induced=0.0))
    plain = dict(
        air_density=1e-9, static_thrust=THRUST, zero_thrust_airspeed=1e9, spool_rate=0.0,
        initial_spool=1.0, nose_z=-0.122, main_friction=MU, nose_friction=MU, strip_length=200.0,
    )  # fmt: skip
    return jet(table, **{**plain, **changes})


@pytest.fixture(scope="module")
def level():
    return abort_mark(sled())


def test_a_sled_coasts_as_work_says(level):
    """T x = mu m g S, and by speed v^2/(2 mu g) from the closing on (own algebra)."""
    found, coast = level, level.coast
    assert coast.stop == pytest.approx(coast.place * THRUST / (MU * MASS * G), rel=1e-6)
    assert coast.stop - coast.place == pytest.approx(coast.speed**2 / (2 * MU * G), rel=1e-6)
    last = 200.0 * MU * MASS * G / THRUST  # 40.8 m
    assert found.last == pytest.approx((last, last), rel=1e-6)


def test_the_mark_lies_the_time_to_think_before_the_last_place(level):
    found = level
    acceleration = THRUST / MASS - MU * G
    last = 200.0 * MU * MASS * G / THRUST
    by_hand = 0.5 * acceleration * ((2 * last / acceleration) ** 0.5 - THINKING) ** 2
    assert found.room is Room.GROUNDED  # nothing lifts a sled's nose
    assert found.mark == pytest.approx(by_hand, rel=1e-4)
    assert found.far.stop == pytest.approx(200.0, rel=1e-4)


def test_beyond_what_was_rolled_the_last_place_is_taken(level):
    coast = level.coast
    assert coast.place_after(coast.end) == coast.end == coast.place[-1]
    assert np.isnan(coast.passed(coast.end, THINKING)) and np.isnan(coast.at(1e4).stop)
    assert coast.passed(coast.passed(40.0, THINKING), -THINKING) == pytest.approx(40.0)


def test_off_the_end_it_has_the_speed_that_is_left():
    found = abort_mark(sled(strip_length=60.0))
    closed = found.coast.at(40.0)
    expected = closed.speed**2 - 2 * MU * G * 20.0
    assert closed.end_speed**2 == pytest.approx(expected, rel=1e-3)
    assert np.isnan(found.coast.at(10.0).end_speed)  # stops at 49 m


def test_more_grip_moves_the_last_place_out_and_less_moves_it_in():
    less, more = (sled(main_friction=mu, nose_friction=mu, strip_length=100.0) for mu in (0.1, 0.2))
    found = abort_mark(sled(strip_length=100.0), [less, more])
    assert found.last[1] == pytest.approx(100.0 * 0.1 * MASS * G / THRUST, rel=1e-6)
    assert found.last[1] < found.last[0] < abort_mark(more).last[0]


def test_uphill_stops_earlier(level):
    assert abort_mark(sled(slope=0.03)).last[0] > level.last[0]
    assert abort_mark(sled(slope=-0.03)).last[0] < level.last[0]


@pytest.fixture(scope="module")
def drill():
    prepared = prepare(load_scenario("abort-drill"))
    return prepared, abort_mark(prepared.setup, [s for *_, s in range_setups(prepared)])


def test_the_drill_of_its_own_file_ends_where_the_places_say(drill):
    prepared, found = drill
    unpulled = simulate_setup(never_pulling(prepared.setup, 40.0))
    read = found.coast.at(40.0)
    assert read.stop == pytest.approx(unpulled.event("stop").distance, rel=2e-4)
    assert read.end_speed == pytest.approx(unpulled.event("strip-end").ground_speed, rel=2e-3)
    # as the file has it, the pull comes first and does not help: it only brakes
    filed = simulate_setup(prepared.setup)
    assert 0.9 * read.stop < filed.event("stop").distance < read.stop


def test_the_last_place_is_the_last_one_rolled_anew(drill):
    prepared, found = drill
    strip = prepared.setup.parameters.strip_length
    for place, stops in ((found.last[0] - 0.05, True), (found.last[0] + 0.05, False)):
        result = simulate_setup(never_pulling(prepared.setup, place))
        assert (result.event("strip-end") is None) is stops
        assert (result.event("stop").distance < strip) is stops


def test_where_both_do_not_fit_it_says_so(drill):
    _, found = drill
    assert found.room is Room.NEITHER and np.isnan(found.mark)
    assert found.look == found.nose.typical
    assert found.typical.place > found.look
    assert found.far.end_speed > found.typical.end_speed > 0.0
    assert found.strip_for_both > found.length


def flyer(**changes):
    """The jet of the tests, mains near the CG, on soft ground: it rotates and coasts little."""
    soft = dict(main_friction=0.3, nose_friction=0.3, pull_place=10.0, static_thrust=26.0)
    return jet(**{**soft, "main_x": -0.06, **changes})


def test_a_long_strip_has_room_for_both_and_the_mark_is_proved_by_rolls():
    setup = flyer(strip_length=400.0)
    found = abort_mark(setup, [changed(setup, main_friction=0.28, nose_friction=0.28)])
    assert found.room is Room.BOTH
    assert found.nose.late <= found.mark < found.last[1] <= found.last[0]
    easy = changed(setup, main_friction=0.28, nose_friction=0.28)
    rolled = simulate_setup(never_pulling(easy, found.far.place))
    assert rolled.event("strip-end") is None
    assert rolled.event("stop").distance == pytest.approx(400.0, rel=1e-3)
    at_mark = simulate_setup(never_pulling(easy, found.mark)).event("abort")
    assert rolled.event("abort").time - at_mark.time == pytest.approx(THINKING, abs=0.01)
    flown = simulate_setup(not_given_up(setup))
    assert found.nose.typical == pytest.approx(flown.event("nose-wheel-off").distance, rel=1e-9)


def test_between_the_two_it_is_a_matter_of_the_day():
    found = [abort_mark(flyer(strip_length=x), [flyer(strip_length=x, main_friction=0.15,
             nose_friction=0.15)]).room for x in (200.0, 280.0, 400.0)]  # fmt: skip
    assert found == [Room.NEITHER, Room.TYPICAL, Room.BOTH]


def test_an_abort_of_the_file_does_not_hide_the_take_off():
    setup = flyer(strip_length=400.0)
    aborting = changed(setup, abort_place=5.0)
    assert abort_mark(aborting).nose == abort_mark(setup).nose


def test_a_nose_that_rises_without_a_pull_ends_the_search():
    found = abort_mark(prepare(load_scenario("textbook-rotation")).setup)
    assert found.room is Room.SELF
    # nose wheel unloads at 9.17 m/s: the case of the file, computed there
    assert found.coast.speed[-1] == pytest.approx(9.17, rel=0.03)
    assert found.coast.stop[-1] < found.length


def test_what_does_not_roll_has_no_mark():
    assert abort_mark(sled(static_thrust=1.0)).room is Room.STILL


def test_tailwind_is_borne_until_the_strip_is_too_short():
    prepared = prepare(load_scenario("meadow-jet"))
    found = abort_mark(prepared.setup)
    verdicts = [
        simulate_setup(not_given_up(prepared.setup, wind)).verdict
        for wind in (found.tailwind[0], found.tailwind[0] + 0.5)
    ]
    assert verdicts[0] == "airborne" and verdicts[1] != "airborne"


def test_the_pull_is_left_out_and_nothing_else():
    setup = replace(flyer(hold_elevator=0.05))
    laid = never_pulling(setup, 12.0).parameters
    assert (laid.pull_place, laid.pull_airspeed, laid.pull_time) == (NEVER,) * 3
    assert laid.hold_elevator == 0.0 and laid.abort_place == 12.0


@pytest.fixture(scope="module")
def long_meadow():
    setup = prepare(with_overrides(load_scenario("meadow-jet"), ["strip.length=300 m"])).setup
    return setup, abort_mark(setup)


def test_what_stops_at_the_strip_end_does_not_leave_it(long_meadow):
    """Between a place from which it stops and one from which it does not; each rolled anew."""
    setup, found = long_meadow
    assert found.room is Room.BOTH
    assert found.typical.stop == pytest.approx(300.0, abs=1e-6)
    assert np.isnan(found.typical.end_speed)
    for beyond in (0.1, 0.8, 2.0, 4.3):
        read = found.coast.at(found.last[0] + beyond)
        rolled = simulate_setup(never_pulling(setup, read.place))
        assert read.end_speed == pytest.approx(rolled.event("strip-end").ground_speed, rel=6e-3)


def test_places_between_those_rolled_stop_where_they_say(long_meadow):
    setup, found = long_meadow
    for place in (12.3, 60.3, found.last[0], 86.5):
        stop = simulate_setup(never_pulling(setup, place)).event("stop").distance
        assert found.coast.at(place).stop == pytest.approx(stop, abs=2e-3)
