"""The Python interface in one page: load a scenario, simulate it, look at columns as arrays."""

from sim.prepare import prepare
from sim.report import Report, build_report, summary
from sim.roll.engine import Settings
from sim.roll.result import Event, Result, simulate_setup
from sim.roll.trace import Trace
from sim.roll.verdict import Verdict
from sim.scenario import (
    Change,
    Problem,
    Scenario,
    ScenarioError,
    load_scenario,
    parse_scenario,
    shipped_scenarios,
    with_changes,
    with_overrides,
)
from sim.study.executors import worker_pool
from sim.study.find import search
from sim.study.gear_window import gear_window
from sim.study.ladder import build_ladder
from sim.study.spread import plan_spread, roll_spread
from sim.study.vary import roll_vary


def simulate(scenario: Scenario, settings: Settings | None = None) -> Result:
    """Roll one scenario from rest to its end.

    Parameters
    ----------
    scenario
        as loaded by `load_scenario` or `parse_scenario`.
    settings
        tolerance of the integration; the usual one when left out.

    Returns
    -------
    Result
        Verdict, events and `trace`, whose columns are arrays in SI units and radians:
        `simulate(scenario).trace["airspeed"]` has shape (n,) [m/s].

    """
    return simulate_setup(prepare(scenario).setup, settings or Settings())


def make_report(scenario: Scenario, settings: Settings | None = None) -> Report:
    """Roll one scenario and the small changes that might help, and gather what is worth telling.

    Parameters
    ----------
    scenario, settings
        as for `simulate`.

    Returns
    -------
    Report
        Reason, advice, nose-load budget, stance, speeds and how hard it rotates.

    """
    return build_report(prepare(scenario), settings or Settings())


__all__ = [
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
]
