"""Pitch inertia: estimated from size, or from swinging the model on two strings."""

import math

from sim.range import Range

GYRATION_SHARE = Range(0.15, 0.18, 0.21)
"""Radius of gyration in pitch over length [-]. Raymer, table 16.1 (from memory): jet fighter and
trainer 0.38/2 = 0.19; model jets carry pack and fan near the CG: judged a little lower."""


def estimated_inertia(mass: float, length: float) -> Range:
    """Pitch inertia about the CG [kg m2] of a model of a mass [kg] and length [m].

    `m (share length)^2`. Range: jets with pack and fan near the CG. Worked: 3.2 kg, 1.28 m:
    0.118, 0.170, 0.231. Source: `GYRATION_SHARE`.
    """
    shares = (GYRATION_SHARE.low, GYRATION_SHARE.typical, GYRATION_SHARE.high)
    return Range(*(mass * (share * length) ** 2 for share in shares))


def swung_inertia(
    mass: float, spacing: float, string_length: float, period: float, gravity: float = 9.80665
) -> float:
    """Inertia [kg m2] from a two-string swing; in pitch for an aeroplane hung on its side.

    `I = m g d^2 T^2/(16 pi^2 L)`, two equal strings of length L [m], d [m] apart about the CG,
    T [s] one full swing. Range: swings under 15 deg, L over d. Worked: 3.2 kg, d 0.5 m, L 1.5 m,
    T 2.0 s: 0.1325. Source: bifilar pendulum (derived: restoring moment m g d^2/(4 L) per radian).
    """
    return mass * gravity * spacing**2 * period**2 / (16 * math.pi**2 * string_length)
