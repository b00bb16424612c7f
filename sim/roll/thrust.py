"""Thrust against airspeed for the lanes of a block, by kind."""

from typing import Any

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.parameters import ThrustTable

KINDS = ("fall-off law", "ideal fan", "points")
FALL_OFF, FAN, POINTS = range(3)


def fall_off_thrust(p: Any, airspeed: Array) -> Array:
    """Static thrust falling with airspeed, linear and quadratic parts [N].

    T = T0 [1 - (1 - k) u - k u^2], u = airspeed / zero-thrust airspeed; negative beyond it.
    """
    u = airspeed / p.zero_thrust_airspeed
    fall = u * (1.0 - p.quadratic_share + p.quadratic_share * u)
    return np.asarray(p.static_thrust * (1.0 - fall))


def fan_efflux(density: Any, area: Any, jet_power: Any, airspeed: Array) -> Array:
    """Efflux speed of an ideal ducted fan of given jet power and exit area [m/s].

    The largest root of Ve^3 - U^2 Ve - 2P/(rho A) = 0, U >= 0: Cardano's formula where there is
    one real root (slow), Viete's cosine where there are three (fast).
    Worked: 90 mm, 2 kW, 1.225 kg/m3, at rest: 80.07 m/s.
    """
    half = jet_power / (density * area)
    third = airspeed * airspeed / 3.0
    discriminant = half * half - third**3
    # the second cube root is U^2/3 over the first; as a difference it would lose all its digits
    first = np.cbrt(half + np.sqrt(np.maximum(discriminant, 0.0)))
    single = first + third / first
    # kept off zero, where the single root is taken anyway
    limit = np.sqrt(np.maximum(third, np.cbrt(half) ** 2 * 1e-6))
    triple = 2.0 * limit * np.cos(np.arccos(np.minimum(half / limit**3, 1.0)) / 3.0)
    return np.asarray(np.where(discriminant >= 0.0, single, triple))


def fan_thrust(density: Any, area: Any, jet_power: Any, airspeed: Array) -> Array:
    """Thrust of an ideal ducted fan of given jet power and exit area [N].

    Momentum theory: P = rho A Ve (Ve^2 - U^2)/2, T = rho A Ve (Ve - U) = 2P/(Ve + U); the last
    form loses no digits when the two speeds are close.
    Worked: 90 mm, 2 kW, 1.225 kg/m3, at rest: T = 49.96 N.
    """
    return np.asarray(2.0 * jet_power / (fan_efflux(density, area, jet_power, airspeed) + airspeed))


def monotone_slopes(table: ThrustTable) -> Array:
    """Slopes of the monotone cubic (Fritsch & Carlson) through thrust points [N s/m]."""
    from scipy.interpolate import PchipInterpolator  # noqa: PLC0415 - slow to import, rarely used

    curve = PchipInterpolator(table.airspeed, table.thrust)
    return np.asarray(curve.derivative()(table.airspeed))


def table_thrust(table: ThrustTable, slopes: Array, airspeed: Array) -> Array:
    """Monotone cubic through measured points, straight beyond either end [N]."""
    knots, values = table.airspeed, table.thrust
    i = np.clip(np.searchsorted(knots, airspeed, side="right") - 1, 0, len(knots) - 2)
    width = knots[i + 1] - knots[i]
    s = (airspeed - knots[i]) / width
    rise = values[i + 1] - values[i]
    a, b = width * slopes[i] - rise, rise - width * slopes[i + 1]
    cubic = values[i] + s * rise + s * (1.0 - s) * ((1.0 - s) * a + s * b)
    beyond = values[-1] + slopes[-1] * (airspeed - knots[-1])
    before = values[0] + slopes[0] * (airspeed - knots[0])
    outside = np.where(airspeed > knots[-1], beyond, before)
    inside = (airspeed >= knots[0]) & (airspeed <= knots[-1])
    return np.asarray(np.where(inside, cubic, outside))
