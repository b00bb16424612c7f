"""What a shaft turns: the load a motor or engine sees, whether ducted fan or open propeller.

Speeds of rotation are in rad/s, airspeeds in m/s and never negative, densities in kg/m3. All
four arguments of flow may be arrays that broadcast; the answers have the broadcast shape.
"""

from typing import Protocol, runtime_checkable

import numpy as np

from sim.roll.aero_table import Array

RPM = 2.0 * np.pi / 60.0
"""One revolution per minute [rad/s]."""

TIP_SPEED_LIMIT = 255.0
"""Tip speed above which coefficients without Mach number mislead, three quarters of the speed
of sound at 15 degC (judgement, no source) [m/s]."""


@runtime_checkable
class Rotor(Protocol):
    """A load that makes thrust. Jet power is the rate of work an ideal rotor would need [W]."""

    @property
    def diameter(self) -> float:
        """Tip diameter [m]."""

    def shaft_torque(
        self, rotation: Array | float, airspeed: Array | float, density: float
    ) -> Array:
        """Torque asked of the shaft [N m]."""

    def thrust(self, rotation: Array | float, airspeed: Array | float, density: float) -> Array:
        """Thrust, negative when the rotor brakes [N]."""

    def jet_power(self, rotation: Array | float, airspeed: Array | float, density: float) -> Array:
        """Power given to the air if nothing were lost in the rotor [W]."""

    def efflux_velocity(
        self, rotation: Array | float, airspeed: Array | float, density: float
    ) -> Array:
        """Velocity of the jet far behind, seen from the aeroplane [m/s]."""

    def remarks(self, rotation: Array | float, airspeed: Array | float) -> tuple[str, ...]:
        """What lies outside the range this rotor is known in."""


def tip_remarks(rotor: Rotor, rotation: Array | float) -> tuple[str, ...]:
    """Say so when the tips run near the speed of sound [rad/s]."""
    fastest = float(np.max(np.asarray(rotation))) * rotor.diameter / 2.0
    if fastest <= TIP_SPEED_LIMIT:
        return ()
    return (
        f"rotor tips at {fastest:.0f} m/s: beyond {TIP_SPEED_LIMIT:.0f} m/s air is compressed"
        " there, which the thrust and torque here know nothing of",
    )
