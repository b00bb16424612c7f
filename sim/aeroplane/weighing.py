"""Mass and CG from scales under the wheels, level and with the nose raised."""

from dataclasses import dataclass
from math import cos, sin, tan


def nose_axle_height(
    main: tuple[float, float, float], nose: tuple[float, float], attitude: float
) -> float:
    """Height of the nose axle that makes the aeroplane stand at an attitude [m].

    Both wheels touch: `(s_m - s_n) sin(t) + (z_n - z_m) cos(t) = R_n - R_m`.
    Range: less than a quarter turn. Worked: mains at 0.655/-0.118 m, 70 mm; nose at 0.210 m,
    65 mm; 1.5 deg: -0.1322 m. Source: own geometry, derived.

    Parameters
    ----------
    main
        station, axle height and diameter [m].
    nose
        station and diameter [m].
    attitude
        of the reference line, nose up [rad].

    """
    radii = 0.5 * (nose[1] - main[2])
    return main[1] - (main[0] - nose[0]) * tan(attitude) + radii / cos(attitude)


@dataclass(frozen=True)
class Wheels:
    """Axles: stations aft and heights up [m]."""

    nose_station: float
    nose_height: float
    main_station: float
    main_height: float


def level_station(nose: float, mains: float, wheels: Wheels) -> float:
    """Station of the CG [m] from the loads on the scales [kg], reference line level.

    `s = s_m - (s_m - s_n) N_n/(N_n + N_m)`. A wheel touches level scales straight below its
    axle, whatever its radius and whatever the height of the scales.
    Range: any. Worked: 0.32 kg nose, 2.78 kg mains, axles at 0.210 m and 0.655 m: 0.60906 m.
    Source: moments about the main axle; derived.
    """
    base = wheels.main_station - wheels.nose_station
    return wheels.main_station - base * nose / (nose + mains)


def tilted_height(station: float, share: float, angle: float, wheels: Wheels) -> float:
    """Height of the CG [m] from the nose wheel's share of the weight with the nose raised.

    A point `x` ahead of and `z` above the CG lies `r = x cos - z sin` ahead of it when the nose
    is raised by the angle. Moments about the CG give the share `n = -r_m/(r_n - r_m)`, hence
    `h = h_m - (n [(s_m - s_n) cos - (h_n - h_m) sin] - (s_m - s) cos)/sin` with `s` the station
    of the CG [m, rad].
    The wheels still touch straight below their axles, so their radius does not matter; at
    least one of nose and mains must be free to roll, or a push between them hides in the
    reading. Legs that spring out by a millimetre or two are left out.
    Range: 3 to 45 deg; the error of the height is `dn (s_m - s_n)/tan(angle)`.
    Worked: axles at 0.210/-0.124 m and 0.655/-0.118 m, CG station 0.60906 m, 12 deg,
    0.13895 of 3.10 kg: 0.0040 m.
    Source: statics; derived.
    """
    c, s = cos(angle), sin(angle)
    base = wheels.main_station - wheels.nose_station
    apart = base * c - (wheels.nose_height - wheels.main_height) * s
    return wheels.main_height - (share * apart - (wheels.main_station - station) * c) / s
