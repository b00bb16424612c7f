"""Battery, controller, motor and rotor as one chain: where it settles at each airspeed.

The motor turns where its torque, `Q = (i - i0)/Kv` with `i = (v_oc - Omega/Kv)/(R_b + R_c + R)`,
is what the rotor asks for at that airspeed. Motor torque falls with rotation and rotor torque
rises, so the place is one. Full throttle; steady; equations of Drela, 2007, and momentum theory.
"""

from dataclasses import dataclass, field

import numpy as np

from sim.power.balance import first_zero, largest_root, upper_bound
from sim.power.battery import Battery
from sim.power.motor import Motor, current_at, with_speed_factor
from sim.power.operating import OperatingPoint
from sim.power.rotor import Rotor
from sim.roll.aero_table import Array
from sim.roll.parameters import ThrustTable

TOP_AIRSPEED = 150.0
"""Where curves end when thrust has not vanished before [m/s]."""
CURVE_POINTS = 33
NEAR_ZERO = (0.984, 0.992, 1.004, 1.012, 1.05)
"""More places around the airspeed of no thrust, in shares of it: curves go on a little into
braking, and bend there, since a driven rotor gives back less than it takes."""


@dataclass(frozen=True)
class ElectricSystem:
    """The chain.

    Attributes
    ----------
    battery: the pack.
    controller_resistance: [ohm].
    motor: label values.
    rotor: what it turns.
    speed_factor: real over labelled speed constant, from `bench_state` [-].

    """

    battery: Battery
    controller_resistance: float
    motor: Motor
    rotor: Rotor
    speed_factor: float = 1.0

    def __post_init__(self) -> None:
        if not (self.controller_resistance >= 0.0 and self.speed_factor > 0.0):
            raise ValueError("no negative controller resistance, and a positive speed factor")

    @property
    def real_motor(self) -> Motor:
        """Motor with the speed constant as it really is."""
        return with_speed_factor(self.motor, self.speed_factor)

    @property
    def resistance(self) -> float:
        """Of pack, controller and winding together [ohm]."""
        return self.battery.resistance + self.controller_resistance + self.motor.resistance


@dataclass(frozen=True)
class ElectricCurve:
    """Operating points over airspeed.

    Attributes
    ----------
    airspeeds: shape (k,), rising from zero [m/s].
    points: one per airspeed.
    zero_thrust_airspeed: None when thrust holds out to the end of the curve [m/s].
    notes: what is out of range.

    """

    airspeeds: Array
    points: tuple[OperatingPoint, ...]
    zero_thrust_airspeed: float | None
    notes: tuple[str, ...] = field(default=())

    @property
    def thrust(self) -> Array:
        """Thrust at each airspeed, shape (k,) [N]."""
        return np.array([point.thrust for point in self.points])

    @property
    def table(self) -> ThrustTable:
        """Thrust points for the roll."""
        return ThrustTable(self.airspeeds, self.thrust)


def settled_rotation(system: ElectricSystem, airspeed: Array, density: float) -> Array:
    """Rotation at which motor and rotor balance, shape of the airspeed (k,) [m/s -> rad/s].

    Raises
    ------
    ValueError
        For negative airspeed, density not positive, or a pack that cannot turn the rotor.

    """
    if np.any(airspeed < 0.0) or not density > 0.0:
        raise ValueError("airspeed must not be negative and density must be positive")
    motor, source, total = system.real_motor, system.battery.open_voltage, system.resistance

    def surplus(rotation: Array) -> Array:
        current = current_at(motor, source, total, rotation)
        given = (current - motor.no_load_current) / motor.speed_constant
        return np.asarray(given - system.rotor.shaft_torque(rotation, airspeed, density))

    start = np.full(airspeed.shape, motor.speed_constant * source)
    return largest_root(surplus, upper_bound(surplus, start))


def operating_points(
    system: ElectricSystem, airspeed: Array, density: float
) -> tuple[OperatingPoint, ...]:
    """Operating points at airspeeds, shape (k,) [m/s, kg/m3]."""
    rotation = settled_rotation(system, airspeed, density)
    rotor, motor, source = system.rotor, system.real_motor, system.battery.open_voltage
    current = current_at(motor, source, system.resistance, rotation)
    torque = rotor.shaft_torque(rotation, airspeed, density)
    jet = rotor.jet_power(rotation, airspeed, density)
    at_controller = source - current * system.battery.resistance
    columns = {
        "airspeed": airspeed,
        "open_voltage": np.full_like(current, source),
        "battery_voltage": at_controller,
        "motor_voltage": at_controller - current * system.controller_resistance,
        "current": current,
        "rotation": rotation,
        "torque": torque,
        "thrust": rotor.thrust(rotation, airspeed, density),
        "efflux_velocity": rotor.efflux_velocity(rotation, airspeed, density),
        "battery_power": source * current,
        "battery_loss": current**2 * system.battery.resistance,
        "controller_loss": current**2 * system.controller_resistance,
        "winding_loss": current**2 * motor.resistance,
        "no_load_loss": motor.no_load_current * rotation / motor.speed_constant,
        "rotor_loss": torque * rotation - jet,
        "jet_power": jet,
    }
    lanes = range(len(airspeed))
    return tuple(OperatingPoint(**{k: float(v[i]) for k, v in columns.items()}) for i in lanes)


def operating_point(system: ElectricSystem, airspeed: float, density: float) -> OperatingPoint:
    """Where the chain settles at one airspeed [m/s, kg/m3].

    Raises
    ------
    ValueError
        As `settled_rotation`.

    """
    return operating_points(system, np.array([float(airspeed)]), density)[0]


def electric_curve(
    system: ElectricSystem, density: float, top_airspeed: float = TOP_AIRSPEED
) -> ElectricCurve:
    """Operating points from rest to a little past the airspeed of no thrust [kg/m3, m/s].

    A monotone cubic through thrust at these airspeeds is within 0.1 % of static thrust.
    """

    def thrust(airspeed: Array) -> Array:
        rotation = settled_rotation(system, airspeed, density)
        return system.rotor.thrust(rotation, airspeed, density)

    zero = first_zero(thrust, top_airspeed)
    ends = zero >= top_airspeed
    airspeeds = curve_airspeeds(zero, top_airspeed)
    points = operating_points(system, airspeeds, density)
    notes = curve_notes(system.rotor, points)
    if ends:
        notes += (f"thrust has not vanished at {top_airspeed:.0f} m/s, where the curve ends",)
    return ElectricCurve(airspeeds, points, None if ends else zero, notes)


def curve_airspeeds(zero: float, top: float) -> Array:
    """Airspeeds for a curve whose thrust vanishes at `zero`, itself among them [m/s]."""
    even = np.linspace(0.0, min(zero, top), CURVE_POINTS)
    if zero >= top:
        return even
    extra = zero * np.array(NEAR_ZERO)
    return np.unique(np.concatenate([even, extra[extra <= top]]))


def curve_notes(rotor: Rotor, points: tuple[OperatingPoint, ...]) -> tuple[str, ...]:
    """Say what is out of range while the rotor pulls."""
    pulling = [point for point in points if point.thrust >= 0.0]
    rotation = np.array([point.rotation for point in pulling])
    airspeed = np.array([point.airspeed for point in pulling])
    notes: tuple[str, ...] = getattr(rotor, "notes", ())
    return notes + (rotor.remarks(rotation, airspeed) if pulling else ())
