"""What the builder writes: scenario files, units, models, changes laid over a base."""

from sim.scenario.changes import Change
from sim.scenario.fields import Trigger
from sim.scenario.files import find_scenario, shipped_scenarios
from sim.scenario.problems import Problem, ScenarioError
from sim.scenario.scenario import (
    LeftOut,
    Scenario,
    load_scenario,
    parse_scenario,
    with_changes,
    with_overrides,
)
from sim.scenario.strip import Resistance
from sim.scenario.units import Display, parse_quantity, quantity_text, to_display

__all__ = [
    "Change",
    "Display",
    "LeftOut",
    "Problem",
    "Resistance",
    "Scenario",
    "ScenarioError",
    "Trigger",
    "find_scenario",
    "load_scenario",
    "parse_quantity",
    "parse_scenario",
    "quantity_text",
    "shipped_scenarios",
    "to_display",
    "with_changes",
    "with_overrides",
]
