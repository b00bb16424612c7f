"""Making a scenario ready: points by hand, estimates marked, both roads, notes."""

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from sim.prepare import Prepared, prepare
from sim.prepare.trim import Climb, first_climb
from sim.roll.aero_table import TAIL_LIFT, TAIL_MOMENT, TAIL_OWN, WING_LIFT, WING_MOMENT
from sim.roll.attitude import ground_attitude
from sim.roll.parameters import NEVER, Parameters
from sim.roll.thrust import FALL_OFF, FAN, POINTS
from sim.scenario import load_scenario
from tests.documents import laid, read, ready, trolley
from tests.test_trade_facts import HERON

RAD = math.radians


def heron(**keys: Any) -> Prepared:
    """The measured jet of the trade facts with keys replaced."""
    return ready(laid(read(HERON), **keys))


def numbers(**keys: Any) -> Parameters:
    """Its scalars."""
    return heron(**keys).setup.parameters


def without(document: dict[str, Any], *path: str) -> dict[str, Any]:
    """A copy without one key."""
    copied = laid(document)
    place = copied
    for table in path[:-1]:
        place = place[table]
    del place[path[-1]]
    return copied


def test_points_in_body_axes() -> None:
    # x forward of the CG: x = s_cg - s; z above it: z = h - h_cg
    p = numbers()
    assert (p.main_x, p.main_z) == pytest.approx((0.500 - 0.640, -0.120 - 0.002))
    assert (p.nose_x, p.nose_z) == pytest.approx((0.500 - 0.170, -0.126 - 0.002))
    assert (p.aft_x, p.aft_z) == pytest.approx((0.500 - 1.150, 0.020 - 0.002))
    assert (p.main_radius, p.nose_radius) == pytest.approx((0.035, 0.0325))
    assert p.thrust_z == pytest.approx(0.005 - 0.002)


def test_ground_attitude_given_instead_of_the_nose_axle() -> None:
    document = without(read(HERON), "aeroplane", "gear", "nose", "axle_height")
    p = ready(laid(document, aeroplane__gear__ground_attitude="2.3 deg")).setup.parameters
    assert math.degrees(ground_attitude(p)) == pytest.approx(2.3, abs=1e-9)


def test_inertia_from_a_two_string_swing() -> None:
    # I = m g d^2 T^2/(16 pi^2 L) by hand: 3.3 kg, d 0.4 m, T 1.5 s, L 1.2 m
    swing = {"string_separation": "0.4 m", "string_length": "1.2 m", "period": "1.5 s"}
    by_hand = 3.3 * 9.80665 * 0.4**2 * 1.5**2 / (16 * math.pi**2 * 1.2)
    assert numbers(aeroplane__swing=swing).pitch_inertia == pytest.approx(by_hand, rel=1e-9)


def test_what_was_not_given_is_marked() -> None:
    keys = {e.key for e in heron().estimates}
    assert {
        "aeroplane.pitch_inertia",
        "strip.rolling_resistance",
        "aeroplane.drag.zero_lift",
        "aeroplane.tail.throw_rate",
        "aeroplane.scraping_friction",
    } <= keys
    given = heron(
        aeroplane__pitch_inertia="0.2 kg*m^2",
        aeroplane__drag={"zero_lift": 0.03},
        aeroplane__tail__throw_rate="150 deg/s",
        strip={"rolling_resistance": 0.1, "length": "100 m"},
        aeroplane__scraping_friction=0.4,
    )
    left = {e.key for e in given.estimates}
    assert not left & {
        "aeroplane.pitch_inertia",
        "aeroplane.drag.zero_lift",
        "aeroplane.tail.throw_rate",
        "strip.rolling_resistance",
        "aeroplane.scraping_friction",
    }
    p = given.setup.parameters
    assert (p.pitch_inertia, p.zero_lift_drag_start, p.aft_friction) == (0.2, 0.03, 0.4)
    assert p.main_friction == p.nose_friction == 0.1
    assert p.elevator_rate == pytest.approx(RAD(150))
    # mown grass for 70 mm instead of 75 mm, by hand: root of 75/70 is 1.03510
    by_hand = (0.02 + 0.07 * 1.03510, 0.06 + 0.14 * 1.03510)
    assert given.resistance_range is None
    assert heron().resistance_range == pytest.approx(by_hand, abs=1e-6)


