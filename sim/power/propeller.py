"""Open propeller by its coefficients against advance ratio.

`T = C_T rho n^2 D^4`, `P = C_P rho n^3 D^5`, `J = V/(n D)`, n in revolutions per second: the
definitions of the trade. Jet power is what an ideal disc would need for the same thrust,
`T (V + w)` with `T = 2 rho A (V + w) w` (Rankine-Froude momentum theory), and the jet leaves at
`V + 2 w`. No propeller can use less: tables that claim it are refused.
"""

from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from sim.power.bench import BenchReading, checked_state
from sim.power.fan import disc_area
from sim.power.motor import Motor
from sim.power.propeller_curves import PitchCurve, TableCurve
from sim.power.propeller_table import PropellerPoints, propeller_points
from sim.power.rotor import tip_remarks
from sim.range import Range
from sim.roll.aero_table import Array

PITCH_SPEED_FACTOR = Range(1.05, 1.15, 1.25)
"""Airspeed of no thrust over pitch speed, label pitch (from memory, no source) [-]."""


class Curve(Protocol):
    """Coefficients against advance ratio."""

    @property
    def known_to(self) -> float:
        """Largest advance ratio with something behind it [-]."""

    def thrust_coefficient(self, advance_ratio: Array) -> Array:
        """C_T, same shape [-]."""

    def power_coefficient(self, advance_ratio: Array) -> Array:
        """C_P, same shape [-]."""


@dataclass(frozen=True)
class Propeller:
    """A propeller of known coefficients.

    Attributes
    ----------
    diameter: [m].
    curve: its coefficients.
    notes: remarks on where they come from.

    """

    diameter: float
    curve: Curve
    notes: tuple[str, ...] = field(default=())

    def __post_init__(self) -> None:
        if not self.diameter > 0.0:
            raise ValueError("propeller diameter must be positive")

    def advance_ratio(self, rotation: Array | float, airspeed: Array | float) -> Array:
        """`J = V/(n D)` [rad/s, m/s -> -]; 20 m/s, 100 rev/s, 0.25 m give 0.8. By definition."""
        return np.asarray(2.0 * np.pi * np.asarray(airspeed) / (rotation * self.diameter))

    def thrust(self, rotation: Array | float, airspeed: Array | float, density: float) -> Array:
        """`T = C_T rho n^2 D^4` [N]; 0.1, 1.225, 100 rev/s, 0.25 m give 4.785 N. By definition."""
        scale = density * (np.asarray(rotation) / (2.0 * np.pi)) ** 2 * self.diameter**4
        return scale * self.curve.thrust_coefficient(self.advance_ratio(rotation, airspeed))

    def shaft_torque(
        self, rotation: Array | float, airspeed: Array | float, density: float
    ) -> Array:
        """`Q = C_P rho n^2 D^5/(2 pi)` [N m]; 0.05, 1.225, 100 rev/s, 0.25 m give 0.0952 N m."""
        scale = density * (np.asarray(rotation) / (2.0 * np.pi)) ** 2 * self.diameter**5
        coefficient = self.curve.power_coefficient(self.advance_ratio(rotation, airspeed))
        return scale * coefficient / (2.0 * np.pi)

    def efflux_velocity(
        self, rotation: Array | float, airspeed: Array | float, density: float
    ) -> Array:
        """`V + 2 w = sqrt(V^2 + 2 T/(rho A))` [m/s]; 10 N, 500 cm2, at rest give 18.07 m/s.

        From `T = 2 rho A (V + w) w`, momentum theory; curves never brake past its range.
        """
        area = disc_area(self.diameter)
        force = self.thrust(rotation, airspeed, density)
        return np.asarray(np.sqrt(np.asarray(airspeed) ** 2 + 2.0 * force / (density * area)))

    def jet_power(self, rotation: Array | float, airspeed: Array | float, density: float) -> Array:
        """`P = T (V + w)` [W]; 10 N, 500 cm2, at rest give 90.4 W. Momentum theory."""
        efflux = self.efflux_velocity(rotation, airspeed, density)
        return np.asarray(0.5 * self.thrust(rotation, airspeed, density) * (airspeed + efflux))

    def remarks(self, rotation: Array | float, airspeed: Array | float) -> tuple[str, ...]:
        """Say what lies outside the range this propeller is known in."""
        furthest = float(np.max(self.advance_ratio(rotation, airspeed)))
        beyond: tuple[str, ...] = ()
        if furthest > self.curve.known_to * (1.0 + 1e-9):
            beyond = (
                f"advance ratio up to {furthest:.2f} where the propeller is known to"
                f" {self.curve.known_to:.2f}: goes on straight, down to a braking floor",
            )
        return beyond + tip_remarks(self, rotation)


