"""The stance by hand, by signs, and by an independent statics and rotation."""

from dataclasses import fields, replace
from math import atan, cos, degrees, hypot, inf, isnan, radians, sin, tan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.checks.stance import (
    Limit,
    StanceItem,
    ground_attitude,
    nose_share,
    overturn_angle,
    stance,
    tail_strike_attitude,
)
from sim.roll import attitude
from sim.roll.attitude import tilt_for_height
from sim.roll.parameters import OUT_OF_REACH, Parameters

BLANK = Parameters(**{field.name: 0.0 for field in fields(Parameters)})
# A 1 m sport jet: CG at station 560 mm, mains 690, nose 215, axles 122 mm below, 64 mm wheels.
JET = replace(
    BLANK,
    mass=3.2,
    gravity=9.81,
    main_x=-0.130,
    main_z=-0.122,
    main_radius=0.032,
    nose_x=0.345,
    nose_z=-0.122,
    nose_radius=0.032,
    aft_x=-0.670,
    aft_z=-0.020,
)


def _item(items: tuple[StanceItem, ...], name: str) -> StanceItem:
    return next(item for item in items if item.name == name)


def test_level_jet_by_hand() -> None:
    figures = stance(JET, track=0.310)
    assert figures.ground_attitude == pytest.approx(0.0, abs=1e-12)
    assert figures.cg_height == pytest.approx(0.122 + 0.032)
    assert figures.wheelbase == pytest.approx(0.475)
    assert figures.nose_share == pytest.approx(0.130 / 0.475)
    assert figures.tip_back == pytest.approx(atan(0.130 / 0.122))
    assert figures.contact_angle == pytest.approx(atan(0.130 / 0.154))
    # Tail strike: 0.54 sin t - 0.102 cos t = 0.032 -> 3.338 + 10.696 = 14.03 deg.
    assert degrees(figures.tail_strike) == pytest.approx(14.034, abs=2e-3)
    # Overturn: delta = atan(0.155/0.475) = 18.07 deg, arm 0.10702 m, atan(0.154/0.10702).
    assert degrees(figures.overturn) == pytest.approx(55.20, abs=0.01)


def test_longer_nose_leg_stands_nose_up() -> None:
    # Nose axle 10 mm lower with the same wheel: tan(theta) = 10/475.
    raised = replace(JET, nose_z=-0.132)
    assert ground_attitude(raised) == pytest.approx(atan(0.010 / 0.475))
    # A nose wheel 10 mm larger in radius does the same, sin(theta) = 10/475.
    assert sin(ground_attitude(replace(JET, nose_radius=0.042))) == pytest.approx(0.010 / 0.475)
    assert stance(raised).tail_strike < stance(JET).tail_strike
    assert stance(raised).tip_back < stance(JET).tip_back
    assert stance(raised).tail_strike_attitude == stance(JET).tail_strike_attitude


def test_mains_moved_forward() -> None:
    forward = stance(replace(JET, main_x=-0.080), track=0.31)
    base = stance(JET, track=0.31)
    assert forward.nose_share < base.nose_share
    assert forward.tip_back < base.tip_back
    assert forward.contact_angle < base.contact_angle
    assert forward.tail_strike < base.tail_strike  # a longer lever to the tail
    assert forward.overturn < base.overturn  # the line from the nose splays wider


def test_shorter_legs() -> None:
    low = stance(replace(JET, main_z=-0.092, nose_z=-0.092), track=0.31)
    base = stance(JET, track=0.31)
    assert low.cg_height == pytest.approx(base.cg_height - 0.030)
    assert low.overturn < base.overturn
    assert low.tip_back > base.tip_back
    assert low.tail_strike < base.tail_strike


