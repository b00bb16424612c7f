"""Where the contact points are: rotation into the strip frame and the attitude on the wheels."""

from typing import Any

import numpy as np


def rotated(x: Any, z: Any, cos_pitch: Any, sin_pitch: Any) -> tuple[Any, Any]:
    """Turn a body point into the strip frame, both relative to the CG [m]."""
    return x * cos_pitch - z * sin_pitch, x * sin_pitch + z * cos_pitch


def _resting(along: Any, up: Any, rise: Any) -> Any:
    """Solve along sin(theta) + up cos(theta) = rise for the root between -90 and 90 degrees."""
    return np.arcsin(rise / np.hypot(along, up)) - np.arctan2(up, along)


def ground_attitude(p: Any) -> Any:
    """Pitch of the reference line with mains and nose wheel on the strip [rad].

    Solves (x_n - x_m) sin(theta) + (z_n - z_m) cos(theta) = R_n - R_m.
    """
    return _resting(p.nose_x - p.main_x, p.nose_z - p.main_z, p.nose_radius - p.main_radius)


def height_on_mains(p: Any, pitch: Any) -> Any:
    """Height of the CG with the mains touching at this pitch [m]."""
    return p.main_radius - p.main_x * np.sin(pitch) - p.main_z * np.cos(pitch)


def tail_strike_attitude(p: Any) -> Any:
    """Pitch at which the aft point meets the strip with the mains on it [rad].

    Solves (x_a - x_m) sin(theta) + (z_a - z_m) cos(theta) = -R_m, the root nose up.
    """
    return _resting(p.main_x - p.aft_x, p.main_z - p.aft_z, p.main_radius)


def nose_and_tail_attitude(p: Any) -> Any:
    """Pitch with nose wheel and aft point on the strip, the mains off it [rad]."""
    return _resting(p.nose_x - p.aft_x, p.nose_z - p.aft_z, p.nose_radius)
