"""The gear window against statics by hand and single rolls; the side view against its geometry."""

import json
import math
import re

import numpy as np
import pytest
from scipy.optimize import brentq

from sim.checks.stance import stance
from sim.prepare import prepare
from sim.roll.result import simulate_many
from sim.scenario import ScenarioError, load_scenario, with_overrides
from sim.show.figures.side_view import Placed, ground_line, placed_points, side_of
from sim.show.words_gear_window import case_words, gear_window_document, notes, wanted_words
from sim.study.edges import CROSSES
from sim.study.gear_window import STATION, GearWindow, flap_cases, gear_window

BOOK, JET = load_scenario("textbook-rotation"), load_scenario("meadow-jet")


@pytest.fixture(scope="module")
def book() -> GearWindow:
    return gear_window(BOOK, (0.01, 0.12), "9 m/s")


@pytest.fixture(scope="module")
def jet() -> GearWindow:
    """Few places: a narrow range, so that the first look is close."""
    return gear_window(JET, (0.57, 0.63))


def test_both_static_limits_by_hand(book):
    """CG at station 0 and 150 mm up, axles 5 mm up, nose wheel at -400 mm, level; computed.

    Axle 145 mm below the CG: tip-back 15 deg at 145 tan 15 deg = 38.85 mm. Nose share
    s/(s + 400) = 0.05 at 400/19 = 21.05 mm.
    """
    (case,) = book.cases
    _, _, tip_back, share = case.search.found
    assert case.name == "as it is"
    assert tip_back.intervals[0].low.value == pytest.approx(0.145 * math.tan(math.radians(15.0)))
    assert share.intervals[0].low.value == pytest.approx(0.4 / 19.0, rel=1e-6)


def test_the_aft_end_is_where_single_rolls_say(book):
    """Rotation by 9 m/s, by Brent's method; and the window is all three together."""

    def late(station: float) -> float:
        laid = with_overrides(BOOK, [f"{STATION}={station!r} m"])
        event = simulate_many([prepare(laid).setup]).result(0).event("nose-wheel-off")
        assert event is not None
        return event.airspeed - 9.0

    root = brentq(late, 0.03, 0.06, xtol=1e-9)
    (case,) = book.cases
    (window,) = case.windows
    assert window.high.kind == CROSSES and window.high.value == pytest.approx(root, abs=1e-7)
    assert window.low.value == pytest.approx(0.145 * math.tan(math.radians(15.0)))
    assert window.high.clause is not None and window.low.clause is not None
    assert window.high.clause.name == "nose-wheel-off.airspeed"
    assert window.low.clause.name == "tip_back_deg"


def test_a_measured_aeroplane_flaps_up_and_down(jet):
    up, down = jet.cases
    assert (up.name, down.name) == ("flaps up", "flaps 20 deg")
    for case in jet.cases:
        (window,) = case.windows
        for station, inside in (
            (window.low.value - 1e-4, False), (window.low.value + 1e-4, True),
            (window.high.value - 1e-4, True), (window.high.value + 1e-4, False),
        ):  # fmt: skip
            laid = with_overrides(case.scenario, [f"{STATION}={station!r} m"])
            setup = prepare(laid).setup
            stands = stance(setup.parameters)
            event = simulate_many([setup]).result(0).event("nose-wheel-off")
            early = event is not None and event.airspeed <= jet.by.limit
            stable = stands.tip_back >= math.radians(15.0) and stands.nose_share >= 0.05
            assert (early and stable) is inside, (case.name, station)
    # flaps carry more of the weight at the same speed, so the mains may stand further aft
    assert down.windows[0].high.value > up.windows[0].high.value


def test_what_is_said(jet):
    told = wanted_words(jet, "si")
    assert "nose wheel off by 14.7 m/s (1.1 times the stall speed, flaps up)" in told
    assert "tip-back angle at least 15 deg" in told and "nose-wheel share at least 5 %" in told
    up = case_words(jet.cases[0], "si")
    assert "main wheels from 584 mm to 616.7 mm" in up and "too far aft" in up
    lines = list(notes(jet, "si"))
    assert any(line.startswith("flaps up, forward end: tip-back angle") for line in lines)
    assert any("mind: inside, flaps up, some rolls end settles-back" in line for line in lines)
    data = json.loads(json.dumps(gear_window_document(jet), allow_nan=False))
    (window,) = data["cases"][0]["window_m"]
    assert window == [jet.cases[0].windows[0].low.value, jet.cases[0].windows[0].high.value]
    assert [one["clauses"][0].split()[0] for one in data["cases"][0]["each"]] == [
        "nose-wheel-off.airspeed", "tip_back_deg", "nose_share",
    ]  # fmt: skip


def test_no_station_does():
    """A nose wheel cannot leave before the pilot pulls; each demand is then told apart."""
    window = gear_window(
        load_scenario("textbook-rotation", ["pilot.pull_at=30 m"]), (0.01, 0.12), "1 m"
    )
    (case,) = window.cases
    assert not case.windows
    told = case_words(case, "si")
    assert told.startswith("as it is: no station does. Nose wheel off as wanted nowhere")
    assert (
        "(the pilot pulls at 30 m)" in told
        and "tip-back angle as wanted from 38.86 mm" in told.lower()
    )


