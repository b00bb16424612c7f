"""Air against the standard atmosphere, a public library and two metrology formulas."""

import math

import pytest
from ambiance import Atmosphere

from sim.strip.air import (
    air_density,
    density_height,
    geopotential_height,
    humid_density,
    isa_pressure,
    isa_temperature,
    pressure_height,
    saturation_vapour_pressure,
    sutherland_viscosity,
)

# ISO 2533:1975, geopotential height [m], T [K], p [Pa], rho [kg/m3]. Mark: computed.
ISO_2533 = [
    (0.0, 288.15, 101_325.0, 1.2250),
    (1000.0, 281.65, 89_874.6, 1.11164),
    (2000.0, 275.15, 79_495.2, 1.00649),
]


@pytest.mark.parametrize(("height", "temperature", "pressure", "density"), ISO_2533)
def test_standard_atmosphere_rows(
    height: float, temperature: float, pressure: float, density: float
) -> None:
    assert isa_temperature(height) == pytest.approx(temperature, abs=1e-9)
    assert isa_pressure(height) == pytest.approx(pressure, abs=0.1)
    dry = humid_density(isa_temperature(height), isa_pressure(height), 0.0)
    assert dry == pytest.approx(density, abs=1e-5)
    assert density_height(dry) == pytest.approx(height, abs=0.01)
    assert pressure_height(pressure) == pytest.approx(height, abs=0.02)


@pytest.mark.parametrize("elevation", [-300.0, 0.0, 120.0, 1000.0, 2500.0, 4800.0])
def test_library_of_the_standard_atmosphere(elevation: float) -> None:
    """PyPI `ambiance` (ICAO 1993 tables by geometric height). Mark: computed with 1.3.x."""
    theirs = Atmosphere(elevation)
    ours = air_density(elevation_m=elevation, humidity_fraction=0.0)
    assert ours.pressure == pytest.approx(theirs.pressure[0], rel=1e-6)
    assert ours.temperature == pytest.approx(theirs.temperature[0], rel=1e-7)
    assert ours.density == pytest.approx(theirs.density[0], rel=1e-6)
    assert ours.dynamic_viscosity == pytest.approx(theirs.dynamic_viscosity[0], rel=1e-6)
    assert ours.kinematic_viscosity == pytest.approx(theirs.kinematic_viscosity[0], rel=1e-6)
    assert ours.density_altitude == pytest.approx(theirs.H[0], abs=0.02)
    assert geopotential_height(elevation) == pytest.approx(theirs.H[0], abs=1e-3)


# Humid air at 101,325 Pa: degC, relative humidity, kg/m3. Mark: computed.
HUMID = [(30.0, 0.5, 1.1552), (35.0, 0.8, 1.1263)]


@pytest.mark.parametrize(("celsius", "humidity", "density"), HUMID)
def test_humid_air(celsius: float, humidity: float, density: float) -> None:
    air = air_density(celsius + 273.15, 0.0, 101_325.0, humidity)
    assert air.density == pytest.approx(density, abs=5e-5)


def _oiml_density(celsius: float, hectopascal: float, percent: float) -> float:
    """OIML R 111-1 (2004), eq. E.3-1, within 2e-4 of the CIPM formula. Mark: from memory."""
    vapour = 0.009 * percent * math.exp(0.061 * celsius)
    return (0.34848 * hectopascal - vapour) / (273.15 + celsius)


@pytest.mark.parametrize("celsius", [10.0, 20.0, 30.0])
@pytest.mark.parametrize("percent", [0.0, 40.0, 80.0])
def test_short_form_of_the_weights_recommendation(celsius: float, percent: float) -> None:
    ours = humid_density(celsius + 273.15, 101_325.0, percent / 100.0)
    # Their air carries 400 ppm CO2 and real-gas terms: 3e-4 denser when dry, whence the band.
    assert ours == pytest.approx(_oiml_density(celsius, 1013.25, percent), rel=5e-4)


def _murphy_koop(kelvin: float) -> float:
    """Murphy & Koop, Q. J. R. Meteorol. Soc. 131 (2005), over water. Mark: second-hand."""
    bend = 53.878 - 1331.22 / kelvin - 9.44523 * math.log(kelvin) + 0.014025 * kelvin
    return math.exp(
        54.842763
        - 6763.22 / kelvin
        - 4.210 * math.log(kelvin)
        + 0.000367 * kelvin
        + math.tanh(0.0415 * (kelvin - 218.8)) * bend
    )


@pytest.mark.parametrize("celsius", [-20.0, -5.0, 0.0, 10.0, 20.0, 30.0, 40.0, 50.0])
def test_vapour_pressure_against_a_later_formula(celsius: float) -> None:
    ours = saturation_vapour_pressure(celsius + 273.15)
    assert ours == pytest.approx(_murphy_koop(celsius + 273.15), rel=3e-3)


def test_viscosity_of_the_standard() -> None:
    """ISO 2533:1975 at sea level, 1.7894e-5 Pa s. Mark: from memory."""
    assert sutherland_viscosity(288.15) == pytest.approx(1.7894e-5, abs=5e-10)