def test_every_estimate_says_how_and_is_finite() -> None:
    for prepared in (heron(), prepare(load_scenario("textbook-rotation"))):
        for estimate in prepared.estimates:
            assert math.isfinite(estimate.value) and estimate.how and estimate.kind


def test_tail_limit_is_a_range_only_when_estimated() -> None:
    assert heron().tail_limit_range is None
    guessed = heron(aeroplane__tail__section={"name": "flat foam", "thickness": "4 %"})
    assert guessed.tail_limit_range is not None
    low, high = guessed.tail_limit_range
    assert low < guessed.setup.parameters.tail_max_lift < high
    assert "aeroplane.tail.section.max_lift" in {e.key for e in guessed.estimates}
    whole = heron(aeroplane__tail__section={"thickness": "4 %", "surface_max_lift": 0.7})
    assert whole.tail_limit_range is None
    area = 0.48 * 0.5 * (0.19 + 0.11)
    wing = 1.0 * 0.5 * (0.46 + 0.19)
    assert whole.setup.parameters.tail_max_lift == pytest.approx(0.7 * area / wing)


def test_flaps_start_dropped_and_lower() -> None:
    drop = {"at": "10 m", "to": "30 deg"}
    p = numbers(aeroplane__wing__flaps__deflection="10 deg", pilot__drop_flaps=drop)
    assert 0.0 < p.flap_start < RAD(10) and p.flap_start < p.flap_dropped < RAD(30)
    assert p.zero_lift_drag_dropped > p.zero_lift_drag_start
    assert p.wing_max_lift_dropped > p.wing_max_lift_up
    assert (p.drop_place, p.drop_airspeed, p.drop_time) == (10.0, NEVER, NEVER)
    assert p.drop_duration == pytest.approx(RAD(20) / RAD(30))  # 30 deg/s, marked as usual
    at_ten = heron(aeroplane__wing__flaps__deflection="10 deg").flaps_lower()
    at_fifteen = numbers(aeroplane__wing__flaps__deflection="15 deg")
    for name, value in at_ten.items():
        assert value == pytest.approx(getattr(at_fifteen, name), rel=1e-12)
    document = without(read(HERON), "aeroplane", "wing", "flaps")
    assert ready(document).flaps_lower() == {}


def test_flap_mixing_eats_throw() -> None:
    p = numbers(aeroplane__wing__flaps__deflection="20 deg", aeroplane__tail__flap_mix=0.2)
    assert math.degrees(p.elevator_mix_start) == pytest.approx(4.0)
    assert math.degrees(p.elevator_up_limit) == pytest.approx(12.0 - 4.0)
    assert p.pull_elevator == p.elevator_up_limit  # the full pull asks for 12, 8 are left
    assert any("mixing" in note for note in heron(
        aeroplane__wing__flaps__deflection="20 deg", aeroplane__tail__flap_mix=0.2
    ).notes)  # fmt: skip


@pytest.mark.parametrize(
    "written, name, value",
    [("12 m", "pull_place", 12.0), ("11 m/s", "pull_airspeed", 11.0), ("3 s", "pull_time", 3.0)],
)
def test_triggers(written: str, name: str, value: float) -> None:
    p = numbers(pilot__pull_at=written)
    kinds = {"pull_place", "pull_airspeed", "pull_time"}
    assert getattr(p, name) == value
    assert all(getattr(p, other) == NEVER for other in kinds - {name})