def test_flap_settings():
    assert [name for name, _ in flap_cases(JET)] == ["flaps up", "flaps 20 deg"]
    assert [name for name, _ in flap_cases(JET, "12.5 deg")] == ["flaps up", "flaps 12.5 deg"]
    set_down = flap_cases(load_scenario("flaps-25"))
    assert [name for name, _ in set_down] == ["flaps up", "flaps 25 deg"]
    wing = set_down[0][1].aeroplane.wing
    assert wing is not None and wing.flaps is not None and wing.flaps.deflection == 0.0
    assert [name for name, _ in flap_cases(BOOK)] == ["as it is"]
    with pytest.raises(ScenarioError, match="no flaps"):
        flap_cases(BOOK, "20 deg")
    with pytest.raises(ScenarioError, match="deflection"):
        flap_cases(JET, "20 mm")
    with pytest.raises(ScenarioError, match="--by"):
        gear_window(BOOK, (0.01, 0.12), "9 kg")


def test_the_side_view_is_the_scenarios_own_geometry():
    scenario = load_scenario("flaps-25")
    side = side_of(scenario, prepare(scenario))
    assert side.cg == pytest.approx((0.55, 0.004)) and side.scrape == (1.205, -0.008)
    assert (side.main.station, side.main.radius) == (0.655, 0.035)
    assert side.nose.height == pytest.approx(-0.124)
    assert side.body is not None and np.ptp(side.body[:, 0]) == pytest.approx(1.26)
    assert np.ptp(side.body[:, 1]) == pytest.approx(0.118, rel=1e-3)
    root = side.wing[-1]
    assert root[:, 0].min() == pytest.approx(0.395, abs=2e-3)
    assert np.ptp(root[:, 0]) == pytest.approx(0.47, rel=5e-3)
    assert np.ptp(root[:, 1]) == pytest.approx(0.09 * 0.47, rel=0.12)
    assert side.flap is not None and side.flap[1, 1] < side.flap[0, 1] - 0.02
    lifted = side_of(scenario, prepare(load_scenario("flaps-25", ["aeroplane.mass=4 kg"])))
    assert lifted.cg == pytest.approx(side.cg)


@pytest.mark.parametrize("name", ["meadow-jet", "long-nose-leg", "textbook-rotation"])
def test_the_ground_touches_both_wheels(name):
    """Distance from each axle to the line is the wheel's radius; its slope the ground attitude."""
    scenario = load_scenario(name)
    prepared = prepare(scenario)
    side = side_of(scenario, prepared)
    (x0, z0), (x1, z1) = ground_line(side, (-0.5, 1.5))
    for wheel in (side.main, side.nose):
        area = (x1 - x0) * (wheel.height - z0) - (wheel.station - x0) * (z1 - z0)
        assert area / math.hypot(x1 - x0, z1 - z0) == pytest.approx(wheel.radius, rel=1e-9)
    attitude = stance(prepared.setup.parameters).ground_attitude
    assert math.atan2(z1 - z0, x1 - x0) == pytest.approx(attitude, abs=1e-12)


def test_nose_up_raises_the_nose_whichever_way_it_faces():
    side = side_of(JET, prepare(JET))
    nose = np.array([side.nose.station, side.nose.height])
    aft = np.array([1.2, 0.0])
    for facing in (-1, 1):
        level, up = Placed(0.0, (2.0, 1.0), facing), Placed(0.1, (2.0, 1.0), facing)
        assert placed_points(side, nose, up)[0, 1] > placed_points(side, nose, level)[0, 1]
        assert placed_points(side, aft, up)[0, 1] < placed_points(side, aft, level)[0, 1]
        assert np.sign(placed_points(side, nose, level)[0, 0] - 2.0) == facing
        spread = placed_points(side, np.array([nose, aft]), Placed(0.3, None, facing, 2.0))
        assert np.hypot(*(spread[1] - spread[0])) == pytest.approx(2.0 * np.hypot(*(aft - nose)))
    # level, nose to the left: every point stands at its own station and height
    assert placed_points(side, aft)[0] == pytest.approx(aft)


def test_where_the_nose_wheel_carries_much_is_told_as_vary_has_it() -> None:
    meadow = load_scenario("meadow-jet")
    window = gear_window(meadow, (0.600, 0.700))
    words = " ".join(notes(window, "si"))
    found = re.search(r"from ([\d.]+) mm aft it is over 20 %", words)
    assert found is not None
    for station, over in ((float(found[1]) - 0.2, False), (float(found[1]) + 0.2, True)):
        there = with_overrides(meadow, [f"aeroplane.gear.main.station={station} mm"])
        share = stance(prepare(there).setup.parameters).nose_share
        assert (share > 0.20) is over
    assert "over 20 %" not in " ".join(notes(gear_window(meadow, (0.590, 0.620)), "si"))
