"""From a scenario to the numbers of its roll: every estimate made here, and marked."""

from sim.prepare.prepared import Estimate, Prepared
from sim.prepare.scenario import prepare

__all__ = ["Estimate", "Prepared", "prepare"]
