"""The fuselage's own pitching moment: a slender body turns nose up in a stream.

Source: Munk, *The Aerodynamic Forces on Airship Hulls*, NACA Report 184 (1924); apparent-mass
factors of the prolate spheroid: Lamb, *Hydrodynamics*, 6th ed. (1932), art. 114 (closed form).
"""

import math

from sim.aeroplane.geometry import Body

FULLNESS = 0.70
"""Volume over length x width x depth x pi/4: judged for model bodies (0.60-0.85), no source."""


def apparent_mass_factor(fineness: float) -> float:
    """Munk's `k2 - k1` of a prolate spheroid [-].

    `e = sqrt(1 - 1/f^2)`, `a = 2 (1 - e^2)/e^3 (atanh e - e)`, `b = 1/e^2 - (1 - e^2)/e^3 atanh e`,
    `k1 = a/(2 - a)`, `k2 = b/(2 - b)`. Range: fineness `f > 1.001`. Worked: f = 4 gives 0.7778
    (0.860 - 0.082). Source: Lamb, art. 114; Munk, NACA Report 184 (1924).
    """
    e = math.sqrt(1 - 1 / fineness**2)
    rest = 1 - e * e
    along = 2 * rest / e**3 * (math.atanh(e) - e)
    across = 1 / e**2 - rest / e**3 * math.atanh(e)
    return across / (2 - across) - along / (2 - along)


def volume(body: Body) -> float:
    """Volume of the fuselage [m3], estimated from its largest measures.

    `FULLNESS pi/4 length width depth`. Range: rounded bodies with pointed ends. Worked:
    1.28 x 0.13 x 0.12 m: 0.01098. Source: definition; the fullness is a judgement.
    """
    return FULLNESS * math.pi / 4 * body.length * body.width * body.depth


def moment_slope(body: Body, area: float, chord: float) -> float:
    """Moment coefficient of the body per incidence, nose up positive [1/rad].

    `2 (k2 - k1) volume/(S c)`. Range: small incidence; wing upwash ahead and downwash behind are
    left out (they partly cancel). Worked: 1.28 x 0.13 x 0.12 m, S 0.3275 m2, c 0.3544 m: 0.1781.
    Source: Munk, NACA Report 184 (1924), eq. for the resultant couple.
    """
    fineness = max(1.01, body.length / math.sqrt(body.width * body.depth))
    return 2 * apparent_mass_factor(fineness) * volume(body) / (area * chord)
