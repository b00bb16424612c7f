"""First-order motors against worked figures, and what the trade says of more Kv."""

from dataclasses import replace

import pytest

from sim.power.battery import Battery
from sim.power.bench import BenchReading
from sim.power.ducted_rotor import FanSize, anchored_fan
from sim.power.electric import ElectricSystem, operating_point
from sim.power.motor import (
    Motor,
    best_current,
    efficiency,
    peak_efficiency,
    rotation,
    shaft_power,
    torque,
)
from sim.power.rotor import RPM

# Drela, First-Order DC Electric Motor Model, 2007: the equations; the numbers worked from them.
# Mark: computed.
MOTOR = Motor(speed_constant=1000.0 * RPM, resistance=0.05, no_load_current=1.0)


def test_worked_point() -> None:
    assert rotation(MOTOR, 11.1, 20.0) / RPM == pytest.approx(10_100.0, rel=1e-9)
    assert torque(MOTOR, 20.0) == pytest.approx(0.18144, abs=5e-6)
    assert shaft_power(MOTOR, 11.1, 20.0) == pytest.approx(191.9, abs=0.05)
    assert efficiency(MOTOR, 11.1, 20.0) == pytest.approx(0.8644, abs=5e-5)


def test_best_current() -> None:
    assert best_current(MOTOR, 11.1) == pytest.approx(14.90, abs=0.005)
    assert peak_efficiency(MOTOR, 11.1) == pytest.approx(0.8703, abs=5e-5)
    top = efficiency(MOTOR, 11.1, best_current(MOTOR, 11.1))
    assert top == pytest.approx(peak_efficiency(MOTOR, 11.1), rel=1e-12)
    assert efficiency(MOTOR, 11.1, 14.0) < top > efficiency(MOTOR, 11.1, 16.0)


# Common practice, no source, ducted-fan models: 10 % more Kv on the same pack gives +8/15/21 %
# static thrust and +18/26/33 % current (low/typical/high). The systems span what is usual for 90 mm
# on six cells: Kv [rpm/V], winding [mohm], cell [mohm].
USUAL = [(1400.0, 10.0, 1.5), (1500.0, 12.0, 2.5), (1600.0, 15.0, 4.0)]


@pytest.mark.parametrize(("constant", "winding", "cell"), USUAL)
def test_ten_per_cent_more_kv(constant: float, winding: float, cell: float) -> None:
    motor = Motor(constant * RPM, winding * 1e-3, 3.0)
    reading = BenchReading(voltage=21.8, current=78.0, thrust=26.0, density=1.225)
    fan = anchored_fan(reading, motor, 0.002, FanSize(0.090, 0.040, 0.080))
    pack = Battery(6, 21.8 / 6.0 + 78.0 * cell * 1e-3, cell * 1e-3)
    before = ElectricSystem(pack, 0.002, motor, fan)
    after = replace(before, motor=replace(motor, speed_constant=1.1 * motor.speed_constant))
    old, new = operating_point(before, 0.0, 1.225), operating_point(after, 0.0, 1.225)
    assert 1.08 < new.thrust / old.thrust < 1.21
    assert 1.18 < new.current / old.current < 1.33
