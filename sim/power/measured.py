"""Measured thrust: a scale reading with a fall-off law, or a table of points."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.parameters import ThrustTable
from sim.roll.thrust import fall_off_thrust as fall_off_curve

FALL_OFF_SHARES = {"linear": 0.0, "quadratic": 1.0}
"""Share of the quadratic term in each fall-off law by name [-]."""


@dataclass(frozen=True)
class FallOff:
    """Static thrust falling to zero at an airspeed.

    Attributes
    ----------
    static_thrust: [N].
    zero_thrust_airspeed: [m/s].
    quadratic_share: 0 falls in a straight line, 1 with the square of airspeed [-].

    """

    static_thrust: float
    zero_thrust_airspeed: float
    quadratic_share: float


def fall_off(law: str | float, static_thrust: float, zero_thrust_airspeed: float) -> FallOff:
    """Turn a law's name, or the quadratic share itself, into numbers.

    Raises
    ------
    ValueError
        All that is wrong, in one message: unknown law, share outside 0 to 1, numbers not
        positive.

    """
    wrong = []
    share = FALL_OFF_SHARES.get(law) if isinstance(law, str) else law
    if share is None:
        wrong.append(f"fall-off '{law}' is not one of {', '.join(FALL_OFF_SHARES)}")
    elif not 0.0 <= share <= 1.0:
        wrong.append(f"quadratic share {share:g} is outside 0 to 1")
    if not static_thrust > 0.0:
        wrong.append(f"static thrust {static_thrust:g} N must be positive")
    if not zero_thrust_airspeed > 0.0:
        wrong.append(f"zero-thrust airspeed {zero_thrust_airspeed:g} m/s must be positive")
    if wrong or share is None:
        raise ValueError("; ".join(wrong))
    return FallOff(static_thrust, zero_thrust_airspeed, share)


def fall_off_thrust(law: FallOff, airspeed: Array | float) -> Array:
    """Thrust under a fall-off law, same shape as airspeed [m/s -> N].

    `T = T0 (1 - (1 - k) v - k v^2)`, v = V/V0, V >= 0, negative (windmilling drag) beyond V0;
    24 N, 74 m/s, k = 0 give 18.81 N at 16 m/s. Common practice.
    """
    return fall_off_curve(law, np.asarray(airspeed, dtype=np.float64))


def point_faults(airspeed: Sequence[float], thrust: Sequence[float]) -> tuple[str, ...]:
    """Everything that keeps thrust points [m/s, N] from being a curve; empty when usable."""
    if len(airspeed) != len(thrust):
        return (f"{len(airspeed)} airspeeds but {len(thrust)} thrusts",)
    if len(airspeed) < 2:
        return ("at least two thrust points are needed",)
    speeds, forces = np.asarray(airspeed, dtype=float), np.asarray(thrust, dtype=float)
    if not (np.all(np.isfinite(speeds)) and np.all(np.isfinite(forces))):
        return ("thrust points must be finite numbers",)
    faults = []
    if speeds[0] < 0.0:
        faults.append(f"first airspeed {speeds[0]:g} m/s is negative")
    for i in np.flatnonzero(np.diff(speeds) <= 0.0):
        faults.append(
            f"airspeeds must rise: point {i + 2} ({speeds[i + 1]:g} m/s) after {speeds[i]:g} m/s"
        )
    if not forces[0] > 0.0:
        faults.append(f"thrust of the first point, {forces[0]:g} N, must be positive")
    return tuple(faults)


def point_notes(table: ThrustTable) -> tuple[str, ...]:
    """What a reader should know about usable points: gaps filled, odd shapes."""
    notes = []
    if table.airspeed[0] > 0.0:
        notes.append(
            f"no thrust point at standstill: the curve goes on straight below"
            f" {table.airspeed[0]:g} m/s"
        )
    if np.any(np.diff(table.thrust) > 0.0):
        notes.append("thrust rises with airspeed between some points: check the readings")
    return tuple(notes)


def thrust_table(airspeed: Sequence[float], thrust: Sequence[float]) -> ThrustTable:
    """Thrust points ready for the roll, shapes (k,) [m/s, N].

    Raises
    ------
    ValueError
        With every fault of `point_faults`, in one message.

    """
    faults = point_faults(airspeed, thrust)
    if faults:
        raise ValueError("; ".join(faults))
    return ThrustTable(np.asarray(airspeed, dtype=float), np.asarray(thrust, dtype=float))
