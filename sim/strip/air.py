"""Air on the day: density, viscosity and density altitude from what a builder can read off.

The standard atmosphere (ISO 2533:1975) gives whatever the builder left out; humid air is
weighed as a mixture of dry air and vapour. Everything here is one altitude layer, the
troposphere: good from 500 m below to 11,000 m above sea level.
"""

from dataclasses import dataclass

import numpy as np

# ISO 2533:1975, sea level and troposphere (checked in the tests against published rows).
SEA_LEVEL_TEMPERATURE = 288.15  # [K]
SEA_LEVEL_PRESSURE = 101_325.0  # [Pa]
LAPSE_RATE = 0.0065  # [K/m], per geopotential metre
STANDARD_GRAVITY = 9.80665  # [m/s2]
GAS_CONSTANT = 287.05287  # dry air [J/(kg K)]
EARTH_RADIUS = 6_356_766.0  # nominal, for geopotential [m]

VAPOUR_MASS_RATIO = 0.62198  # molar mass of water over that of dry air [-]
PRESSURE_EXPONENT = STANDARD_GRAVITY / (LAPSE_RATE * GAS_CONSTANT)  # 5.25588

HUMIDITY_RANGE = (253.15, 323.15)  # where the vapour-pressure formula was fitted [K]
ELEVATION_RANGE = (-500.0, 5000.0)  # of a strip; beyond it a slip of units is likelier [m]
TEMPERATURE_RANGE = (243.15, 323.15)  # of a day on which models fly [K]
REDUCED_PRESSURE_SHARE = 0.05  # further than this from ISA no weather goes [-]


@dataclass(frozen=True)
class AirState:
    """The air over the strip.

    Attributes
    ----------
    density: [kg/m3].
    temperature: [K].
    pressure: at the strip, not reduced to sea level [Pa].
    dynamic_viscosity: [Pa s].
    density_altitude: geopotential height in the standard atmosphere with this density [m].
    notes: what was assumed, and what lies outside a formula's range.

    """

    density: float
    temperature: float
    pressure: float
    dynamic_viscosity: float
    density_altitude: float
    notes: tuple[str, ...] = ()

    @property
    def kinematic_viscosity(self) -> float:
        """Dynamic viscosity over density [m2/s]."""
        return self.dynamic_viscosity / self.density


def geopotential_height(elevation: float) -> float:
    """Geopotential height of a geometric elevation [m].

    `H = r h/(r + h)` [m], any elevation; 1000 m gives 999.84 m. ISO 2533:1975, eq. 8.
    """
    return EARTH_RADIUS * elevation / (EARTH_RADIUS + elevation)


def isa_temperature(height: float) -> float:
    """Temperature of the standard atmosphere at a geopotential height [m] -> [K].

    `T = T0 - L H`, -500 to 11,000 m; 1000 m gives 281.65 K. ISO 2533:1975.
    """
    return SEA_LEVEL_TEMPERATURE - LAPSE_RATE * height


def isa_pressure(height: float) -> float:
    """Pressure of the standard atmosphere at a geopotential height [m] -> [Pa].

    `p = p0 (1 - L H/T0)^(g/(R L))`, -500 to 11,000 m; 1000 m gives 89,874.6 Pa. ISO 2533:1975.
    """
    ratio = isa_temperature(height) / SEA_LEVEL_TEMPERATURE
    return float(SEA_LEVEL_PRESSURE * ratio**PRESSURE_EXPONENT)


def pressure_height(pressure: float) -> float:
    """Geopotential height at which the standard atmosphere has this pressure [Pa] -> [m].

    `H = T0/L (1 - (p/p0)^(R L/g))`, the inverse of `isa_pressure`; 22,632 to 107,000 Pa.
    89,874.6 Pa gives 1000 m. ISO 2533:1975.
    """
    ratio = (pressure / SEA_LEVEL_PRESSURE) ** (1.0 / PRESSURE_EXPONENT)
    return float(SEA_LEVEL_TEMPERATURE / LAPSE_RATE * (1.0 - ratio))


def density_height(density: float) -> float:
    """Density altitude: geopotential height with this density in the standard atmosphere [m].

    `H = T0/L (1 - (rho/rho0)^(1/(g/(R L) - 1)))` [kg/m3 -> m], 0.36 to 1.28 kg/m3;
    1.11164 kg/m3 gives 1000 m. From ISO 2533:1975.
    """
    sea_level = SEA_LEVEL_PRESSURE / (GAS_CONSTANT * SEA_LEVEL_TEMPERATURE)
    ratio = (density / sea_level) ** (1.0 / (PRESSURE_EXPONENT - 1.0))
    return float(SEA_LEVEL_TEMPERATURE / LAPSE_RATE * (1.0 - ratio))


def saturation_vapour_pressure(temperature: float) -> float:
    """Pressure of saturated water vapour over water [K] -> [Pa].

    `e = 611.21 exp(17.502 t/(240.97 + t))`, t in degC; -20 to 50 degC; 30 degC gives
    4243.5 Pa. Buck, J. Appl. Meteorol. 20 (1981) 1527-1532, eq. 8 (second-hand). His factor
    for real air (1.004 at sea level) is left out: it changes the density by less than 4e-5 up
    to 30 degC.
    """
    celsius = temperature - 273.15
    return float(611.21 * np.exp(17.502 * celsius / (240.97 + celsius)))


