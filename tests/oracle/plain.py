"""A bare aeroplane with every effect switched off, to switch on one at a time in tests."""

from typing import Any

import numpy as np

from sim.roll.aero_table import COLUMNS, constant_table
from sim.roll.parameters import FIELD_NAMES, NEVER, Parameters, Setup

OFF = NEVER
_BASE: dict[str, Any] = (
    dict.fromkeys(FIELD_NAMES, 0.0)
    | dict.fromkeys(
        (
            "obstacle_distance",
            "zero_thrust_airspeed",
            "pull_place",
            "pull_airspeed",
            "pull_time",
            "drop_place",
            "drop_airspeed",
            "drop_time",
            "abort_place",
            "abort_airspeed",
        ),
        OFF,
    )
    | {
        "mass": 4.0,
        "pitch_inertia": 0.2,
        "main_x": -0.05,
        "main_z": -0.12,
        "main_radius": 0.03,
        "nose_x": 0.35,
        "nose_z": -0.12,
        "nose_radius": 0.03,
        "aft_x": -0.6,
        "aft_z": 0.0,
        "gravity": 9.81,
        "air_density": 1.225,
        "strip_length": 1e4,
        "screen_height": 2.0,
        "reference_area": 0.45,
        "reference_chord": 0.3,
        "tail_centre_x": -0.9,
        "wing_max_lift_up": 1e3,
        "wing_max_lift_dropped": 1e3,
        "wing_min_lift": 1e3,
        "tail_max_lift": 1e3,
        "tail_lag_length": 0.5,
        "elevator_effect": 1.0,
        "initial_spool": 1.0,
        "elevator_up_limit": 0.3,
        "elevator_down_limit": 0.2,
        "elevator_rate": 4.0,
        "drop_duration": 0.5,
        "reaction_time": 0.25,
        "notice_threshold": 0.035,
        "law_gain": 1.0,
        "law_lead": 0.2,
        "servo_lag": 0.05,
        "climb_attitude": 0.17,
        "thrust_kind": 0,
    }
)


def plain_setup(columns: dict[int, float] | None = None, **changes: Any) -> Setup:
    """Build a bare setup with some scalars and constant table columns given [SI]."""
    row = np.zeros(COLUMNS)
    for index, value in (columns or {}).items():
        row[index] = value
    return Setup(Parameters(**(_BASE | changes)), constant_table(row))
