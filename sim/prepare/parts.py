"""What a check of the parts wants beside the numbers of the roll."""

from dataclasses import dataclass

from sim.aeroplane.geometry import Aeroplane
from sim.prepare.draft import Draft
from sim.prepare.measured import aeroplane_of, flap_angles
from sim.scenario import Scenario
from sim.scenario.limits import Limits


@dataclass(frozen=True)
class Parts:
    """Parts as the builder gave them.

    Attributes
    ----------
    limits: what they stand; every key may be missing.
    plane: geometry, None for an aeroplane of given coefficients.
    cg: station and height of the CG [m].
    flap_angles: deflection at the start and after dropping [rad].
    rotor: "propeller" or "fan" and its diameter [m], or None.
    scrapes: whether the point that scrapes first is given.
    surface, roughness: of the strip, as written, or None.

    """

    limits: Limits
    plane: Aeroplane | None
    cg: tuple[float, float]
    flap_angles: tuple[float, float]
    rotor: tuple[str, float] | None
    scrapes: bool
    surface: str | None
    roughness: str | None


def parts_of(scenario: Scenario, coefficients: dict[str, float]) -> Parts:
    """Gather them; `coefficients` are those of the scenario made ready."""
    measured = scenario.aeroplane.coefficients is None
    power = scenario.power
    turning = power.propeller or power.fan
    name = "propeller" if power.propeller else "fan"
    # a draft of its own: what is estimated here was told already when the roll was made ready
    draft = Draft(coefficients=dict(coefficients))
    return Parts(
        limits=scenario.aeroplane.limits or Limits(),
        plane=aeroplane_of(draft, scenario) if measured else None,
        cg=(coefficients["cg_station_m"], coefficients["cg_height_m"]),
        flap_angles=flap_angles(scenario),
        rotor=(name, turning.diameter) if turning else None,
        scrapes=scenario.aeroplane.scrape_point is not None,
        surface=scenario.strip.surface,
        roughness=scenario.strip.roughness,
    )
