"""The elevator a pilot expects to hold: what balances the aeroplane in the first climb."""

from typing import Any

import numpy as np

from sim.roll.aero_table import TAIL_LIFT, TAIL_MOMENT, WING_LIFT, WING_MOMENT, AeroTable

CLIMB_SPEED = 1.2
"""Airspeed of the first climb over stall speed; common practice."""
STEEPEST = np.radians(30.0)
LEAST_EFFECT = 1e-6
"""Moment per elevator angle over S c below which there is nothing to trim with [1/rad]."""


def trim_elevator(p: dict[str, Any], table: AeroTable) -> float:
    """Stick elevator that holds the first climb [rad], within its limits; zero without one.

    Pilots know it from flying; it is where the stick comes to rest.
    """
    trimmed = _trimmed_climb(p, table)
    if trimmed is None:
        return 0.0
    stick = trimmed[1] / p["elevator_effect"] - p["elevator_mix_dropped"]
    return float(np.clip(stick, -p["elevator_down_limit"], p["elevator_up_limit"]))


def attitude_to_fly(p: dict[str, Any], table: AeroTable) -> float | None:
    """Pitch to fly level at 1.2 times stall speed [rad].

    None without an elevator, or where straight lines would have to reach beyond 30 degrees.
    """
    trimmed = _trimmed_climb(p, table)
    return trimmed[0] if trimmed and abs(trimmed[0]) < STEEPEST else None


def _trimmed_climb(p: dict[str, Any], table: AeroTable) -> tuple[float, float] | None:
    """Incidence and effective elevator at 1.2 times stall speed [rad].

    Free air, linear, thrust left out: lift is CLmax/1.2^2 and the moment about the CG vanishes.
    """
    free = table.values[0]
    lift = free[WING_LIFT] + free[TAIL_LIFT]
    about_lift_point = free[WING_MOMENT] + free[TAIL_MOMENT]
    moment = about_lift_point + lift * p["lift_x"] / p["reference_chord"]
    flap = p["flap_dropped"]
    wanted = p["wing_max_lift_dropped"] / CLIMB_SPEED**2
    matrix = np.array([[lift[1], lift[3]], [moment[1], moment[3]]])
    right = np.array([wanted - lift[0] - lift[2] * flap, -moment[0] - moment[2] * flap])
    if abs(moment[3]) < LEAST_EFFECT or abs(np.linalg.det(matrix)) < LEAST_EFFECT:
        return None
    alpha, elevator = np.linalg.solve(matrix, right)
    return float(alpha), float(elevator)
