"""The pull of the air on a hatch."""

from dataclasses import dataclass

from sim.range import Range

JUDGED = "judgement; the slender body and the ball are potential flow"


@dataclass(frozen=True)
class HatchPlace:
    """Pressure inside less pressure outside, over dynamic pressure [-], and why."""

    suction: Range
    why: str


PLACES: dict[str, HatchPlace] = {
    "nose": HatchPlace(Range(0.1, 0.5, 1.4), "a canopy: from a slender body to half a ball"),
    "top": HatchPlace(Range(0.2, 0.6, 1.3), "beside a lifting wing"),
    "side": HatchPlace(Range(0.1, 0.3, 0.7), "a slender body"),
    "belly": HatchPlace(Range(0.0, 0.2, 0.6), "under the wing, where the air presses"),
}
"""By the words of a scenario; an inside that the intake blows up adds up to one more."""


def outward_load(area: float, suction: float, density: float, speed: float) -> float:
    """Outward load on a hatch [N].

    `F = S (p_inside - p_outside) = S c q` [m2, kg/m3, m/s -> N]. Worked: 2.0 dm2, c 1.4, 1.225
    kg/m3, 50 m/s gives 42.9 N. Source: definition of the pressure coefficient; c is a judgement.
    """
    return area * suction * 0.5 * density * speed**2


def spheroid_suction(added_mass: float) -> float:
    """Largest suction on a slender body of revolution along the wind [-].

    `-c_p = (1 + k)^2 - 1`, k the added mass along the axis over that of the air pushed aside [-].
    Worked: length five times the thickness, k 0.059, gives 0.121; a ball, k 0.5, gives 1.25.
    Source: Lamb, Hydrodynamics (1932), art. 114 (from memory): the flow past the largest girth is
    `1 + k` times that far away.
    """
    return (1.0 + added_mass) ** 2 - 1.0
