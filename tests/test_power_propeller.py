"""Open propellers: curves, ends of tables, faults of texts, and engines without electrics."""

import numpy as np
import pytest
from scipy.integrate import trapezoid
from scipy.optimize import brentq

from sim.power.balance import first_zero, largest_root, upper_bound
from sim.power.engine_propeller import engine_curve
from sim.power.fan import disc_area
from sim.power.propeller import Propeller, propeller_from_static, propeller_from_table
from sim.power.propeller_table import propeller_points, table_faults
from sim.power.rotor import RPM, Rotor

RHO = 1.225
TURNING = 150.0 * 2.0 * np.pi
PITCH = propeller_from_static(0.25, 0.15, 10.0, TURNING, 180.0, RHO)
# An invented propeller, efficiency below 0.8 everywhere.
TEXT = """J, CT, CP, eta
0.0, 0.110, 0.050, 0
0.2, 0.100, 0.052, 0.385
0.4, 0.080, 0.050, 0.640
0.6, 0.050, 0.042, 0.714
0.8, 0.012, 0.025, 0.384
"""
TABLE = propeller_from_table(0.25, TEXT)
BOTH = [PITCH, TABLE]


@pytest.mark.parametrize("propeller", BOTH)
def test_ideal_work_and_thrust_agree(propeller: Propeller) -> None:
    """`T = 2 rho A (V + w) w`, `P = T (V + w)`, put in again; the rotor wastes, never makes."""
    assert isinstance(propeller, Rotor)
    for speed in np.linspace(0.0, 60.0, 13):
        thrust = float(propeller.thrust(TURNING, speed, RHO))
        w = (float(propeller.efflux_velocity(TURNING, speed, RHO)) - speed) / 2.0
        assert 2.0 * RHO * disc_area(0.25) * (speed + w) * w == pytest.approx(thrust, abs=1e-9)
        jet = float(propeller.jet_power(TURNING, speed, RHO))
        assert jet == pytest.approx(thrust * (speed + w), abs=1e-9)
        assert jet <= float(propeller.shaft_torque(TURNING, speed, RHO)) * TURNING + 1e-9


def test_pitch_curve_gives_back_its_reading() -> None:
    """By hand: C_T0 = 10/(1.225 150^2 0.25^4) = 0.09288, J_0 = 1.15 0.15/0.25 = 0.69."""
    assert float(PITCH.thrust(TURNING, 0.0, RHO)) == pytest.approx(10.0)
    assert float(PITCH.shaft_torque(TURNING, 0.0, RHO)) * TURNING == pytest.approx(180.0)
    assert float(PITCH.thrust(TURNING, 0.69 * 150.0 * 0.25, RHO)) == pytest.approx(0.0, abs=1e-12)
    half = float(PITCH.thrust(TURNING, 0.345 * 150.0 * 0.25, RHO))
    assert half == pytest.approx(5.0)
    with pytest.raises(ValueError, match="more than the 80 W"):
        propeller_from_static(0.25, 0.15, 10.0, TURNING, 80.0, RHO)
    with pytest.raises(ValueError, match="positive"):
        propeller_from_static(0.25, 0.0, 10.0, TURNING, 180.0, RHO)
    odd = propeller_from_static(0.25, 0.15, 10.0, TURNING, 180.0, RHO, 1.4)
    assert "outside" in odd.notes[0]


def test_table_goes_on_straight_then_brakes_no_more() -> None:
    j = np.linspace(0.8, 2.0, 121)
    thrust = TABLE.curve.thrust_coefficient(j)
    power = TABLE.curve.power_coefficient(j)
    slope = np.diff(thrust)[:5] / np.diff(j)[:5]
    assert np.allclose(slope, slope[0]) and slope[0] < -0.1
    assert np.all(np.diff(thrust) <= 1e-15) and thrust[-1] == pytest.approx(-0.033)
    assert np.all(power >= 0.0) and np.max(np.abs(np.diff(power))) < 0.01
    steps = np.abs(np.diff(TABLE.curve.thrust_coefficient(np.linspace(0.79, 0.81, 201))))
    assert np.max(steps) < 1e-3
    assert "up to 1.00" in TABLE.remarks(TURNING, 37.5)[0]
    assert TABLE.remarks(TURNING, 30.0) == ()


