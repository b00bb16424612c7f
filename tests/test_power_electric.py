"""The electric chain: closing, closed forms, a second root finder, and what changes predict."""

from dataclasses import dataclass, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

from sim.power.battery import Battery, estimated_cell_resistance, open_cell_voltage
from sim.power.bench import BenchReading, bench_state
from sim.power.ducted_rotor import FanSize, anchored_fan, resized
from sim.power.electric import ElectricSystem, electric_curve, operating_point, settled_rotation
from sim.power.motor import Motor
from sim.power.propeller import anchored_propeller
from sim.power.rotor import RPM, Rotor
from sim.roll.aero_table import Array

RHO = 1.225
MOTOR = Motor(1500.0 * RPM, 0.012, 3.0)
READING = BenchReading(voltage=21.8, current=78.0, thrust=26.0, density=RHO)
SIZE = FanSize(0.090, 0.040, 0.080)
FAN = anchored_fan(READING, MOTOR, 0.002, SIZE)
PACK = Battery(6, (21.8 + 78.0 * 0.015) / 6.0, 0.0025)
SYSTEM = ElectricSystem(PACK, 0.002, MOTOR, FAN)

SMALL = Motor(900.0 * RPM, 0.04, 1.2)
SMALL_READING = BenchReading(14.6, 38.0, 18.0, RHO, rotation=11_000.0 * RPM)
PROPELLER = anchored_propeller(SMALL_READING, SMALL, 0.003, 0.28, 0.178)
SMALL_FACTOR = bench_state(SMALL_READING, SMALL, 0.003).speed_factor
SMALL_SYSTEM = ElectricSystem(
    Battery(4, (14.6 + 38.0 * 0.016) / 4.0, 0.004), 0.003, SMALL, PROPELLER, SMALL_FACTOR
)
SYSTEMS = [SYSTEM, SMALL_SYSTEM]


@dataclass(frozen=True)
class Brake:
    """A load of torque k Omega^2, whatever the air does."""

    k: float
    diameter: float = 0.1

    def shaft_torque(
        self, rotation: Array | float, airspeed: Array | float, density: float
    ) -> Array:
        return np.asarray(self.k * np.asarray(rotation) ** 2 + 0.0 * np.asarray(airspeed))

    def thrust(self, rotation: Array | float, airspeed: Array | float, density: float) -> Array:
        return 1.0 + 0.0 * self.shaft_torque(rotation, airspeed, density)

    jet_power = thrust
    efflux_velocity = thrust

    def remarks(self, rotation: Array | float, airspeed: Array | float) -> tuple[str, ...]:
        return ()


@given(st.floats(1e-9, 1e-6), st.floats(5.0, 50.0), st.floats(0.0, 5.0))
@settings(max_examples=40)
def test_closed_form_of_a_square_law(k: float, voltage: float, idle: float) -> None:
    """`k Omega^2 = ((v - Omega/Kv)/R - i0)/Kv` is a quadratic in Omega. Mark: computed."""
    motor, rotor = replace(MOTOR, no_load_current=idle), Brake(k)
    assert isinstance(rotor, Rotor)
    system = ElectricSystem(Battery(1, voltage, 0.01), 0.002, motor, rotor)
    kv, total = motor.speed_constant, 0.024
    b, c = 1.0 / (kv**2 * total), (voltage / total - idle) / kv
    root = 2.0 * c / (b + np.sqrt(b * b + 4.0 * k * c))
    found = operating_point(system, 10.0, RHO)
    assert found.rotation == pytest.approx(root, rel=1e-11)
    assert found.current == pytest.approx((voltage - root / kv) / total, rel=1e-8, abs=1e-8)


