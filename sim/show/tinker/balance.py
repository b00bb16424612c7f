"""A CG set by hand where the scenario has a weighing instead of one.

A CG station takes the place of the whole weighing, so the mass from the scales, and the height if
it was weighed tilted too, are laid over the scenario together with it.
"""

from sim.prepare.prepared import Prepared
from sim.scenario import Scenario

STATION = "aeroplane.cg.station"


def weighed_station(scenario: Scenario, prepared: Prepared) -> float | None:
    """Station of the CG from the scales [m]; None where it was not weighed."""
    if scenario.aeroplane.weighing is None or prepared.masses is None:
        return None
    return prepared.masses.base.station


def kept_of_weighing(scenario: Scenario, prepared: Prepared) -> list[str]:
    """Overrides that keep what else the weighing told; empty where it was not weighed."""
    weighing = scenario.aeroplane.weighing
    if weighing is None or prepared.masses is None:
        return []
    base = prepared.masses.base
    kept = [f"aeroplane.mass={base.mass!r} kg"]
    if weighing.tilted is not None:
        kept.append(f"aeroplane.cg.height={base.height!r} m")
    return kept
