"""wheelsoff: a take-off-roll time-step simulator for model jets.

>>> import sim
>>> scenario = sim.load_scenario("meadow-jet")
>>> result = sim.simulate(scenario)
>>> result.verdict
<Verdict.AIRBORNE: 'airborne'>

The public names are those of `sim.api`; they are loaded when first used, so that importing the
package costs next to nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sim.api import Change as Change
    from sim.api import Event as Event
    from sim.api import Problem as Problem
    from sim.api import Report as Report
    from sim.api import Result as Result
    from sim.api import Scenario as Scenario
    from sim.api import ScenarioError as ScenarioError
    from sim.api import Settings as Settings
    from sim.api import Trace as Trace
    from sim.api import Verdict as Verdict
    from sim.api import build_ladder as build_ladder
    from sim.api import gear_window as gear_window
    from sim.api import load_scenario as load_scenario
    from sim.api import make_report as make_report
    from sim.api import parse_scenario as parse_scenario
    from sim.api import plan_spread as plan_spread
    from sim.api import roll_spread as roll_spread
    from sim.api import roll_vary as roll_vary
    from sim.api import search as search
    from sim.api import shipped_scenarios as shipped_scenarios
    from sim.api import simulate as simulate
    from sim.api import summary as summary
    from sim.api import with_changes as with_changes
    from sim.api import with_overrides as with_overrides
    from sim.api import worker_pool as worker_pool

PUBLIC = (
    "Change",
    "Event",
    "Problem",
    "Report",
    "Result",
    "Scenario",
    "ScenarioError",
    "Settings",
    "Trace",
    "Verdict",
    "build_ladder",
    "gear_window",
    "load_scenario",
    "make_report",
    "parse_scenario",
    "plan_spread",
    "roll_spread",
    "roll_vary",
    "search",
    "shipped_scenarios",
    "simulate",
    "summary",
    "with_changes",
    "with_overrides",
    "worker_pool",
)
"""Every public name."""


def __getattr__(name: str) -> Any:
    """Load a public name on first use."""
    if name in PUBLIC:
        return getattr(import_module("sim.api"), name)
    raise AttributeError(f"module 'sim' has no attribute {name!r}")


def __dir__() -> list[str]:
    """Public names."""
    return sorted(PUBLIC)
