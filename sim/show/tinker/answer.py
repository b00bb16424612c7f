"""What the page is told: at the start, and after every change."""

from dataclasses import dataclass, replace
from math import nan
from pathlib import Path
from typing import Any

from sim.prepare import prepare
from sim.report import Report
from sim.scenario import Scenario, ScenarioError, load_scenario, shipped_scenarios
from sim.scenario.problems import Problem
from sim.show.compare import ROWS, Named, Row
from sim.show.compare_keys import differences
from sim.show.compare_words import headline, lines, looked_at
from sim.show.replay.story import story
from sim.show.tinker.quick import quick_report
from sim.show.tinker.sliders import Slider, places, sliders_of
from sim.show.tinker.state import State, altered

LOADED, ALTERED = "As loaded", "As altered"


def _cg_station(report: Report) -> float:
    masses = report.prepared.masses
    return masses.total.station if masses else nan


NUMBERS = (
    *ROWS,
    Row("mass, changes included", "mass", lambda r: float(r.result.setup.parameters.mass)),
    Row("CG, station, changes included", "length", _cg_station),
)
"""Numbers of both rolls: those of a comparison, and what the aeroplane has become."""


@dataclass(frozen=True)
class Bench:
    """What a page works on.

    Attributes
    ----------
    name: of the scenario as given: a path, or the name of one that comes with the program.
    folder: where its file is, and where others are saved; the current one for the program's own.
    loaded: as in the file.
    report: its roll.
    sliders: the keys that can be altered.
    system: units shown.

    """

    name: str
    folder: Path
    loaded: Scenario
    report: Report
    sliders: tuple[Slider, ...]
    system: str = "si"

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys with a slider."""
        return tuple(slider.knob.key for slider in self.sliders)

    def altered(self, state: State) -> Scenario:
        """The scenario with a state of the page laid over it; raises `ScenarioError`."""
        return altered(self.loaded, state, self.keys)


def make_bench(name: str, system: str = "si") -> Bench:
    """Load a scenario, roll it and find its sliders.

    Raises
    ------
    ScenarioError
        When it cannot be rolled.

    """
    loaded = load_scenario(name)
    prepared = prepare(loaded)
    sliders = sliders_of(loaded, prepared, system)
    folder = Path() if name in shipped_scenarios() else Path(name).parent
    return Bench(name, folder, loaded, quick_report(prepared), sliders, system)


def opening(bench: Bench) -> dict[str, Any]:
    """What a page is built from: title, sliders, changes, the roll as loaded."""
    loaded = bench.loaded
    return {
        "title": loaded.title,
        "file": Path(bench.name).name,
        "sliders": [slider.record() for slider in bench.sliders],
        "places": places(bench.sliders, loaded, bench.report.prepared, bench.system),
        "changes": [{"name": name, "text": c.text} for name, c in loaded.changes.items()],
        "story": _story(bench.report, LOADED, bench.system),
    }


def answer(bench: Bench, state: State) -> dict[str, Any]:
    """The altered roll beside the loaded one, or what is wrong with it."""
    try:
        scenario = bench.altered(state)
        prepared = prepare(scenario)
    except ScenarioError as wrong:
        return {"problems": problem_records(wrong)}
    report = quick_report(prepared)
    both = Named(LOADED, bench.report), Named(ALTERED, report)
    found = differences(bench.loaded, scenario, bench.system)
    return {
        "story": _story(report, ALTERED, bench.system),
        "places": places(bench.sliders, scenario, prepared, bench.system),
        "headline": headline(*both, bench.system),
        "mind": looked_at(*both),
        "lines": [vars(line) for line in lines(*both, bench.system, NUMBERS)],
        "keys": [vars(difference) for difference in found],
    }


def problem_records(wrong: ScenarioError) -> list[dict[str, str]]:
    """Each mistake with its key and the message a file would get, but for the place in a file."""
    return [{"key": p.key, "text": _text(p)} for p in wrong.problems]


def _text(problem: Problem) -> str:
    return replace(problem, source="", line=None).text()


def _story(report: Report, title: str, system: str) -> dict[str, Any]:
    return story(report, system) | {"title": title}
