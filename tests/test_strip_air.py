"""Readings left out, impossible readings, notes, and which way density goes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.strip.air import air_density, density_height, isa_pressure, pressure_height


def test_nothing_given_is_sea_level_standard_and_says_so() -> None:
    air = air_density()
    assert air.density == pytest.approx(1.2250, abs=1e-5)
    assert len(air.notes) == 3


def test_everything_given_has_no_notes() -> None:
    assert air_density(291.15, 120.0, 99_900.0, 0.6).notes == ()


def test_missing_temperature_is_the_standard_of_that_elevation() -> None:
    assert air_density(elevation_m=1000.0).temperature == pytest.approx(281.651, abs=1e-3)


def test_pressure_alone_finds_its_own_height() -> None:
    air = air_density(pressure_pa=89_874.6, humidity_fraction=0.0)
    assert air.temperature == pytest.approx(281.65, abs=1e-3)
    assert air.density_altitude == pytest.approx(1000.0, abs=0.1)


def test_given_pressure_beats_elevation() -> None:
    low = air_density(288.15, 500.0, 94_000.0, 0.0)
    assert low.pressure == 94_000.0


def test_sea_level_reading_at_a_high_strip_is_pointed_out() -> None:
    assert any("reduced" in note for note in air_density(288.15, 800.0, 101_325.0, 0.5).notes)
    assert not any("reduced" in note for note in air_density(288.15, 800.0, 92_000.0, 0.5).notes)


def test_hot_day_raises_density_altitude_by_about_36_metres_a_degree() -> None:
    # d rho/rho = -dT/T and dH = -(T0/L)/4.256 d rho/rho: 10,416/288.15 = 36.1 m per kelvin.
    cool = air_density(288.15, 0.0, None, 0.0).density_altitude
    warm = air_density(289.15, 0.0, None, 0.0).density_altitude
    assert cool == pytest.approx(0.0, abs=0.01)
    assert warm - cool == pytest.approx(36.1, abs=0.2)


def test_impossible_readings_are_named_all_at_once() -> None:
    with pytest.raises(ValueError, match=r"temperature.*pressure.*humidity.*elevation"):
        air_density(15.0, 20_000.0, 1013.0, 60.0)


def test_more_vapour_than_pressure_is_refused() -> None:
    with pytest.raises(ValueError, match="vapour"):
        air_density(349.0, 0.0, 23_000.0, 1.0)


def test_out_of_range_becomes_a_note() -> None:
    notes = air_density(240.0, 6000.0, None, 0.5).notes
    assert len(notes) == 3


@given(st.floats(260.0, 320.0), st.floats(0.0, 4000.0), st.floats(0.0, 0.9))
def test_signs(kelvin: float, elevation: float, humidity: float) -> None:
    here = air_density(kelvin, elevation, None, humidity)
    assert air_density(kelvin + 5.0, elevation, None, humidity).density < here.density
    assert air_density(kelvin, elevation + 100.0, None, humidity).density < here.density
    assert air_density(kelvin, elevation, None, humidity + 0.1).density < here.density
    warmer = air_density(kelvin + 5.0, elevation, None, humidity)
    assert warmer.density_altitude > here.density_altitude
    assert warmer.dynamic_viscosity > here.dynamic_viscosity


@given(st.floats(-500.0, 10_000.0))
def test_pressure_height_is_the_inverse(height: float) -> None:
    assert pressure_height(isa_pressure(height)) == pytest.approx(height, abs=1e-6)


def test_density_height_falls_with_density() -> None:
    assert density_height(1.3) < 0.0 < density_height(1.1)
