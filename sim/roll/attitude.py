"""Where the contact points are: rotation into the strip frame and the attitude on the wheels."""

from typing import Any

import numpy as np


def cosine_and_sine(half: Any) -> tuple[Any, Any]:
    """Both of an angle by the tangent of its half, for a third of the work; within one turn.

    t = tan(a/2): cos(a) = (1 - t^2)/(1 + t^2), sin(a) = 2 t/(1 + t^2); tan(0.1) gives 0.98007,
    0.19867.
    """
    share = 2.0 / (1.0 + half * half)
    return share - 1.0, half * share


def rotated(x: Any, z: Any, cos_pitch: Any, sin_pitch: Any) -> tuple[Any, Any]:
    """Turn a body point into the strip frame, both relative to the CG [m]."""
    return x * cos_pitch - z * sin_pitch, x * sin_pitch + z * cos_pitch


def tilt_for_height(along: Any, up: Any, height: Any) -> Any:
    """Pitch at which a point stands a given height above another [rad]; inf when none does it.

    `along`, `up`: from the other point to this one, body axes [m]. Solves
    along sin(t) + up cos(t) = height for the root within a quarter turn of -atan2(up, along):
    0.5, -0.01, 0 give 0.0200 rad, the lower point must be raised. Own geometry.
    """
    share = height / np.hypot(along, up)
    tilt = np.arcsin(np.clip(share, -1.0, 1.0)) - np.arctan2(up, along)
    return np.where(np.abs(share) <= 1.0, tilt, np.inf)


def ground_attitude(p: Any) -> Any:
    """Pitch of the reference line with mains and nose wheel on the strip [rad].

    Solves (x_n - x_m) sin(theta) + (z_n - z_m) cos(theta) = R_n - R_m.
    """
    return tilt_for_height(p.nose_x - p.main_x, p.nose_z - p.main_z, p.nose_radius - p.main_radius)


def height_on_mains(p: Any, pitch: Any) -> Any:
    """Height of the CG with the mains touching at this pitch [m]."""
    return p.main_radius - p.main_x * np.sin(pitch) - p.main_z * np.cos(pitch)


def tail_strike_attitude(p: Any) -> Any:
    """Pitch at which the aft point meets the strip with the mains on it [rad].

    Solves (x_a - x_m) sin(theta) + (z_a - z_m) cos(theta) = -R_m, the root nose up.
    """
    return tilt_for_height(p.main_x - p.aft_x, p.main_z - p.aft_z, p.main_radius)


def nose_and_tail_attitude(p: Any) -> Any:
    """Pitch with nose wheel and aft point on the strip, the mains off it [rad]."""
    return tilt_for_height(p.nose_x - p.aft_x, p.nose_z - p.aft_z, p.nose_radius)