def humid_density(temperature: float, pressure: float, humidity: float) -> float:
    """Density of humid air, an ideal mixture [K, Pa, fraction] -> [kg/m3].

    `rho = (p - (1 - 0.62198) h e)/(R T)` with e the saturation pressure; -20 to 50 degC, any
    humidity 0 to 1. 30 degC, 50 %, 101,325 Pa give 1.1552 kg/m3. Dry, it is ISA's own gas law.
    """
    vapour = humidity * saturation_vapour_pressure(temperature)
    return (pressure - (1.0 - VAPOUR_MASS_RATIO) * vapour) / (GAS_CONSTANT * temperature)


def sutherland_viscosity(temperature: float) -> float:
    """Dynamic viscosity of air [K] -> [Pa s].

    `mu = 1.458e-6 T^1.5/(T + 110.4)`, 100 to 1900 K; 288.15 K gives 1.7894e-5 Pa s.
    ISO 2533:1975, eq. 22 (Sutherland's law).
    """
    return float(1.458e-6 * temperature**1.5 / (temperature + 110.4))


def air_density(
    temperature_k: float | None = None,
    elevation_m: float | None = None,
    pressure_pa: float | None = None,
    humidity_fraction: float | None = None,
) -> AirState:
    """Air over the strip from whichever readings there are.

    Parameters
    ----------
    temperature_k
        [K]; missing: the standard atmosphere's at that elevation.
    elevation_m
        of the strip above sea level [m]; missing: from the pressure, else sea level.
    pressure_pa
        as a barometer on the strip reads it [Pa]; missing: standard at the elevation.
    humidity_fraction
        relative humidity 0 to 1; missing: dry (up to 2 % too dense on a hot day).

    Raises
    ------
    ValueError
        Every reading that no air can have, all in one message.

    """
    _refuse_impossible(temperature_k, pressure_pa, humidity_fraction, elevation_m)
    height = _height(elevation_m, pressure_pa)
    pressure = isa_pressure(height) if pressure_pa is None else pressure_pa
    temperature = isa_temperature(height) if temperature_k is None else temperature_k
    humidity = 0.0 if humidity_fraction is None else humidity_fraction
    if humidity * saturation_vapour_pressure(temperature) >= pressure:
        raise ValueError("humidity and temperature ask for more vapour than there is pressure")
    density = humid_density(temperature, pressure, humidity)
    notes = _assumptions(temperature_k, elevation_m, pressure_pa, humidity_fraction)
    return AirState(
        density=density,
        temperature=temperature,
        pressure=pressure,
        dynamic_viscosity=sutherland_viscosity(temperature),
        density_altitude=density_height(density),
        notes=notes + _range_notes(temperature, height, pressure, humidity),
    )


def _height(elevation: float | None, pressure: float | None) -> float:
    if elevation is not None:
        return geopotential_height(elevation)
    return 0.0 if pressure is None else pressure_height(pressure)


def _refuse_impossible(
    temperature: float | None,
    pressure: float | None,
    humidity: float | None,
    elevation: float | None,
) -> None:
    """Collect all impossible readings first, so that the builder mends them in one go."""
    wrong = []
    if temperature is not None and not 150.0 < temperature < 350.0:
        wrong.append(f"temperature {temperature:g} K is outside 150 to 350 K")
    if pressure is not None and not 22_700.0 < pressure < 120_000.0:
        wrong.append(f"pressure {pressure:g} Pa is outside 22,700 to 120,000 Pa")
    if humidity is not None and not 0.0 <= humidity <= 1.0:
        wrong.append(f"humidity {humidity:g} is outside 0 to 1")
    if elevation is not None and not -1000.0 <= elevation <= 11_000.0:
        wrong.append(f"elevation {elevation:g} m is outside -1000 to 11,000 m")
    if wrong:
        raise ValueError("; ".join(wrong))


def _assumptions(
    temperature: float | None,
    elevation: float | None,
    pressure: float | None,
    humidity: float | None,
) -> tuple[str, ...]:
    notes = []
    if elevation is None and pressure is None:
        notes.append("no elevation and no pressure given: sea level assumed")
    if temperature is None:
        notes.append("no temperature given: standard atmosphere assumed")
    if humidity is None:
        notes.append("no humidity given: dry air assumed, up to 2 % too dense on a hot day")
    return tuple(notes)


def _range_notes(
    temperature: float, height: float, pressure: float, humidity: float
) -> tuple[str, ...]:
    notes = []
    low, high = TEMPERATURE_RANGE
    if not low <= temperature <= high:
        notes.append(f"temperature {temperature - 273.15:.0f} degC is outside -30 to 50 degC")
    low, high = HUMIDITY_RANGE
    if humidity > 0.0 and not low <= temperature <= high:
        notes.append("vapour-pressure formula used outside its -20 to 50 degC")
    low, high = ELEVATION_RANGE
    if not low <= height <= high:
        notes.append(f"elevation {height:.0f} m is outside -500 to 5000 m")
    if abs(pressure / isa_pressure(height) - 1.0) > REDUCED_PRESSURE_SHARE:
        notes.append(
            "pressure does not fit the elevation: weather reports give it reduced to sea level,"
            " here the reading at the strip itself is meant"
        )
    return tuple(notes)
