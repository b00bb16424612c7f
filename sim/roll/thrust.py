"""Thrust against airspeed for the lanes of a block, by kind."""

from typing import Any, TypeVar

import numpy as np

from sim.roll.aero_table import Array

KINDS = ("fall-off law", "ideal fan", "points")
FALL_OFF, FAN, POINTS = range(3)
Airspeed = TypeVar("Airspeed", Array, float)


def fall_off_thrust(p: Any, airspeed: Airspeed) -> Airspeed:
    """Static thrust falling with airspeed, linear and quadratic parts [N].

    T = T0 [1 - (1 - k) u - k u^2], u = airspeed / zero-thrust airspeed; negative beyond it.
    """
    u = airspeed / p.zero_thrust_airspeed
    fall = u * (1.0 - p.quadratic_share + p.quadratic_share * u)
    thrust: Airspeed = p.static_thrust * (1.0 - fall)
    return thrust


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
