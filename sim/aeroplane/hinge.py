"""Moment about the hinge of a plain flap, by thin-aerofoil theory in closed form.

Derived here from Glauert's series: incidence alone gives the pressure difference
`4 alpha cot(t/2)`, a flap turned by `delta` behind `t_h` adds `A_0 = delta (pi - t_h)/pi` and
`A_n = 2 delta sin(n t_h)/(n pi)`; the sum over n is a logarithm, and integrating by parts leaves
what stands below. Source: Glauert, ARC R&M 1095 (1927); *The Elements of Aerofoil and Airscrew
Theory* (1926), ch. 7 (both from memory); checked against a numerical integral. Real flaps with a
boundary layer and a gap take some seven to nine tenths of it, so the theory is on the safe side.
"""

import math


def _ahead_and_sine(chord_fraction: float) -> tuple[float, float, float]:
    """`phi = pi - t_h`, cosine and sine of the hinge's angle `t_h = acos(2E - 1)`."""
    cosine = 2.0 * chord_fraction - 1.0
    angle = math.acos(cosine)
    return math.pi - angle, cosine, math.sin(angle)


def moment_per_incidence(chord_fraction: float) -> float:
    """Hinge-moment coefficient per incidence, `b1`, on the flap's own chord [1/rad].

    `b1 = -[(pi - t_h)(cos t_h - 1/2) + sin t_h (1 - cos(t_h)/2)]/E^2`, trailing edge down
    positive [-]. Range: `0 < E <= 1`, thin, small angles. Worked: E 0.25 gives -0.565; the whole
    section turned about its leading edge (E = 1) gives -pi/2. Source: Glauert, R&M 1095.
    """
    phi, cosine, sine = _ahead_and_sine(chord_fraction)
    return -(phi * (cosine - 0.5) + sine * (1.0 - 0.5 * cosine)) / chord_fraction**2


def moment_per_angle_at_lift(chord_fraction: float) -> float:
    """Hinge-moment coefficient per deflection with the lift held, `b2 - tau b1` [1/rad].

    `b = -sin t_h (1 - cos t_h)(pi - t_h - sin t_h)/(2 pi E^2)` [-]. Range: as above; E = 1 gives
    zero, as a flap that is the whole section lifts by incidence alone. Worked: E 0.25 gives
    -0.599. Source: Glauert, R&M 1095.
    """
    phi, cosine, sine = _ahead_and_sine(chord_fraction)
    return -sine * (1.0 - cosine) * (phi - sine) / (2.0 * math.pi * chord_fraction**2)


def moment_per_lift(chord_fraction: float) -> float:
    """Hinge-moment coefficient per section lift coefficient with the flap straight, `b1/(2 pi)`.

    `C_h = b1/(2 pi) c_l + (b2 - tau b1) delta` then holds for any surface whose local lift is
    known [-]. Range: as above. Worked: E 0.25 gives -0.0900. Source: Glauert, R&M 1095.
    """
    return moment_per_incidence(chord_fraction) / (2.0 * math.pi)
