"""How far parts stay off the ground."""

from collections.abc import Iterable
from math import cos, sin

from sim.roll.attitude import height_on_mains
from sim.roll.parameters import Parameters

GRASS: dict[str, float] = {
    "pavement": 0.0,
    "matting": 0.0,
    "short grass": 0.020,
    "mown grass": 0.040,
    "long grass": 0.080,
    "wet grass": 0.040,
    "soft ground": 0.0,
}
"""Tallest grass of each surface as its own description has it [m]; wet grass is mown grass."""


def gap(p: Parameters, points: Iterable[tuple[float, float]], pitch: float) -> float:
    """Lowest of some body points over the strip with the mains on it [m].

    `h = Z + x sin(theta) + z cos(theta)`, Z the CG's height on the mains at that pitch [m, rad].
    Worked: mains 0.13 behind and 0.12 below the CG, wheels of 0.03 m radius: a point 0.3 behind and
    0.05 below it is 0.1000 m up at 0 and 0.0699 m at 0.172 rad. Source: own geometry.
    """
    height = float(height_on_mains(p, pitch))
    return min(height + x * sin(pitch) + z * cos(pitch) for x, z in points)


def trailing_edge(
    leading: tuple[float, float], chord: float, hinged: float, angles: tuple[float, float]
) -> tuple[float, float]:
    """Trailing edge of a flap that is down: body x and z [m].

    `x = x_0 - c (1 - E) cos i - c E cos(i + d)`, `z = z_0 - c (1 - E) sin i - c E sin(i + d)`, i
    the incidence, d the deflection [m, rad]. Worked: from the origin, chord 0.2 m, E 0.25, i 0,
    d 0.5236 (30 deg) gives -0.1933, -0.0250. Source: own geometry.
    """
    incidence, down = angles
    fixed, moved = chord * (1.0 - hinged), chord * hinged
    x = leading[0] - fixed * cos(incidence) - moved * cos(incidence + down)
    z = leading[1] - fixed * sin(incidence) - moved * sin(incidence + down)
    return x, z