def test_stick_held_up_and_down_are_shares_of_their_own_throws() -> None:
    assert numbers(pilot__hold=0.5).hold_elevator == pytest.approx(RAD(6))
    assert numbers(pilot__hold=-0.5).hold_elevator == pytest.approx(-RAD(5))
    assert numbers(pilot__pull=0.75).pull_elevator == pytest.approx(RAD(9))


def test_power_kinds() -> None:
    fan = {"kind": "ducted-fan", "exit_diameter": "66 mm", "static_thrust": "24 N"}
    points = [{"airspeed": "0 m/s", "thrust": "24 N"}, {"airspeed": "30 m/s", "thrust": "10 N"}]
    assert numbers().thrust_kind == FALL_OFF
    p = numbers(power=fan)
    area = math.pi / 4 * 0.066**2
    assert p.thrust_kind == FAN and p.exit_area == pytest.approx(area)
    # T = (4 rho A P^2)^(1/3), ideal fan at rest
    assert (4 * p.air_density * area * p.jet_power**2) ** (1 / 3) == pytest.approx(24.0)
    table = heron(power={"kind": "measured", "points": points}).setup.thrust_table
    assert table is not None and list(table.thrust) == [24.0, 10.0]
    assert numbers(power={"kind": "measured", "points": points}).thrust_kind == POINTS


def test_slope_and_wind() -> None:
    p = numbers(strip__slope="10 %", air__headwind="-2 m/s")
    assert p.slope == pytest.approx(math.atan(0.1)) and p.headwind == -2.0


def test_given_coefficients_land_where_they_belong() -> None:
    prepared = ready(
        trolley(
            "4 kg", "20 N", 0.1, "5 m",
            lift_at_zero=0.3, lift_slope=4.0, lift_per_flap=1.5,
            moment_at_zero=-0.05, moment_slope=0.1, moment_per_flap=-0.3,
            moment_per_pitch_rate=-2.0, tail_lift_at_zero=-0.02, tail_lift_slope=0.4,
            tail_lift_per_elevator=-0.5, tail_lift_per_pitch_rate=1.2,
            lift_point={"station": "0.1 m", "height": "1.2 m"},
            tail_point={"station": "3.1 m", "height": "1 m"},
            throw={"up": "10 deg", "down": "8 deg"},
        )
    )  # fmt: skip
    row, p = prepared.setup.table.values[0], prepared.setup.parameters
    assert not prepared.setup.table.values[1:].any()
    assert list(row[WING_LIFT]) == [0.3, 4.0, 1.5, 0.0, 0.0]
    assert list(row[WING_MOMENT]) == [-0.05, 0.1, -0.3, 0.0, -2.0]
    assert list(row[TAIL_LIFT]) == [-0.02, 0.4, 0.0, -0.5, 1.2]
    assert list(row[TAIL_MOMENT]) == pytest.approx(list(-3.0 * row[TAIL_LIFT]))  # 3 m aft, chord 1
    assert list(row[TAIL_OWN]) == [-0.02, 0.4]
    assert (p.lift_x, p.lift_z, p.tail_centre_x) == pytest.approx((-0.1, 0.2, -3.1))
    assert prepared.attitude_to_fly is None and prepared.span is None
    assert "aeroplane.coefficients.throw_rate" in {e.key for e in prepared.estimates}


def test_trim_elevator_leaves_no_moment_in_the_climb() -> None:
    setup = heron(
        pilot__holds_attitude=True, aeroplane__tail__throw={"up": "40 deg", "down": "40 deg"}
    ).setup
    p = setup.parameters
    e = p.law_trim
    free = setup.table.values[0]
    lift = free[WING_LIFT] + free[TAIL_LIFT]
    moment = free[WING_MOMENT] + free[TAIL_MOMENT] + lift * p.lift_x / p.reference_chord
    alpha = (p.wing_max_lift_up / 1.44 - lift[0] - lift[3] * e) / lift[1]
    assert abs(e) < RAD(40)
    assert moment[0] + moment[1] * alpha + moment[3] * e == pytest.approx(0.0, abs=1e-12)
    no_tail = prepare(load_scenario("textbook-rotation")).setup
    assert first_climb(vars(no_tail.parameters), no_tail.table) == Climb(0.0, None)


