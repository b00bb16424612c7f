"""Signs, identities and refusals of the ideal fan."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.power.fan import (
    IdealFan,
    disc_area,
    efflux_velocity,
    jet_power_from_static_thrust,
    static_thrust,
    thrust,
    zero_thrust_airspeed,
)

powers = st.floats(50.0, 20_000.0)
areas = st.floats(1e-3, 0.05)
speeds = st.floats(0.0, 300.0)
densities = st.floats(0.8, 1.4)


@given(powers, areas, densities, speeds)
def test_both_momentum_equations_hold(
    power: float, area: float, density: float, speed: float
) -> None:
    fan = IdealFan(power, area)
    efflux = float(efflux_velocity(fan, density, speed))
    assert efflux > speed
    # P = T (V_e + V)/2: power equation over momentum equation, free of differences.
    assert float(thrust(fan, density, speed)) * (efflux + speed) / 2.0 == pytest.approx(power)
    residual = efflux**3 - speed**2 * efflux - 2.0 * power / (density * area)
    assert abs(residual) < 1e-9 * (efflux**3)


@given(powers, areas, densities, st.floats(0.0, 250.0))
def test_thrust_falls_with_airspeed_and_rises_with_power(
    power: float, area: float, density: float, speed: float
) -> None:
    fan = IdealFan(power, area)
    here = float(thrust(fan, density, speed))
    assert float(thrust(fan, density, speed + 1.0)) < here
    assert float(thrust(IdealFan(1.1 * power, area), density, speed)) > here


@given(powers, areas, densities)
def test_scale_reading_gives_back_the_jet_power(power: float, area: float, density: float) -> None:
    force = static_thrust(power, area, density)
    assert jet_power_from_static_thrust(force, area, density) == pytest.approx(power, rel=1e-9)


def test_static_thrust_laws() -> None:
    # T goes with P^(2/3) and with the cube root of area and density.
    assert static_thrust(8000.0, 0.004, 1.2) == pytest.approx(4 * static_thrust(1000.0, 0.004, 1.2))
    assert static_thrust(1000.0, 0.032, 1.2) == pytest.approx(2 * static_thrust(1000.0, 0.004, 1.2))


def test_hub_takes_area_away() -> None:
    assert disc_area(0.07, 0.035) == pytest.approx(0.75 * disc_area(0.07))
    with pytest.raises(ValueError, match="hub"):
        disc_area(0.03, 0.03)


def test_seam_between_the_two_root_formulas_is_smooth() -> None:
    fan = IdealFan(1000.0, disc_area(0.07))
    seam = 3.0**0.5 * (1000.0 / (1.225 * fan.exit_area)) ** (1.0 / 3.0)
    around = seam * (1.0 + np.linspace(-1e-6, 1e-6, 201))
    efflux = efflux_velocity(fan, 1.225, around)
    assert np.max(np.abs(np.diff(efflux, 2))) < 1e-8 * seam


def test_refusals() -> None:
    with pytest.raises(ValueError, match="positive"):
        IdealFan(0.0, 0.004)
    with pytest.raises(ValueError, match="negative"):
        efflux_velocity(IdealFan(1.0, 1.0), 1.2, -1.0)
    with pytest.raises(ValueError, match="negative"):
        jet_power_from_static_thrust(-1.0, 0.004, 1.2)


def test_estimate_worked_number() -> None:
    # sqrt(24/(1.225 * pi/4 * 0.0675^2)) = sqrt(24/0.0043836) = 73.99 m/s.
    assert zero_thrust_airspeed(24.0, disc_area(0.0675), 1.225).typical == pytest.approx(
        73.99, abs=0.01
    )


def test_estimate_is_a_range_and_says_what_it_is_for() -> None:
    estimate = zero_thrust_airspeed(24.0, 0.0036, 1.2)
    assert estimate.low < estimate.typical < estimate.high
    assert "not for top speed" in estimate.note
    # A wider exit with the same scale reading has a slower jet: thrust falls off sooner.
    assert zero_thrust_airspeed(24.0, 0.0050, 1.2).typical < estimate.typical