@pytest.mark.parametrize("system", SYSTEMS)
def test_it_reproduces_its_bench(system: ElectricSystem) -> None:
    reading = READING if system is SYSTEM else SMALL_READING
    point = operating_point(system, 0.0, RHO)
    assert point.battery_voltage == pytest.approx(reading.voltage, rel=1e-9)
    assert point.current == pytest.approx(reading.current, rel=1e-9)
    assert point.thrust == pytest.approx(reading.thrust, rel=1e-9)
    if reading.rotation is not None:
        assert point.rotation == pytest.approx(reading.rotation, rel=1e-9)


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("airspeed", [0.0, 8.0, 20.0])
def test_the_power_trail_closes(system: ElectricSystem, airspeed: float) -> None:
    """Rotor loss comes from the rotor's torque, the others from the current: a true balance."""
    point = operating_point(system, airspeed, RHO)
    parts = dict(point.trail())
    assert sum(parts.values()) == pytest.approx(point.battery_power, rel=1e-10)
    assert all(watts > 0.0 for watts in parts.values())
    electrical = point.battery_power - parts["battery"]
    assert point.electrical_power == pytest.approx(electrical, rel=1e-12)
    known = point.motor_efficiency * point.rotor_efficiency * point.motor_voltage * point.current
    assert known == pytest.approx(parts["jet"], rel=1e-12)


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("airspeed", [0.0, 5.0, 15.0, 24.0])
def test_against_a_bracketing_root(system: ElectricSystem, airspeed: float) -> None:
    """Unknown current instead of rotation, by scipy; the rest of the chain written out again."""
    kv = system.motor.speed_constant * system.speed_factor

    def torque_missing(current: float) -> float:
        rotation = kv * (system.battery.open_voltage - current * system.resistance)
        asked = float(system.rotor.shaft_torque(rotation, airspeed, RHO))
        return (current - system.motor.no_load_current) / kv - asked

    most = 0.999 * system.battery.open_voltage / system.resistance
    current = brentq(torque_missing, 0.0, most, xtol=1e-12, rtol=1e-14)
    point = operating_point(system, airspeed, RHO)
    assert point.current == pytest.approx(current, rel=1e-8)


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_curve_carries_its_own_cubic(system: ElectricSystem) -> None:
    curve = electric_curve(system, RHO)
    assert 25 <= len(curve.airspeeds) <= 40
    assert curve.zero_thrust_airspeed is not None
    assert curve.thrust[0] == pytest.approx(curve.points[0].thrust) and curve.thrust[-1] < 0.0
    between = np.linspace(0.0, curve.airspeeds[-1], 301)
    rotation = settled_rotation(system, between, RHO)
    exact = system.rotor.thrust(rotation, between, RHO)
    error = np.abs(PchipInterpolator(curve.airspeeds, curve.thrust)(between) - exact)
    print(f"largest departure {np.max(error) / exact[0]:.2e} of static thrust")
    assert np.max(error) < 1e-3 * exact[0]
    at_zero = operating_point(system, curve.zero_thrust_airspeed, RHO)
    assert abs(at_zero.thrust) < 1e-6 * exact[0]


def test_lanes_do_not_depend_on_each_other() -> None:
    together = settled_rotation(SYSTEM, np.array([0.0, 12.0, 40.0]), RHO)
    alone = [settled_rotation(SYSTEM, np.array([v]), RHO)[0] for v in (0.0, 12.0, 40.0)]
    assert np.allclose(together, alone, rtol=1e-14, atol=0.0)


def test_faster_flight_unloads_the_motor() -> None:
    points = electric_curve(SYSTEM, RHO).points
    current = [point.current for point in points]
    rotation = [point.rotation for point in points]
    assert current == sorted(current, reverse=True) and rotation == sorted(rotation)


def _static(system: ElectricSystem) -> tuple[float, float]:
    point = operating_point(system, 0.0, RHO)
    return point.thrust, point.current


def test_what_changes_do() -> None:
    """Signs a builder knows: half a charge and cold cells pull less, more cells and Kv more."""
    thrust, current = _static(SYSTEM)
    half = replace(PACK, cell_voltage=open_cell_voltage(0.5))
    full = replace(PACK, cell_voltage=open_cell_voltage(1.0))
    assert _static(replace(SYSTEM, battery=half)) < _static(replace(SYSTEM, battery=full))
    assert _static(replace(SYSTEM, battery=replace(PACK, cell_resistance=0.005))) < (
        thrust,
        current,
    )
    more = _static(replace(SYSTEM, battery=replace(PACK, cells=8)))
    assert more[0] > thrust and more[1] > current
    quick = replace(MOTOR, speed_constant=1.1 * MOTOR.speed_constant)
    assert _static(replace(SYSTEM, motor=quick)) == _static(replace(SYSTEM, speed_factor=1.1))
    large = _static(replace(SYSTEM, rotor=resized(FAN, SIZE.scaled_to(0.1))))
    assert large[0] > thrust and large[1] > current


def test_thin_air_lets_the_motor_run_up() -> None:
    here, high = (operating_point(SYSTEM, 0.0, rho) for rho in (1.225, 1.0))
    assert high.thrust < here.thrust and high.rotation > here.rotation
    assert high.current < here.current


def test_notes_and_refusals() -> None:
    assert electric_curve(SYSTEM, RHO).notes == ()
    short = electric_curve(SYSTEM, RHO, top_airspeed=30.0)
    assert short.zero_thrust_airspeed is None and "not vanished at 30 m/s" in short.notes[-1]
    with pytest.raises(ValueError, match="cannot turn"):
        operating_point(replace(SYSTEM, motor=replace(MOTOR, no_load_current=1e4)), 0.0, RHO)
    with pytest.raises(ValueError, match="negative"):
        operating_point(SYSTEM, -1.0, RHO)
    with pytest.raises(ValueError, match="positive"):
        Motor(0.0, 0.01, 1.0)
    with pytest.raises(ValueError, match="cell"):
        Battery(0, 3.8, 0.002)


def test_cells() -> None:
    assert open_cell_voltage(0.5) == 3.84 and open_cell_voltage(1.0) == 4.20
    charges = np.linspace(0.0, 1.0, 41)
    assert np.all(np.diff([open_cell_voltage(c) for c in charges]) > 0.0)
    with pytest.raises(ValueError, match="outside"):
        open_cell_voltage(1.2)
    four = estimated_cell_resistance(4.0)
    assert (four.low, four.typical, four.high) == pytest.approx((1.75e-3, 3.0e-3, 6.25e-3))
    with pytest.raises(ValueError, match="positive"):
        estimated_cell_resistance(0.0)