def test_same_scenario_same_numbers() -> None:
    one, two = heron(), heron()
    assert one.setup.parameters == two.setup.parameters
    assert np.array_equal(one.setup.table.values, two.setup.table.values)
    assert one.resolved == two.resolved


def test_flaps_set_lower_take_their_mixed_elevator_along() -> None:
    scenario = load_scenario(
        "flaps-10", ["aeroplane.tail.flap_mix=0.2", "aeroplane.tail.throw.up=10 deg"]
    )
    ready = prepare(scenario)
    lower = ready.flaps_lower()
    p = ready.setup.parameters
    assert np.degrees(p.elevator_mix_start) == pytest.approx(2.0)
    assert np.degrees(lower["elevator_mix_start"]) == pytest.approx(3.0)
    assert np.degrees(p.elevator_up_limit) == pytest.approx(8.0)
    assert np.degrees(lower["elevator_up_limit"]) == pytest.approx(7.0)
    assert lower["flap_start"] > p.flap_start


def test_the_resolved_scenario_holds_what_was_estimated() -> None:
    ready = prepare(load_scenario("meadow-jet"))
    aeroplane = ready.resolved["aeroplane"]
    p = ready.setup.parameters
    assert aeroplane["pitch_inertia_kg_m2"] == p.pitch_inertia
    assert aeroplane["tail"]["throw_rate_rad_per_s"] == p.elevator_rate
    assert aeroplane["drag"] == {"zero_lift": p.zero_lift_drag_start}
    assert ready.resolved["strip"]["rolling_resistance"] == p.main_friction


def test_throw_trials_keep_the_share_of_the_stick() -> None:
    ready = prepare(load_scenario("meadow-jet", ["pilot.pull=0.5", "pilot.hold=0.25"]))
    more, less = ready.throw_more(), ready.throw_less()
    assert np.degrees(more["pull_elevator"]) == pytest.approx(6.0)
    assert np.degrees(less["pull_elevator"]) == pytest.approx(4.0)
    assert np.degrees(more["hold_elevator"]) == pytest.approx(3.0)
    assert np.degrees(less["elevator_up_limit"]) == pytest.approx(8.0)


def test_trim_and_attitude_to_fly_balance_the_climb() -> None:
    p = numbers()
    ready = heron()
    free = ready.setup.table.values[0]
    assert ready.attitude_to_fly is not None
    inputs = np.array([1.0, ready.attitude_to_fly, p.flap_dropped, p.law_trim, 0.0])
    lift = (free[WING_LIFT] + free[TAIL_LIFT]) @ inputs
    moment = (free[WING_MOMENT] + free[TAIL_MOMENT]) @ inputs + lift * p.lift_x / p.reference_chord
    assert lift == pytest.approx(p.wing_max_lift_dropped / 1.44)
    assert moment == pytest.approx(0.0, abs=1e-12)


def test_a_slip_of_the_decimal_point_is_cautioned() -> None:
    slips = {
        "wing loading": "aeroplane.mass=31 kg",
        "aspect ratio": "aeroplane.wing.span=10.2 m",
    }
    for word, slip in slips.items():
        notes = prepare(load_scenario("meadow-jet", [slip])).notes
        assert any(word in note for note in notes), word
    assert not any("unusual" in note for note in prepare(load_scenario("meadow-jet")).notes)


def test_numbers_of_a_roll_made_of_a_value_for_every_field() -> None:
    p = heron().setup.parameters
    values = dict(vars(p))
    assert Parameters.of(values) == p and Parameters.of(values) is not p
    assert p.but(mass=3.0) == replace(p, mass=3.0)
    with pytest.raises(TypeError, match="mass"):
        Parameters.of({k: v for k, v in values.items() if k != "mass"})
    with pytest.raises(TypeError, match="weight"):
        p.but(weight=3.0)
