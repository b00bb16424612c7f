"""What the parts may carry, against what they do carry at full throttle."""

from collections.abc import Sequence
from dataclasses import dataclass

from sim.power.operating import OperatingPoint


@dataclass(frozen=True)
class PowerLimits:
    """Limits given by the builder; None where none is.

    Attributes
    ----------
    battery_current, controller_current, motor_current: [A].
    motor_power: at the motor's wires [W].
    rotation: rated speed of the rotor [rad/s].

    """

    battery_current: float | None = None
    controller_current: float | None = None
    motor_current: float | None = None
    motor_power: float | None = None
    rotation: float | None = None


@dataclass(frozen=True)
class Margin:
    """One limit.

    Attributes
    ----------
    part: what carries it.
    quantity: what is limited, in words.
    key: where the limit was given.
    kind: kind of quantity, for units.
    limit: [SI].
    at_rest: value at rest, full throttle.
    most: largest value while the rotor pulls.
    airspeed: where that is [m/s].
    passed_from: lowest airspeed at which the limit is passed, or None [m/s].

    """

    part: str
    quantity: str
    key: str
    kind: str
    limit: float
    at_rest: float
    most: float
    airspeed: float
    passed_from: float | None = None

    @property
    def spare(self) -> float:
        """Limit less the largest value, negative beyond it."""
        return self.limit - self.most

    @property
    def exceeded(self) -> bool:
        """Whether the limit is passed anywhere while the rotor pulls."""
        return self.most > self.limit


@dataclass(frozen=True)
class Load:
    """What a part carries at the points of a curve, shape (k,)."""

    airspeeds: Sequence[float]
    values: Sequence[float]


ROWS = (
    ("battery", "current", "battery.most_current", "current", "battery_current"),
    ("controller", "current", "controller.most_current", "current", "controller_current"),
    ("motor", "current", "motor.most_current", "current", "motor_current"),
    ("motor", "power", "motor.most_power", "power", "motor_power"),
)
"""Part, quantity, key under `power`, kind, field of `PowerLimits`."""


def limit_keys(rotor: str, *, electric: bool) -> tuple[str, ...]:
    """Every key that could give a limit; `rotor` is "fan" or "propeller"."""
    keys = [f"power.{key}" for _, _, key, _, _ in ROWS] if electric else []
    return (*keys, f"power.{rotor}.most_rotation")


def electric_margins(
    points: Sequence[OperatingPoint], limits: PowerLimits, rotor: str
) -> tuple[Margin, ...]:
    """Every limit given, against the operating points at which the rotor pulls.

    `rotor` is "fan" or "propeller".
    """
    pulling = [point for point in points if point.thrust >= 0.0] or list(points[:1])
    speeds = [point.airspeed for point in pulling]
    currents = Load(speeds, [point.current for point in pulling])
    powers = Load(speeds, [point.motor_voltage * point.current for point in pulling])
    found = []
    for part, what, key, kind, field in ROWS:
        limit = getattr(limits, field)
        if limit is not None:
            load = powers if what == "power" else currents
            found.append(_margin((part, what, f"power.{key}", kind), limit, load))
    rotations = Load(speeds, [point.rotation for point in pulling])
    return (*found, *rotation_margin(rotations, limits, rotor))


def rotation_margin(load: Load, limits: PowerLimits, rotor: str) -> tuple[Margin, ...]:
    """The rotor's rated speed, when it is given."""
    if limits.rotation is None:
        return ()
    names = (rotor, "rotation", f"power.{rotor}.most_rotation", "rotation")
    return (_margin(names, limits.rotation, load),)


def _margin(names: tuple[str, str, str, str], limit: float, load: Load) -> Margin:
    most = max(load.values)
    place = load.airspeeds[list(load.values).index(most)]
    return Margin(*names, limit, load.values[0], most, place, _passed_from(load, limit))


def _passed_from(load: Load, limit: float) -> float | None:
    """Lowest airspeed past the limit, on straight lines between the points."""
    over = [i for i, value in enumerate(load.values) if value > limit]
    if not over:
        return None
    i = over[0]
    if i == 0:
        return load.airspeeds[0]
    (v0, v1), (a0, a1) = load.values[i - 1 : i + 1], load.airspeeds[i - 1 : i + 1]
    return a0 + (a1 - a0) * (limit - v0) / (v1 - v0)
