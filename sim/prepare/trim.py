"""The elevator a pilot expects to hold: what balances the aeroplane in the first climb."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.roll.aero_table import TAIL_LIFT, TAIL_MOMENT, WING_LIFT, WING_MOMENT, AeroTable

CLIMB_SPEED = 1.2
"""Airspeed of the first climb over stall speed; common practice."""
STEEPEST = np.radians(30.0)
LEAST_EFFECT = 1e-6
"""Moment per elevator angle over S c below which there is nothing to trim with [1/rad]."""


@dataclass(frozen=True)
class Climb:
    """How the first climb is flown.

    Attributes
    ----------
    stick: elevator that holds it [rad], within its limits; zero without an elevator. Pilots know it
        from flying; it is where the stick comes to rest.
    attitude: pitch to fly level at that airspeed [rad]; None without an elevator, or where straight
        lines would have to reach beyond 30 degrees.

    """

    stick: float
    attitude: float | None


def first_climb(p: Mapping[str, Any], table: AeroTable) -> Climb:
    """Trim at 1.2 times stall speed, from the roll's parameters and table."""
    trimmed = _trimmed(p, table)
    if trimmed is None:
        return Climb(0.0, None)
    alpha, elevator = trimmed
    stick = elevator / p["elevator_effect"] - p["elevator_mix_dropped"]
    within = min(max(stick, -p["elevator_down_limit"]), p["elevator_up_limit"])
    return Climb(float(within), alpha if abs(alpha) < STEEPEST else None)


def _trimmed(p: Mapping[str, Any], table: AeroTable) -> tuple[float, float] | None:
    """Incidence and effective elevator at 1.2 times stall speed [rad].

    Free air, linear, thrust left out: lift is CLmax/1.2^2 and the moment about the CG vanishes. Two
    equations in two unknowns, by Cramer's rule.
    """
    free = table.values[0]
    lift = (free[WING_LIFT] + free[TAIL_LIFT]).tolist()
    about_lift_point = (free[WING_MOMENT] + free[TAIL_MOMENT]).tolist()
    arm = p["lift_x"] / p["reference_chord"]
    moment = [m + arm * force for m, force in zip(about_lift_point, lift, strict=True)]
    flap = p["flap_dropped"]
    wanted = p["wing_max_lift_dropped"] / CLIMB_SPEED**2 - lift[0] - lift[2] * flap
    nil = -moment[0] - moment[2] * flap
    determinant = lift[1] * moment[3] - lift[3] * moment[1]
    if abs(moment[3]) < LEAST_EFFECT or abs(determinant) < LEAST_EFFECT:
        return None
    alpha = (wanted * moment[3] - lift[3] * nil) / determinant
    elevator = (lift[1] * nil - moment[1] * wanted) / determinant
    return float(alpha), float(elevator)
