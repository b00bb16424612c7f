"""The work line of a ducted fan: signs, limits, scaling, and its own bench reading."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.power.bench import BenchReading, bench_state
from sim.power.ducted_rotor import DuctedRotor, FanSize, anchored_fan, resized
from sim.power.motor import Motor
from sim.power.rotor import RPM, Rotor

RHO = 1.225
MOTOR = Motor(1500.0 * RPM, 0.012, 3.0)
READING = BenchReading(voltage=21.8, current=78.0, thrust=26.0, density=RHO)
SIZE = FanSize(0.090, 0.040, 0.080)
BENCH = bench_state(READING, MOTOR, 0.002)
FAN = anchored_fan(READING, MOTOR, 0.002, SIZE, 1.3)
OMEGA = BENCH.rotation
EFFLUX = float(np.sqrt(26.0 / (RHO * SIZE.exit_area)))

rotations = st.floats(500.0, 5000.0)
densities = st.floats(0.8, 1.4)
shares = st.floats(0.0, 0.95)


def test_it_is_a_rotor() -> None:
    assert isinstance(FAN, Rotor)


def test_it_gives_back_its_reading() -> None:
    assert float(FAN.thrust(OMEGA, 0.0, RHO)) == pytest.approx(26.0, rel=1e-12)
    assert float(FAN.shaft_torque(OMEGA, 0.0, RHO)) == pytest.approx(BENCH.torque, rel=1e-12)
    assert float(FAN.efflux_velocity(OMEGA, 0.0, RHO)) == pytest.approx(EFFLUX, rel=1e-12)


@given(rotations, shares, densities)
def test_work_line_holds(rotation: float, share: float, density: float) -> None:
    """The equation of the module, put in again: energy per mass against flow."""
    u = rotation * 0.045
    speed = share * 1.3 * EFFLUX * rotation / OMEGA
    efflux = float(FAN.efflux_velocity(rotation, speed, density))
    phi = efflux * SIZE.exit_area / SIZE.disc_area / u
    work = u**2 * FAN.work_coefficient * (1.0 - phi / FAN.flow_limit)
    assert (efflux**2 - speed**2) / 2.0 == pytest.approx(work, rel=1e-9, abs=1e-9 * u**2)


@given(rotations, shares, densities)
def test_thrust_jet_and_shaft_agree(rotation: float, share: float, density: float) -> None:
    speed = share * 1.3 * EFFLUX * rotation / OMEGA
    efflux = float(FAN.efflux_velocity(rotation, speed, density))
    flow = density * SIZE.exit_area * efflux
    assert float(FAN.thrust(rotation, speed, density)) == pytest.approx(flow * (efflux - speed))
    jet = flow * (efflux**2 - speed**2) / 2.0
    assert float(FAN.jet_power(rotation, speed, density)) == pytest.approx(jet)
    shaft = float(FAN.shaft_torque(rotation, speed, density)) * rotation
    assert FAN.efficiency * shaft == pytest.approx(jet)


@pytest.mark.parametrize("ratio", [1.15, 1.3, 1.6])
def test_thrust_and_torque_vanish_together(ratio: float) -> None:
    fan = anchored_fan(READING, MOTOR, 0.002, SIZE, ratio)
    zero = ratio * EFFLUX
    assert float(fan.thrust(OMEGA, zero, RHO)) == pytest.approx(0.0, abs=1e-10)
    assert float(fan.shaft_torque(OMEGA, zero, RHO)) == pytest.approx(0.0, abs=1e-11)
    for quantity in (fan.thrust, fan.shaft_torque):
        assert (
            float(quantity(OMEGA, 0.99 * zero, RHO))
            > 0.0
            > float(quantity(OMEGA, 1.01 * zero, RHO))
        )


@pytest.mark.parametrize("ratio", [1.15, 1.3, 1.6])
def test_slope_at_rest_does_not_depend_on_the_ratio(ratio: float) -> None:
    """dV_e/dV = 0 at rest, so dT/dV = -rho A V_e = -T/V_e."""
    fan = anchored_fan(READING, MOTOR, 0.002, SIZE, ratio)
    slope = (float(fan.thrust(OMEGA, 1e-3, RHO)) - 26.0) / 1e-3
    assert slope == pytest.approx(-26.0 / EFFLUX, rel=1e-4)


def test_scaling_at_rest() -> None:
    """T as rho Omega^2 D^4, Q as rho Omega^2 D^5."""
    larger = resized(FAN, SIZE.scaled_to(0.099))
    assert float(FAN.thrust(1.2 * OMEGA, 0.0, RHO)) == pytest.approx(26.0 * 1.2**2)
    assert float(larger.thrust(OMEGA, 0.0, RHO)) == pytest.approx(26.0 * 1.1**4)
    assert float(larger.shaft_torque(OMEGA, 0.0, RHO)) == pytest.approx(BENCH.torque * 1.1**5)
    assert float(FAN.thrust(OMEGA, 0.0, 1.0)) == pytest.approx(26.0 / RHO)


def test_another_nozzle_keeps_the_work_line() -> None:
    """A tighter exit: less flow, a faster jet, less thrust per power. Root by numpy."""
    tight = resized(FAN, replace(SIZE, exit_diameter=0.070))
    u, area = OMEGA * 0.045, tight.size.exit_area
    k = 2.0 * u * FAN.work_coefficient
    theirs = max(np.roots([1.0, k * area / (SIZE.disc_area * FAN.flow_limit), -k * u]))
    assert float(tight.efflux_velocity(OMEGA, 0.0, RHO)) == pytest.approx(theirs, rel=1e-12)
    assert theirs > EFFLUX and theirs * area < EFFLUX * SIZE.exit_area
    by_power = [
        float(f.thrust(OMEGA, 0.0, RHO) / f.jet_power(OMEGA, 0.0, RHO)) for f in (tight, FAN)
    ]
    assert by_power[0] < by_power[1]


@given(rotations, st.floats(0.0, 1.4))
def test_torque_rises_with_rotation(rotation: float, share: float) -> None:
    speed = share * 1.3 * EFFLUX * rotation / OMEGA
    here, more = (float(FAN.shaft_torque(r, speed, RHO)) for r in (rotation, 1.01 * rotation))
    assert more > here


def test_driven_by_the_air_it_gives_no_more_than_it_takes() -> None:
    speed = 1.4 * EFFLUX
    taken = -float(FAN.jet_power(OMEGA, speed, RHO))
    given_back = -float(FAN.shaft_torque(OMEGA, speed, RHO)) * OMEGA
    assert 0.0 < given_back == pytest.approx(FAN.efficiency * taken)


def test_remarks_and_refusals() -> None:
    assert FAN.notes == ()
    assert "outside" in anchored_fan(READING, MOTOR, 0.002, SIZE, 1.8).notes[0]
    assert "tips at" in FAN.remarks(6000.0, 0.0)[0] and FAN.remarks(5000.0, 0.0) == ()
    with pytest.raises(ValueError, match="above 1"):
        anchored_fan(READING, MOTOR, 0.002, SIZE, 1.0)
    with pytest.raises(ValueError, match="shaft power"):
        anchored_fan(replace(READING, thrust=40.0), MOTOR, 0.002, SIZE)
    with pytest.raises(ValueError, match="hub"):
        FanSize(0.09, 0.09, 0.08)


def test_answers_have_the_shape_of_the_question() -> None:
    speeds = np.linspace(0.0, 60.0, 5)
    grid = np.linspace(1000.0, 3000.0, 4)[:, None]
    fan: DuctedRotor = FAN
    for quantity in (fan.thrust, fan.shaft_torque, fan.jet_power, fan.efflux_velocity):
        assert quantity(grid, speeds, RHO).shape == (4, 5)
