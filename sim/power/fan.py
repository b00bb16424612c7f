"""Ducted fan by momentum theory: from jet watts and an exit area to newtons.

The exit area stays as it is and the jet leaves at the pressure around it, so with `A` the exit
area, `V_e` the efflux velocity and `V` the airspeed

    T = rho A V_e (V_e - V)        P = rho A V_e (V_e^2 - V^2)/2

(standard actuator-duct momentum theory, McCormick, Aerodynamics of V/STOL Flight, ch. 9, from
memory). The ideal fan here keeps its jet power `P` at every airspeed. Losses of blades, duct
and motor belong to whoever turns watts of battery into jet watts.
"""

from dataclasses import dataclass

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.thrust import fan_efflux, fan_thrust

DUCTED_OVER_OPEN = 2.0 ** (1.0 / 3.0)
"""Ideal static thrust of a fan in a duct (exit = disc) over an open one of the same disc and
power: the open one's wake shrinks to half the disc [-]."""

ZERO_THRUST_SHARE = (0.9, 1.0, 1.2)
"""Zero-thrust airspeed of a linear fall-off law over static efflux velocity [-], low, typical,
high: see `zero_thrust_airspeed`."""


@dataclass(frozen=True)
class IdealFan:
    """A ducted fan of constant jet power.

    Attributes
    ----------
    jet_power: [W].
    exit_area: of the duct's exit [m2].

    """

    jet_power: float
    exit_area: float

    def __post_init__(self) -> None:
        if not (self.jet_power > 0.0 and self.exit_area > 0.0):
            raise ValueError("jet power and exit area must be positive")


@dataclass(frozen=True)
class ZeroThrustEstimate:
    """Estimated zero-thrust airspeed of a linear fall-off law [m/s] and why to doubt it."""

    low: float
    typical: float
    high: float
    note: str


def disc_area(diameter: float, hub_diameter: float = 0.0) -> float:
    """Area of a round exit, a hub or cone in it taken off [m -> m2].

    `A = pi/4 (D^2 - d^2)`, 0 <= d < D; 0.070 m gives 3.848e-3 m2. Geometry.

    Raises
    ------
    ValueError
        When the hub fills the exit.

    """
    if not 0.0 <= hub_diameter < diameter:
        raise ValueError("the exit must be wider than its hub")
    return float(np.pi / 4.0 * (diameter**2 - hub_diameter**2))


def static_thrust(jet_power: float, exit_area: float, density: float) -> float:
    """Static thrust of an ideal ducted fan [W, m2, kg/m3 -> N].

    `T = (4 rho A P^2)^(1/3)`, P >= 0; 1 kW through 70 mm at 1.225 kg/m3 give 26.62 N.
    From both equations of this module at V = 0.
    """
    return float(np.cbrt(4.0 * density * exit_area * jet_power**2))


def open_static_thrust(power: float, area: float, density: float) -> float:
    """Static thrust of an ideal open propeller or fan [W, m2, kg/m3 -> N].

    `T = (2 rho A P^2)^(1/3)`, P >= 0; 1 kW on 70 mm at 1.225 kg/m3 give 21.13 N.
    Rankine-Froude actuator disc.
    """
    return float(np.cbrt(2.0 * density * area * power**2))


def jet_power_from_static_thrust(thrust: float, exit_area: float, density: float) -> float:
    """Jet power behind a static thrust read off a scale [N, m2, kg/m3 -> W].

    `P = T^(3/2)/(2 sqrt(rho A))`, T >= 0; 26.62 N through 70 mm at 1.225 kg/m3 give 1000 W.
    The inverse of `static_thrust`.

    Raises
    ------
    ValueError
        For a negative thrust.

    """
    if thrust < 0.0:
        raise ValueError("static thrust must not be negative")
    return float(thrust**1.5 / (2.0 * np.sqrt(density * exit_area)))


def static_efflux_velocity(thrust: float, exit_area: float, density: float) -> float:
    """Efflux velocity at standstill behind a static thrust [N, m2, kg/m3 -> m/s].

    `V_e = sqrt(T/(rho A))`, T >= 0; 26.62 N through 70 mm at 1.225 kg/m3 give 75.1 m/s.
    """
    return float(np.sqrt(thrust / (density * exit_area)))


def efflux_velocity(fan: IdealFan, density: float, airspeed: Array | float) -> Array:
    """Efflux velocity at constant jet power, any shape of airspeed [m/s].

    The largest root of `V_e^3 - V^2 V_e - 2P/(rho A) = 0`, V >= 0, as the roll computes it.
    1 kW, 70 mm, 1.225 kg/m3 give 75.1 m/s at rest, 76.9 m/s at 20 m/s.

    Raises
    ------
    ValueError
        For a negative airspeed, where the duct would run backwards.

    """
    speed = np.asarray(airspeed, dtype=np.float64)
    if np.any(speed < 0.0):
        raise ValueError("airspeed of a fan must not be negative")
    return fan_efflux(density, fan.exit_area, fan.jet_power, speed)


def thrust(fan: IdealFan, density: float, airspeed: Array | float) -> Array:
    """Thrust at constant jet power, same shape as airspeed [m/s -> N].

    `T = rho A V_e (V_e - V) = 2P/(V_e + V)`: the second form, exact as well, loses no digits
    when the two speeds are close. Never zero: it tends to `P/V`. 1 kW, 70 mm, 1.225 kg/m3
    give 26.62 N at rest, 20.64 N at 20 m/s.
    """
    speed = np.asarray(airspeed, dtype=np.float64)
    if np.any(speed < 0.0):
        raise ValueError("airspeed of a fan must not be negative")
    return fan_thrust(density, fan.exit_area, fan.jet_power, speed)


def zero_thrust_airspeed(thrust: float, exit_area: float, density: float) -> ZeroThrustEstimate:
    """Zero-thrust airspeed for a linear fall-off law, from exit area and a scale reading.

    `V_0 = V_e = sqrt(T/(rho A))` [m/s], take-off speeds only (V below 0.3 V_e); 24 N
    through 67.5 mm at 1.225 kg/m3 give 74.0 m/s. Derivation: from `V_e^3 - V^2 V_e = const`,
    dV_e/dV = 0 at V = 0, so dT/dV = -rho A V_e = -T/V_e there: the tangent of the thrust curve
    at standstill cuts zero exactly at the static efflux velocity. The same line is the whole
    curve of a fan whose efflux velocity does not change.

    What it is not: the airspeed at which a fan's thrust vanishes. At constant jet power thrust
    never vanishes (half remains at 0.79 V_e), and a fan at fixed speed of rotation reaches zero at
    its pitch speed, above V_e. At take-off speeds the curve lies above its tangent; a line through
    standstill and 0.2 (0.3) V_e would cut zero at 1.14 (1.21) V_e. Intake losses and speed
    controllers that run out of volts pull the other way. Hence low 0.9 (judgement), high 1.2.

    Parameters
    ----------
    thrust
        static [N].
    exit_area
        [m2].
    density
        of the air in which the thrust was read [kg/m3].

    """
    velocity = static_efflux_velocity(thrust, exit_area, density)
    low, typical, high = (share * velocity for share in ZERO_THRUST_SHARE)
    note = (
        f"zero-thrust airspeed estimated as the static efflux velocity, {typical:.0f} m/s"
        f" ({low:.0f}-{high:.0f}): good for take-off speeds, not for top speed"
    )
    return ZeroThrustEstimate(low, typical, high, note)
