"""Thin-aerofoil theory of the 4-digit mean line and of a plain flap.

Source: Glauert, *The Elements of Aerofoil and Airscrew Theory* (1926), ch. 7 and 11; mean line of
Jacobs, Ward, Pinkerton, NACA Report 460 (1933). Closed forms, derived anew here.
"""

import math
from functools import lru_cache

import numpy as np

from sim.aeroplane.geometry import Section
from sim.roll.aero_table import Array


def mean_line(section: Section, fraction: Array) -> Array:
    """Height over chord of the 4-digit mean line [-], carried on straight past the trailing edge.

    `z = m/p^2 (2 p x - x^2)` ahead of `p`, `m/(1-p)^2 (1 - 2 p + 2 p x - x^2)` behind it. Range:
    `0 <= x`, `0 < p < 1`. Worked: 2412 at x = 0.4 gives 0.02. Source: NACA Report 460 (1933).
    """
    m, p = section.camber, section.camber_position
    x = np.minimum(fraction, 1.0)
    front = m / p**2 * (2 * p * x - x**2)
    rear = m / (1 - p) ** 2 * (1 - 2 * p + 2 * p * x - x**2)
    return np.asarray(np.where(x < p, front, rear) - 2 * m / (1 - p) * (fraction - x))


@lru_cache(maxsize=64)
def _fourier(m: float, p: float) -> tuple[float, float, float]:
    """Glauert's A0 (without incidence), A1, A2 of the slope of a mean line, camber m at p [-]."""
    angle = math.acos(1 - 2 * p)
    ends = ((0.0, angle, 2 * m / p**2), (angle, math.pi, 2 * m / (1 - p) ** 2))
    sums = [0.0, 0.0, 0.0]
    # slope = k (p - x) = k (p - 1/2 + cos/2); integrate cos(n a) times it in closed form
    for lower, upper, k in ends:
        for n in range(3):
            constant = _cosine_integral(n, lower, upper) * (p - 0.5)
            linear = 0.25 * (
                _cosine_integral(n + 1, lower, upper) + _cosine_integral(abs(n - 1), lower, upper)
            )
            sums[n] += k * (constant + linear)
    return -sums[0] / math.pi, 2 * sums[1] / math.pi, 2 * sums[2] / math.pi


def _cosine_integral(order: int, lower: float, upper: float) -> float:
    """Integral of cos(order * a) da."""
    if order == 0:
        return upper - lower
    return (math.sin(order * upper) - math.sin(order * lower)) / order


def zero_lift_angle(section: Section) -> float:
    """Angle of zero lift [rad]: given, else from the mean line, `-(A0 + A1/2)`.

    Range: thin sections, attached flow. Worked: 2412 gives -2.077 deg. Source: Glauert, ch. 7.
    """
    if section.zero_lift_angle is not None:
        return section.zero_lift_angle
    a0, a1, _ = _fourier(section.camber, section.camber_position)
    return -(a0 + 0.5 * a1)


def quarter_moment(section: Section) -> float:
    """Moment coefficient about the quarter chord [-]: given, else `-pi/4 (A1 - A2)`.

    Range: thin sections, attached flow. Worked: 2412 gives -0.0531. Source: Glauert, ch. 7.
    """
    if section.moment is not None:
        return section.moment
    _, a1, a2 = _fourier(section.camber, section.camber_position)
    return -0.25 * math.pi * (a1 - a2)


def flap_values(chord_fraction: float) -> tuple[float, float, float]:
    """Glauert's plain flap: tau [-], lift per radian [1/rad], quarter-chord moment [1/rad].

    `theta = acos(2E - 1)`, `tau = 1 - (theta - sin theta)/pi`, lift `2 pi tau`, moment
    `-sin theta (1 - cos theta)/2` with cos theta of the hinge. Range: `0 < E < 1`, small
    deflection, no gap loss. Worked: E 0.25 gives 0.6090, 3.826, -0.650. Source: Glauert, ch. 7.
    """
    angle = math.acos(2 * chord_fraction - 1)
    tau = 1 - (angle - math.sin(angle)) / math.pi
    return tau, 2 * math.pi * tau, -0.5 * math.sin(angle) * (1 - math.cos(angle))