def test_slope_moves_load() -> None:
    # By hand on 5 %: (0.130 cos g - 0.122 sin g)/0.475 uphill, plus downhill.
    g = atan(0.05)
    up = stance(replace(JET, slope=g)).nose_share_on_slope
    assert up == pytest.approx((0.130 * cos(g) - 0.122 * sin(g)) / 0.475)
    down = stance(replace(JET, slope=-g)).nose_share_on_slope
    assert up < stance(JET).nose_share < down
    items = stance(replace(JET, slope=g)).items
    on_slope = _item(items, "tip-back angle on the strip's slope")
    assert on_slope.value == pytest.approx(atan(0.130 / 0.122) - g)


@given(st.floats(-0.2, -0.02), st.floats(-0.2, -0.08), st.floats(0.02, 0.05), st.floats(-0.1, 0.1))
def test_share_against_a_linear_system(
    main_x: float, nose_z: float, radius: float, g: float
) -> None:
    """Statics afresh in the strip frame: two loads and a hold at the main axle."""
    p = replace(JET, main_x=main_x, nose_z=nose_z, nose_radius=radius)
    pitch = ground_attitude(p)
    turn = np.array([[cos(pitch), -sin(pitch)], [sin(pitch), cos(pitch)]])
    main, nose = turn @ [p.main_x, p.main_z], turn @ [p.nose_x, p.nose_z]
    # Unknowns N_main, N_nose, hold; moments about the CG, nose up: r_x F_z - r_z F_x.
    system = np.array([[1.0, 1.0, 0.0], [0.0, 0.0, 1.0], [main[0], nose[0], -main[1]]])
    loads = np.linalg.solve(system, [cos(g), sin(g), 0.0])
    assert nose_share(p, pitch, g) == pytest.approx(loads[1], abs=1e-12)


@given(
    st.floats(-0.2, -0.02), st.floats(-0.2, -0.08), st.floats(0.02, 0.05), st.floats(-0.05, 0.05)
)
def test_gaps_are_zero(main_x: float, nose_z: float, radius: float, aft_z: float) -> None:
    p = replace(JET, main_x=main_x, nose_z=nose_z, nose_radius=radius, aft_z=aft_z)

    def height(x: float, z: float, pitch: float) -> float:
        return x * sin(pitch) + z * cos(pitch)

    pitch = ground_attitude(p)
    centre = p.main_radius - height(p.main_x, p.main_z, pitch)
    assert centre + height(p.nose_x, p.nose_z, pitch) == pytest.approx(p.nose_radius, abs=1e-12)
    strike = tail_strike_attitude(p)
    centre = p.main_radius - height(p.main_x, p.main_z, strike)
    assert centre + height(p.aft_x, p.aft_z, strike) == pytest.approx(0.0, abs=1e-12)
    # A little further and the aft point is below the strip: the right root of the two.
    beyond = strike + 1e-3
    centre = p.main_radius - height(p.main_x, p.main_z, beyond)
    assert centre + height(p.aft_x, p.aft_z, beyond) < 0.0


def test_the_roll_stands_the_same_way() -> None:
    p = replace(JET, nose_z=-0.137, nose_radius=0.040)
    assert stance(p).ground_attitude == pytest.approx(float(attitude.ground_attitude(p)))
    assert stance(p).tail_strike_attitude == pytest.approx(float(attitude.tail_strike_attitude(p)))
    height = float(attitude.height_on_mains(p, stance(p).ground_attitude))
    assert stance(p).cg_height == pytest.approx(height)


def test_tip_back_puts_the_cg_over_the_axle() -> None:
    p = replace(JET, nose_z=-0.140)
    pitch = stance(p).ground_attitude + stance(p).tip_back
    assert p.main_x * cos(pitch) - p.main_z * sin(pitch) == pytest.approx(0.0, abs=1e-12)


def test_cg_behind_the_mains_is_negative_and_said() -> None:
    figures = stance(replace(JET, main_x=0.020))
    assert figures.tip_back < 0.0
    assert figures.nose_share < 0.0
    assert "sits on its tail" in _item(figures.items, "tip-back angle").remarks[0]


