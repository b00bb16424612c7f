"""Ideal fans against momentum theory, solved a second way, and printed thrust figures."""

import numpy as np
import pytest
from scipy.optimize import brentq

from sim.power.fan import (
    DUCTED_OVER_OPEN,
    IdealFan,
    disc_area,
    efflux_velocity,
    jet_power_from_static_thrust,
    open_static_thrust,
    static_efflux_velocity,
    static_thrust,
    thrust,
    zero_thrust_airspeed,
)

RHO = 1.225
# Diameter [m], power [W], open and ducted static thrust [N]; Rankine-Froude momentum theory at
# 1.225 kg/m3, ideal. Mark: computed.
STATIC = [
    (0.070, 1000.0, 21.13, 26.62),
    (0.090, 2000.0, 39.65, 49.96),
    (0.120, 3000.0, 62.94, 79.30),
]
FAN = IdealFan(1000.0, disc_area(0.070))


@pytest.mark.parametrize(("diameter", "power", "open_thrust", "ducted"), STATIC)
def test_static_thrust(diameter: float, power: float, open_thrust: float, ducted: float) -> None:
    area = disc_area(diameter)
    assert open_static_thrust(power, area, RHO) == pytest.approx(open_thrust, abs=0.005)
    assert static_thrust(power, area, RHO) == pytest.approx(ducted, abs=0.005)
    assert jet_power_from_static_thrust(ducted, area, RHO) == pytest.approx(power, rel=5e-4)
    assert float(thrust(IdealFan(power, area), RHO, 0.0)) == pytest.approx(ducted, abs=0.005)


def test_ducted_over_open() -> None:
    """2^(1/3) at equal disc and power (momentum theory). Mark: computed."""
    area = disc_area(0.09)
    ratio = static_thrust(2000.0, area, RHO) / open_static_thrust(2000.0, area, RHO)
    assert ratio == pytest.approx(1.259921, abs=1e-6)
    assert pytest.approx(ratio, rel=1e-12) == DUCTED_OVER_OPEN


@pytest.mark.parametrize("speed", [0.0, 5.0, 20.0, 60.0, 103.2966, 103.2969, 150.0, 400.0])
def test_efflux_against_a_bracketing_root(speed: float) -> None:
    """Both momentum equations, solved by scipy. 103.297 m/s is where three real roots begin."""

    def power_missing(efflux: float) -> float:
        jet = 0.5 * RHO * FAN.exit_area * efflux * (efflux**2 - speed**2)
        return jet - FAN.jet_power

    theirs = brentq(power_missing, max(speed, 1.0), speed + 200.0, xtol=1e-12, rtol=1e-14)
    ours = float(efflux_velocity(FAN, RHO, speed))
    assert ours == pytest.approx(theirs, rel=1e-11)
    momentum = RHO * FAN.exit_area * theirs * (theirs - speed)
    assert float(thrust(FAN, RHO, speed)) == pytest.approx(momentum, rel=1e-9)


def test_far_limit_is_power_over_airspeed() -> None:
    """Froude: at high speed the jet hardly differs from the stream, efficiency goes to one."""
    assert float(thrust(FAN, RHO, 5000.0)) == pytest.approx(1000.0 / 5000.0, rel=1e-5)


def test_estimate_is_the_tangent_at_standstill() -> None:
    at_rest = float(thrust(FAN, RHO, 0.0))
    slope = (float(thrust(FAN, RHO, 1e-3)) - at_rest) / 1e-3
    cut = -at_rest / slope
    estimate = zero_thrust_airspeed(at_rest, FAN.exit_area, RHO)
    assert estimate.typical == pytest.approx(cut, rel=1e-4)
    assert estimate.typical == pytest.approx(75.14, abs=0.01)


@pytest.mark.parametrize("share", [0.1, 0.2, 0.28])
def test_constant_power_lies_above_its_tangent(share: float) -> None:
    """The line through standstill and a take-off speed cuts zero beyond V_e. Mark: computed.

    Without dimensions `e^3 - s^2 e - 1 = 0`, thrust `e (e - s)`, the root by numpy: 1.068, 1.138,
    1.195 at 0.1, 0.2, 0.28 of the efflux velocity.
    """
    root = max(np.roots([1.0, 0.0, -(share**2), -1.0]).real)
    cut = share / (1.0 - root * (root - share))
    at_rest = float(thrust(FAN, RHO, 0.0))
    efflux = static_efflux_velocity(at_rest, FAN.exit_area, RHO)
    left = float(thrust(FAN, RHO, share * efflux)) / at_rest
    assert share / (1.0 - left) == pytest.approx(cut, rel=1e-9)
    assert efflux < cut * efflux < zero_thrust_airspeed(at_rest, FAN.exit_area, RHO).high


def test_shape_of_airspeed_is_kept() -> None:
    speeds = np.linspace(0.0, 200.0, 12).reshape(3, 4)
    assert thrust(FAN, RHO, speeds).shape == (3, 4)
    assert np.all(np.diff(thrust(FAN, RHO, speeds).ravel()) < 0.0)
