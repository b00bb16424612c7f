"""Readings that cannot be true are refused by name, and good ones give the shaft's state."""

from dataclasses import replace

import pytest

from sim.power.bench import BenchReading, bench_faults, bench_state, checked_state
from sim.power.fan import disc_area
from sim.power.motor import Motor
from sim.power.rotor import RPM

MOTOR = Motor(1500.0 * RPM, 0.012, 3.0)
READING = BenchReading(voltage=21.8, current=78.0, thrust=26.0, density=1.225)
AREA = disc_area(0.08)


def keys(reading: BenchReading, *, ducted: bool = True) -> list[str]:
    return [f.key for f in bench_faults(reading, MOTOR, 0.002, AREA, ducted=ducted)]


def test_a_good_reading() -> None:
    """By hand: E = 21.8 - 78 * 0.014 = 20.708 V, 31,062 rpm, (78 - 3) E = 1553.1 W."""
    assert keys(READING) == []
    state = bench_state(READING, MOTOR, 0.002)
    assert state.rotation / RPM == pytest.approx(31_062.0)
    assert state.shaft_power == pytest.approx(1553.1)
    assert state.speed_factor == 1.0


def test_rotation_shows_the_real_speed_constant() -> None:
    """Shaft power does not change with it: torque falls as rotation rises."""
    reading = replace(READING, rotation=30_000.0 * RPM)
    state = bench_state(reading, MOTOR, 0.002)
    assert keys(reading) == []
    assert state.speed_factor == pytest.approx(30_000.0 / 31_062.0)
    assert state.rotation == 30_000.0 * RPM
    assert state.shaft_power == pytest.approx(1553.1)
    assert state.motor.speed_constant / MOTOR.speed_constant == pytest.approx(state.speed_factor)


@pytest.mark.parametrize("key", ["voltage", "current", "thrust", "rotation"])
def test_numbers_must_be_positive(key: str) -> None:
    assert keys(replace(READING, **{key: -1.0})) == [key]
    assert keys(replace(READING, **{key: float("nan")})) == [key]


@pytest.mark.parametrize(
    ("changed", "key", "said"),
    [
        ({"current": 3.0, "thrust": 1.0}, "current", "no-load current of 3 A"),
        ({"current": 1600.0}, "voltage", "lose 22.4 V"),
        ({"rotation": 32_701.0 * RPM}, "rotation", "above 32,700 rpm"),
        ({"rotation": 24_800.0 * RPM}, "rotation", "0.798 of the 31,062 rpm"),
        ({"thrust": 39.1}, "thrust", "39 N that all 1553 W of shaft power"),
        ({"thrust": 45.0}, "thrust", "N that all 1700 W of electrical power"),
    ],
)
def test_impossible_readings(changed: dict[str, float], key: str, said: str) -> None:
    faults = bench_faults(replace(READING, **changed), MOTOR, 0.002, AREA, ducted=True)
    assert [fault.key for fault in faults] == [key]
    assert said in faults[0].message


@pytest.mark.parametrize("ducted", [True, False])
def test_limit_of_thrust(ducted: bool) -> None:
    """(4 rho A P^2)^(1/3) ducted, (2 rho A P^2)^(1/3) open, with shaft power."""
    limit = ((4.0 if ducted else 2.0) * 1.225 * AREA * 1553.1**2) ** (1.0 / 3.0)
    assert keys(replace(READING, thrust=0.9999 * limit), ducted=ducted) == []
    assert keys(replace(READING, thrust=1.0001 * limit), ducted=ducted) == ["thrust"]


def test_several_faults_at_once() -> None:
    reading = replace(READING, thrust=60.0, rotation=40_000.0 * RPM)
    assert keys(reading) == ["rotation", "thrust"]
    with pytest.raises(ValueError, match=r"40,000 rpm.*; 60 N"):
        checked_state(reading, MOTOR, 0.002, AREA, ducted=True)
    with pytest.raises(ValueError, match="nothing to turn"):
        bench_state(replace(READING, current=2.0), MOTOR, 0.002)


def test_air_is_needed() -> None:
    with pytest.raises(ValueError, match="density"):
        replace(READING, density=0.0)
