"""A power system at one airspeed: what is told of it, whatever kind it is."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.power.known import KnownPower
from sim.power.operating import OperatingPoint
from sim.roll.aero_table import Array
from sim.roll.parameters import ThrustTable
from sim.roll.thrust import FAN, fall_off_thrust, fan_thrust
from sim.roll.thrust_points import thrust_points


@dataclass(frozen=True)
class Moment:
    """Full throttle, steady, at one airspeed; None for what is not known.

    Attributes
    ----------
    name: when, in words.
    airspeed: [m/s].
    thrust: [N].
    efflux_velocity: of the jet [m/s].
    jet_power: [W].
    rotation: of the rotor [rad/s].
    shaft_power: [W].
    point: the electric chain.

    """

    name: str
    airspeed: float
    thrust: float
    efflux_velocity: float | None = None
    jet_power: float | None = None
    rotation: float | None = None
    shaft_power: float | None = None
    point: OperatingPoint | None = None


def thrust_over(p: Any, table: ThrustTable | None, airspeed: Array) -> Array:
    """Thrust of a roll's parameters at airspeeds, as the roll has it, same shape [m/s -> N]."""
    if table is not None:
        return thrust_points([table]).thrust(0, airspeed)
    if p.thrust_kind == FAN:
        return fan_thrust(p.air_density, p.exit_area, p.jet_power, airspeed)
    return fall_off_thrust(p, airspeed)


def jet_behind(
    thrust: float, airspeed: float, exit_area: float, density: float
) -> tuple[float, float]:
    """Velocity and power of a duct's jet behind a thrust [N, m/s, m2, kg/m3 -> m/s, W].

    `V_e = (V + sqrt(V^2 + 4 T/(rho A)))/2`, `P = T (V_e + V)/2`, T >= 0; 26 N at rest through
    80 mm at 1.225 kg/m3 give 64.98 m/s and 844.8 W. Momentum theory, as `sim.power.fan`.
    """
    efflux = 0.5 * (airspeed + float(np.sqrt(airspeed**2 + 4.0 * thrust / (density * exit_area))))
    return efflux, 0.5 * thrust * (efflux + airspeed)


def moment(known: KnownPower, name: str, airspeed: float, thrust: float) -> Moment:
    """What is known at an airspeed where the roll has that thrust [m/s, N]."""
    point = known.point(airspeed)
    if point is not None:
        return Moment(
            name, airspeed, point.thrust, point.efflux_velocity, point.jet_power,
            point.rotation, point.shaft_power, point,
        )  # fmt: skip
    if known.engine is not None:
        engine = known.engine
        efflux, rotation, shaft = (
            float(np.interp(airspeed, engine.airspeeds, values))
            for values in (engine.efflux_velocity, engine.rotation, engine.shaft_power)
        )
        jet = 0.5 * thrust * (efflux + airspeed)
        return Moment(name, airspeed, thrust, efflux, jet, rotation, shaft)
    if known.exit_area is None or thrust < 0.0:
        return Moment(name, airspeed, thrust)
    return Moment(
        name, airspeed, thrust, *jet_behind(thrust, airspeed, known.exit_area, known.density)
    )
