"""A rotor turned by an engine, without electrics: at one rotation, or by one shaft power."""

from dataclasses import dataclass, field

import numpy as np

from sim.power.balance import first_zero, largest_root, upper_bound
from sim.power.electric import TOP_AIRSPEED, curve_airspeeds
from sim.power.rotor import RPM, Rotor
from sim.roll.aero_table import Array
from sim.roll.parameters import ThrustTable


@dataclass(frozen=True)
class EngineCurve:
    """Thrust over airspeed; every array has shape (k,).

    Attributes
    ----------
    airspeeds: rising from zero [m/s].
    thrust: [N].
    rotation: [rad/s].
    shaft_power: [W].
    efflux_velocity: [m/s].
    zero_thrust_airspeed: None when thrust holds out to the end [m/s].
    notes: what is out of range.

    """

    airspeeds: Array
    thrust: Array
    rotation: Array
    shaft_power: Array
    efflux_velocity: Array
    zero_thrust_airspeed: float | None
    notes: tuple[str, ...] = field(default=())

    @property
    def table(self) -> ThrustTable:
        """Thrust points for the roll."""
        return ThrustTable(self.airspeeds, self.thrust)


def rotation_at_power(rotor: Rotor, power: float, airspeed: Array, density: float) -> Array:
    """Rotation at which a rotor takes a shaft power, shape of the airspeed (k,) [W -> rad/s].

    Raises
    ------
    ValueError
        When power or density are not positive.

    """
    if not (power > 0.0 and density > 0.0) or np.any(airspeed < 0.0):
        raise ValueError("power and density must be positive, airspeed not negative")

    def surplus(rotation: Array) -> Array:
        return np.asarray(power - rotor.shaft_torque(rotation, airspeed, density) * rotation)

    return largest_root(surplus, upper_bound(surplus, np.full(airspeed.shape, 100.0)))


def engine_curve(
    rotor: Rotor,
    density: float,
    *,
    rotation: float | None = None,
    shaft_power: float | None = None,
    top_airspeed: float = TOP_AIRSPEED,
) -> EngineCurve:
    """Thrust curve at constant rotation [rad/s] or constant shaft power [W], one of them given.

    Raises
    ------
    ValueError
        When not exactly one is given, or it is not positive.

    """
    if (rotation is None) == (shaft_power is None):
        raise ValueError("give either a rotation or a shaft power")
    if rotation is not None and not rotation > 0.0:
        raise ValueError("rotation must be positive")

    def turning(airspeed: Array) -> Array:
        if rotation is not None:
            return np.full(airspeed.shape, rotation)
        return rotation_at_power(rotor, shaft_power or 0.0, airspeed, density)

    zero = first_zero(lambda v: rotor.thrust(turning(v), v, density), top_airspeed)
    ends = zero >= top_airspeed
    airspeeds = curve_airspeeds(zero, top_airspeed)
    speeds = turning(airspeeds)
    return EngineCurve(
        airspeeds=airspeeds,
        thrust=rotor.thrust(speeds, airspeeds, density),
        rotation=speeds,
        shaft_power=rotor.shaft_torque(speeds, airspeeds, density) * speeds,
        efflux_velocity=rotor.efflux_velocity(speeds, airspeeds, density),
        zero_thrust_airspeed=None if ends else zero,
        notes=_notes(rotor, speeds, airspeeds, None if ends else zero),
    )


def _notes(rotor: Rotor, rotation: Array, airspeed: Array, zero: float | None) -> tuple[str, ...]:
    notes: tuple[str, ...] = getattr(rotor, "notes", ())
    pulling = airspeed <= (np.inf if zero is None else zero)
    notes += rotor.remarks(rotation[pulling], airspeed[pulling])
    if np.ptp(rotation) > 1e-6 * rotation[0]:
        notes += (
            f"constant shaft power: rotation goes from {rotation[0] / RPM:,.0f} to"
            f" {rotation[-1] / RPM:,.0f} rpm over the curve, with no governor and no limit",
        )
    if zero is None:
        notes += (f"thrust has not vanished at {airspeed[-1]:.0f} m/s, where the curve ends",)
    return notes
