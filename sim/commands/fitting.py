"""What `fit` does, one small step each: read, reduce, save, print."""

from pathlib import Path

from sim.commands.app import Layers
from sim.commands.tasks import loaded, print_json, save, show, to_be
from sim.prepare import prepare
from sim.prepare.prepared import Prepared
from sim.scenario.measurement_files import read_measurements
from sim.show.files import keep_sources
from sim.show.fit_document import fit_json, fitted_scenario
from sim.show.terminal_fit import print_fit
from sim.study.fit import GripFit, fit_grip


def measure(
    scenario: str, over: Layers, file: Path, output: Path | None
) -> tuple[Prepared, GripFit]:
    """The scenario made ready, and what the measurements say of its strip.

    Raises
    ------
    OutputError
        When the output is one of the files that are read.

    """
    readings = read_measurements(file)
    with to_be("used for a fit"):
        whole = loaded(scenario, over)
        prepared = prepare(whole)
    if output:
        keep_sources(output, (file, *whole.ground.files))
    return prepared, fit_grip(prepared, readings)


def save_measured(
    found: GripFit, scenario: str, over: Layers, file: Path, output: Path, force: bool
) -> None:
    """Write the scenario that extends the old one; what was laid over it is told, not written."""
    laid = [f"--with {name}" for name in over.changes or ()]
    laid += [f"--set {text}" for text in over.overrides or ()]
    source = ", with ".join([file.name, *([" ".join(laid)] if laid else [])])
    text = fitted_scenario(found, scenario, source, output)
    save({output: text.encode("utf-8")}, force)


def print_measured(found: GripFit, title: str, file: Path, as_json: bool, system: str) -> None:
    """The report, or nothing but its document."""
    if as_json:
        print_json(fit_json(found, file.name))
        return
    show(lambda console: print_fit(found, title, file.name, console, system))
