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