def test_overturn_against_turning_the_aeroplane_over() -> None:
    """Turn about the line of contacts until the CG is above it: the angle left to vertical."""
    nose, main, cg = np.array([0.345, 0, 0]), np.array([-0.13, 0.155, 0]), np.array([0, 0, 0.154])
    axis = (main - nose) / np.linalg.norm(main - nose)
    arm = (cg - nose) - ((cg - nose) @ axis) * axis
    from_level = np.arcsin(arm[2] / np.linalg.norm(arm))
    assert overturn_angle(0.31, 0.475, 0.345, 0.154) == pytest.approx(from_level, abs=1e-12)


def test_overturn_signs() -> None:
    base = overturn_angle(0.31, 0.475, 0.345, 0.154)
    assert overturn_angle(0.36, 0.475, 0.345, 0.154) < base
    assert overturn_angle(0.31, 0.475, 0.345, 0.180) > base
    assert overturn_angle(0.31, 0.475, 0.390, 0.154) < base  # CG nearer to the mains


def test_items_match_figures_and_missing_track_leaves_one_out() -> None:
    with_track, without = stance(JET, track=0.31), stance(JET)
    assert len(with_track.items) == len(without.items) + 1
    assert isnan(without.overturn)
    assert _item(with_track.items, "nose-wheel share").value == with_track.nose_share
    assert {item.unit for item in with_track.items} == {"rad", "m", "-"}


def test_attitude_to_fly() -> None:
    enough = _item(stance(JET, attitude_to_fly=radians(10.0)).items, "tail-strike attitude")
    short = _item(stance(JET, attitude_to_fly=radians(16.0)).items, "tail-strike attitude")
    assert enough.verdicts == ("within",)
    assert enough.remarks == ()
    assert short.verdicts == ("below",)
    assert "strikes" in short.remarks[0]
    assert _item(stance(JET).items, "tail-strike attitude").limits == ()


def test_tail_that_never_strikes() -> None:
    # An aft point closer to the axle than the wheel's radius cannot reach the strip.
    figures = stance(replace(JET, aft_x=-0.140, aft_z=-0.120))
    assert figures.tail_strike == inf
    assert _item(figures.items, "tip-back angle").verdicts == ("within", "below")


def test_tail_whose_lowest_point_is_not_known() -> None:
    figures = stance(replace(JET, aft_z=OUT_OF_REACH), attitude_to_fly=0.2)
    assert isnan(figures.tail_strike) and isnan(figures.tail_strike_attitude)
    assert not [item.name for item in figures.items if item.name.startswith("tail-strike")]
    assert _item(figures.items, "tip-back angle").verdicts == ("within",)  # by the 15 degrees alone


def test_tail_already_on_the_strip() -> None:
    figures = stance(replace(JET, aft_z=-0.160))
    assert figures.tail_strike < 0.0
    assert _item(figures.items, "tail-strike angle").verdicts == ("below",)


def test_limit_words() -> None:
    limit = Limit(0.08, 0.15, "a source", "from memory")
    assert [limit.verdict(v) for v in (0.079, 0.08, 0.15, 0.151)] == [
        "below",
        "within",
        "within",
        "above",
    ]
    assert limit.verdict(float("nan")) == "unknown"


def test_tilt_solves_its_equation() -> None:
    t = tilt_for_height(0.5, -0.01, 0.03)
    assert 0.5 * sin(t) - 0.01 * cos(t) == pytest.approx(0.03, abs=1e-15)
    assert tilt_for_height(0.5, -0.01, 0.0) == pytest.approx(atan(0.02))
    assert tilt_for_height(0.3, 0.4, hypot(0.3, 0.4) * 1.01) == inf
    assert tan(tilt_for_height(0.5, 0.1, 0.0)) == pytest.approx(-0.2)


def test_refusals() -> None:
    with pytest.raises(ValueError, match=r"nose wheel.*aft point.*track"):
        stance(replace(JET, nose_x=-0.2, aft_x=0.1), track=0.0)
    with pytest.raises(ValueError, match="ground attitude"):
        stance(replace(JET, nose_x=-0.12, nose_radius=0.3))