def test_a_table_cut_short_never_beats_the_ideal() -> None:
    """Power that falls faster than thrust beyond the table is held at the disc's least."""
    text = "J CT CP\n0 0.1 0.06\n0.3 0.098 0.055\n0.4 0.095 0.059\n0.5 0.09 0.056\n"
    propeller = propeller_from_table(0.25, text)
    for speed in np.linspace(20.0, 60.0, 81):
        jet = float(propeller.jet_power(TURNING, speed, RHO))
        shaft = float(propeller.shaft_torque(TURNING, speed, RHO)) * TURNING
        assert jet <= shaft * (1.0 + 1e-12) + 1e-9


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", ["empty"]),
        ("J CT\n0 1\n", ["no heading CP"]),
        ("x y z\n", ["no heading J and no CT and no CP"]),
        ("J CT CP\n0 0.1 0.05\n0.1 0.1 0.05\n", ["at least 3 rows are needed, there are 2"]),
        (
            "J CT CP\n0 0.1\n0.1 a 0.05\n0.2 nan 1\n",
            ["line 2: 2 col", "line 3: 'a'", "line 4: 'nan'"],
        ),
        (
            "J CT CP\n-0.1 0.1 0.05\n0.2 0.1 0.06\n0.2 0.09 0\n0.3 0.09 0.01\n",
            ["line 2: advance ratio -0.1", "0.2 after 0.2", "line 4: power", "line 5: power coe"],
        ),
        ("J CT CP\n0 0.1 0.05\n0.1 0.1 0.05\n0.3 -0.04 0.01\n", ["brakes more"]),
        ("J CT CP\n0.1 0 0.05\n0.2 -0.01 0.05\n0.3 -0.02 0.01\n", ["line 2: thrust coefficient 0"]),
    ],
)
def test_every_fault_of_a_table_is_told(text: str, said: list[str]) -> None:
    faults = table_faults(text)
    assert len(faults) == len(said)
    for fault, words in zip(faults, said, strict=True):
        assert words in fault
    with pytest.raises(ValueError, match="; ".join([".*"] * len(said))):
        propeller_points(text)


def test_static_tables() -> None:
    moving = TEXT.replace("0.0, 0.110, 0.050, 0\n", "# a remark\n\n")
    still = "RPM CT CP\n3000 0.10 0.05\n6000 0.11 0.05\n"
    points = propeller_points(moving, still)
    assert points.advance_ratio[0] == 0.0 and points.thrust_coefficient[0] == 0.11
    assert "9%" in points.notes[0]
    assert "not used" in propeller_points(TEXT, still).notes[0]
    level = propeller_from_table(0.25, moving)
    assert float(level.thrust(TURNING, 0.0, RHO)) == float(level.thrust(TURNING, 7.5, RHO))
    assert "starts at advance ratio 0.2" in level.notes[0]
    bad = table_faults(moving, "RPM CT CP\n0 0.1 0.05\n3000 0.1 0.01\n")
    assert [fault[:21] for fault in bad] == ["static table: line 2:", "static table: line 3:"]
    assert table_faults(TEXT, "RPM CT CP\n") == ("static table: at least one row is needed",)


@pytest.mark.parametrize("propeller", BOTH)
def test_constant_rotation(propeller: Propeller) -> None:
    curve = engine_curve(propeller, RHO, rotation=TURNING)
    assert np.all(curve.rotation == TURNING) and curve.zero_thrust_airspeed is not None
    assert curve.table.thrust[0] == float(propeller.thrust(TURNING, 0.0, RHO))
    zero = brentq(lambda v: float(propeller.thrust(TURNING, v, RHO)), 20.0, 36.0)
    assert curve.zero_thrust_airspeed == pytest.approx(zero, abs=1e-6)
    assert not any("constant shaft power" in note for note in curve.notes)


@pytest.mark.parametrize("propeller", BOTH)
def test_constant_power(propeller: Propeller) -> None:
    curve = engine_curve(propeller, RHO, shaft_power=400.0, top_airspeed=40.0)
    assert np.allclose(curve.shaft_power, 400.0, rtol=1e-10)
    assert np.all(np.diff(curve.thrust) < 0.0) and curve.zero_thrust_airspeed is None
    assert any("constant shaft power" in note for note in curve.notes)
    # useful work over a run stays below shaft work: trapezoids over airspeed
    useful = trapezoid(curve.thrust * curve.airspeeds, curve.airspeeds)
    assert useful < 400.0 * 40.0


def test_static_rotation_at_a_power() -> None:
    """P goes with n^3 at rest."""
    curve = engine_curve(PITCH, RHO, shaft_power=8.0 * 180.0, top_airspeed=10.0)
    assert curve.rotation[0] == pytest.approx(2.0 * TURNING) and curve.thrust[0] == pytest.approx(
        40
    )


def test_engine_wants_one_of_two() -> None:
    for given in (
        {},
        {"rotation": 1.0, "shaft_power": 1.0},
        {"rotation": -1.0},
        {"shaft_power": 0.0},
    ):
        with pytest.raises(ValueError, match=r"either|positive"):
            engine_curve(PITCH, RHO, **given)


def test_fast_tips_are_remarked() -> None:
    assert "tips" in engine_curve(PITCH, RHO, rotation=25_000.0 * RPM).notes[0]


def test_roots() -> None:
    """Three roots of a folded balance: the largest is taken. And the bounds give up in words."""
    high = np.array([4.0, 8.0])
    roots = largest_root(lambda x: -(x - 0.5) * (x - 1.5) * (x - 3.0), high)
    assert np.allclose(roots, 3.0, rtol=1e-13)
    assert np.all(upper_bound(lambda x: 10.0 - x, np.ones(3)) >= 10.0)
    with pytest.raises(ValueError, match="balances"):
        upper_bound(np.ones_like, np.ones(2))
    with pytest.raises(ValueError, match="cannot turn"):
        largest_root(lambda x: -np.ones_like(x), np.ones(2))
    assert first_zero(lambda x: 3.0 - x, 10.0) == pytest.approx(3.0, abs=1e-8)
    assert first_zero(lambda x: 3.0 + x, 10.0) == 10.0
