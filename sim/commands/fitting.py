"""What `fit` does, one small step each: read, reduce, save, print."""

import math
from pathlib import Path

from sim.commands.app import Layers
from sim.commands.tasks import loaded, print_json, show, to_be
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


def scenario_text(
    found: GripFit, prepared: Prepared, scenario: str, over: Layers, files: tuple[Path, Path]
) -> str:
    """The scenario that extends the old one; what was laid over it is told, not written.

    Parameters
    ----------
    found, prepared, scenario, over
        the fit, what it was made of, and the names that was read by.
    files
        of measurements, and to be written.

    """
    file, output = files
    laid = [f"--with {name}" for name in over.changes or ()]
    laid += [f"--set {text}" for text in over.overrides or ()]
    source = ", with ".join([file.name, *([" ".join(laid)] if laid else [])])
    slope = math.tan(float(prepared.setup.parameters.slope))
    return fitted_scenario(found, scenario, source, output, slope)


def print_measured(found: GripFit, title: str, file: Path, as_json: bool, system: str) -> None:
    """The report, or nothing but its document."""
    if as_json:
        print_json(fit_json(found, file.name))
        return
    show(lambda console: print_fit(found, title, file.name, console, system))