def propeller_from_points(diameter: float, points: PropellerPoints) -> Propeller:
    """Propeller of tabulated coefficients [m, -]."""
    curve = TableCurve(points.advance_ratio, points.thrust_coefficient, points.power_coefficient)
    return Propeller(diameter, curve, points.notes + curve.end_remarks())


def propeller_from_table(diameter: float, text: str, static_text: str | None = None) -> Propeller:
    """Propeller from the text of a table, and of a static one if there is [m].

    Raises
    ------
    ValueError
        With every fault found in the texts, in one message.

    """
    return propeller_from_points(diameter, propeller_points(text, static_text))


def propeller_from_static(
    diameter: float,
    pitch: float,
    thrust: float,
    rotation: float,
    shaft_power: float,
    density: float,
    pitch_factor: float = PITCH_SPEED_FACTOR.typical,
) -> Propeller:
    """Propeller from label sizes and one reading at rest [m, m, N, rad/s, W, kg/m3, -].

    `C_T0 = T/(rho n^2 D^4)`, `J_0 = factor pitch/D`, merit `M = T^1.5/(P sqrt(2 rho A))`; 10 N, 150
    rev/s, 0.25 m, 0.15 m, 180 W, 1.225 give C_T0 0.0929, J_0 0.69, M 0.507. By definition; curves
    between as `PitchCurve` says.

    Raises
    ------
    ValueError
        When sizes or readings are not positive, or more thrust is claimed than momentum theory
        allows.

    """
    if min(diameter, pitch, thrust, rotation, shaft_power, density, pitch_factor) <= 0.0:
        raise ValueError("propeller sizes and readings must be positive")
    ideal = thrust**1.5 / np.sqrt(2.0 * density * disc_area(diameter))
    merit = float(ideal / shaft_power)
    if merit > 1.0:
        raise ValueError(
            f"{thrust:.3g} N needs {ideal:.0f} W from an ideal propeller of this diameter, more"
            f" than the {shaft_power:.0f} W given"
        )
    scale = density * (rotation / (2.0 * np.pi)) ** 2 * diameter**4
    curve = PitchCurve(thrust / scale, pitch_factor * pitch / diameter, merit)
    known = PITCH_SPEED_FACTOR
    notes: tuple[str, ...] = ()
    if not known.low <= pitch_factor <= known.high:
        notes = (f"pitch factor {pitch_factor:g} is outside {known.low:g} to {known.high:g}",)
    return Propeller(diameter, curve, notes)


def anchored_propeller(
    reading: BenchReading,
    motor: Motor,
    controller_resistance: float,
    diameter: float,
    pitch: float,
    pitch_factor: float = PITCH_SPEED_FACTOR.typical,
) -> Propeller:
    """Propeller that gives back an electric bench reading [V, A, N, m].

    Raises
    ------
    ValueError
        For an impossible reading, with all its faults.

    """
    area = disc_area(diameter)
    state = checked_state(reading, motor, controller_resistance, area, ducted=False)
    return propeller_from_static(
        diameter,
        pitch,
        reading.thrust,
        state.rotation,
        state.shaft_power,
        reading.density,
        pitch_factor,
    )
