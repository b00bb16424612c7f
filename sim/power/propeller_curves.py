"""Coefficients of propellers against advance ratio: through points, or from pitch alone."""

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from sim.roll.aero_table import Array

if TYPE_CHECKING:
    from scipy.interpolate import PchipInterpolator

BRAKING_SHARE = 0.3
"""Largest braking thrust coefficient over the largest pulling one (judgement) [-]."""


def ideal_power_coefficient(advance_ratio: Array, thrust_coefficient: Array) -> Array:
    """Least power coefficient for a thrust coefficient [- -> -].

    `C_P = C_T (J + sqrt(J^2 + 8 C_T/pi))/2`, `C_T > -pi J^2/8`; J 0.5, C_T 0.1 give 0.0604.
    From `P = T (V + w)`, `T = 2 rho A (V + w) w`: Rankine-Froude momentum theory.
    """
    root = np.sqrt(advance_ratio**2 + 8.0 * thrust_coefficient / np.pi)
    return np.asarray(thrust_coefficient * (advance_ratio + root) / 2.0)


def braking_floor(advance_ratio: Array, largest: float) -> Array:
    """Thrust coefficient under which a windmilling propeller is not followed [- -> -].

    `-min(0.3 C_Tmax, pi J^2/9)`; J 0.9, C_Tmax 0.1 give -0.03. The second is Betz's disc, a thrust
    of 8/9 of the dynamic pressure on it (momentum theory); the first a judgement.
    """
    return np.asarray(-np.minimum(BRAKING_SHARE * largest, np.pi * advance_ratio**2 / 9.0))


@dataclass(frozen=True)
class TableCurve:
    """Monotone cubics through points, straight beyond them.

    Below the first point level, beyond the last straight on with the end's slope: thrust down to
    `braking_floor`, power never below zero nor below what an ideal disc would need. An end
    at which thrust rises is held level.

    Attributes
    ----------
    advance_ratios: shape (k,), rising [-].
    thrust: C_T, shape (k,) [-].
    power: C_P, shape (k,) [-].

    """

    advance_ratios: Array
    thrust: Array
    power: Array

    @property
    def known_to(self) -> float:
        """Last advance ratio [-]."""
        return float(self.advance_ratios[-1])

    @cached_property
    def _cubics(self) -> "tuple[PchipInterpolator, PchipInterpolator]":
        from scipy.interpolate import PchipInterpolator  # noqa: PLC0415 - slow to import

        j = self.advance_ratios
        return PchipInterpolator(j, self.thrust), PchipInterpolator(j, self.power)

    @cached_property
    def _end_slopes(self) -> tuple[float, float]:
        """Slopes of C_T and C_P beyond the last point; no rise of thrust is carried on."""
        thrust, power = (float(c.derivative()(self.known_to)) for c in self._cubics)
        return min(thrust, 0.0), power if thrust < 0.0 else 0.0

    def thrust_coefficient(self, advance_ratio: Array) -> Array:
        """C_T, same shape as the advance ratio [-]."""
        within = np.clip(advance_ratio, self.advance_ratios[0], self.known_to)
        inside = self._cubics[0](within)
        straight = self.thrust[-1] + self._end_slopes[0] * (advance_ratio - self.known_to)
        floor = np.minimum(
            braking_floor(advance_ratio, float(np.max(self.thrust))), self.thrust[-1]
        )
        beyond = np.maximum(straight, floor)
        return np.asarray(np.where(advance_ratio > self.known_to, beyond, inside))

    def power_coefficient(self, advance_ratio: Array) -> Array:
        """C_P, same shape as the advance ratio [-]."""
        within = np.clip(advance_ratio, self.advance_ratios[0], self.known_to)
        inside = self._cubics[1](within)
        straight = self.power[-1] + self._end_slopes[1] * (advance_ratio - self.known_to)
        pulling = np.maximum(self.thrust_coefficient(advance_ratio), 0.0)
        least = ideal_power_coefficient(np.asarray(advance_ratio), pulling)
        beyond = np.maximum(np.maximum(straight, least), 0.0)
        return np.asarray(np.where(advance_ratio > self.known_to, beyond, inside))

    def end_remarks(self) -> tuple[str, ...]:
        """Say what is filled in at either end."""
        remarks = []
        if self.advance_ratios[0] > 0.0:
            remarks.append(
                f"propeller table starts at advance ratio {self.advance_ratios[0]:.3g}:"
                " coefficients are held level down to standstill; static points would be better"
            )
        if self._end_slopes[0] == 0.0:
            remarks.append("thrust does not fall at the end of the propeller table: held level")
        return tuple(remarks)


@dataclass(frozen=True)
class PitchCurve:
    """Thrust coefficient falling in a straight line, a constant share of power well used.

    `C_T = C_T0 (1 - J/J_0)` down to `braking_floor`; `C_P = C_P,ideal(J, C_T)/M`, zero where there
    is no thrust. With merit M at most one the efficiency `J C_T/C_P` is M times the actuator
    disc's, so it never passes that, at any J. (The usual parabola `C_P0 (1 - (J/J_0)^2)` has
    efficiency `C_T0 J/(C_P0 (1 + J/J_0))`, above one near J_0 once C_T0 J_0 > 2 C_P0.) What it
    costs: cruise efficiency is read too low, since static losses from half-stalled blades shrink
    in flight. Meant from rest to about half of J_0, where take-off runs are.

    Attributes
    ----------
    static_thrust_coefficient: C_T0 [-].
    zero_thrust_ratio: J_0 [-].
    merit: M, ideal over real power at rest [-].

    """

    static_thrust_coefficient: float
    zero_thrust_ratio: float
    merit: float

    @property
    def known_to(self) -> float:
        """Advance ratio of no thrust [-]."""
        return self.zero_thrust_ratio

    def thrust_coefficient(self, advance_ratio: Array) -> Array:
        """`C_T = C_T0 (1 - J/J_0)` [-]; 0.1, J 0.3 of 0.6 give 0.05. Common practice."""
        straight = self.static_thrust_coefficient * (1.0 - advance_ratio / self.zero_thrust_ratio)
        return np.maximum(straight, braking_floor(advance_ratio, self.static_thrust_coefficient))

    def power_coefficient(self, advance_ratio: Array) -> Array:
        """`C_P = C_P,ideal/M` [-]; J 0.5, C_T 0.1, M 0.6 give 0.1006. Momentum theory."""
        pulling = np.maximum(self.thrust_coefficient(advance_ratio), 0.0)
        return ideal_power_coefficient(np.asarray(advance_ratio), pulling) / self.merit
