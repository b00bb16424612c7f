"""What `fit` does, one small step each: read, reduce, save, print."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import typer

from sim.commands.app import Layers
from sim.commands.many import watched
from sim.commands.tasks import drawn, loaded, print_json, show, to_be
from sim.prepare import prepare
from sim.prepare.prepared import Prepared
from sim.scenario import Scenario
from sim.scenario.measured_rolls import MeasuredRoll
from sim.scenario.measurement_files import read_measurements
from sim.scenario.measurements import Reading
from sim.show.files import keep_sources
from sim.show.fit_document import fit_json, fitted_scenario
from sim.show.roll_fit_document import roll_fit_json, roll_fitted_scenario
from sim.show.terminal_fit import print_fit
from sim.show.terminal_roll_fit import print_roll_fit
from sim.strip.reading import Measured
from sim.study.fit import GripFit, fit_grip
from sim.study.fit_rolls import RollFit, fit_rolls


@dataclass(frozen=True)
class Asked:
    """What a fit is made of, as on the command line.

    Attributes
    ----------
    scenario, over: name or path, and what is laid over it.
    file: of measurements.
    output: the scenario to be written, if any.

    """

    scenario: str
    over: Layers
    file: Path
    output: Path | None

    def source(self) -> str:
        """The file of measurements, and what was laid over the scenario."""
        laid = [f"--with {name}" for name in self.over.changes or ()]
        laid += [f"--set {text}" for text in self.over.overrides or ()]
        return ", with ".join([self.file.name, *([" ".join(laid)] if laid else [])])


@dataclass(frozen=True)
class Taken:
    """The scenario made ready, and what was measured on it."""

    scenario: Scenario
    prepared: Prepared
    readings: tuple[Reading, ...]
    rolls: tuple[MeasuredRoll, ...]


def take(asked: Asked) -> Taken:
    """Read the measurements and the scenario.

    Raises
    ------
    OutputError
        When the output is one of the files that are read.

    """
    found = read_measurements(asked.file)
    with to_be("used for a fit"):
        whole = loaded(asked.scenario, asked.over)
        prepared = prepare(whole)
    if asked.output:
        keep_sources(asked.output, (asked.file, *whole.ground.files))
    rolls = tuple(one for one in found if isinstance(one, MeasuredRoll))
    readings = tuple(one for one in found if not isinstance(one, MeasuredRoll))
    return Taken(whole, prepared, readings, rolls)


def fit_keys(taken: Taken, keys: Sequence[str]) -> tuple[RollFit, Measured | None]:
    """Keys from the rolls; tow tests and coast-downs are what is believed of the resistance."""
    grip = fit_grip(taken.prepared, taken.readings).resistance if taken.readings else None
    with watched("fitting") as progress:
        return fit_rolls(taken.scenario, taken.rolls, keys, grip, progress), grip


def refuse_without_rolls(keys: Sequence[str], plots: Path | None) -> None:
    """Tow tests and coast-downs tell one number, and have no picture."""
    if keys:
        raise typer.BadParameter("--key: the file of measurements has no rolls to fit keys to")
    if plots:
        raise typer.BadParameter("--plots: the file of measurements has no rolls to draw")


def scenario_text(found: GripFit, taken: Taken, asked: Asked, output: Path) -> str:
    """The scenario that extends the old one; what was laid over it is told, not written."""
    slope = math.tan(float(taken.prepared.setup.parameters.slope))
    return fitted_scenario(found, asked.scenario, asked.source(), output, slope)


def roll_files(
    found: RollFit, asked: Asked, picture: Path | None, system: str
) -> dict[Path, bytes]:
    """What is to be written of a fit to rolls: the scenario, the picture."""
    contents: dict[Path, bytes] = {}
    if asked.output:
        text = roll_fitted_scenario(found, asked.scenario, asked.source(), asked.output)
        contents[asked.output] = text.encode("utf-8")
    if picture:
        from sim.show.figures.roll_fit import roll_fit_figure  # noqa: PLC0415 - drawing is slow

        contents[picture] = drawn(lambda: roll_fit_figure(found, system))
    return contents


def print_measured(found: GripFit, taken: Taken, file: Path, as_json: bool, system: str) -> None:
    """The report, or nothing but its document."""
    if as_json:
        print_json(fit_json(found, file.name))
        return
    title = taken.prepared.title
    show(lambda console: print_fit(found, title, file.name, console, system))


def print_rolls(
    found: RollFit, grip: Measured | None, file: Path, as_json: bool, system: str
) -> None:
    """The report of a fit to rolls, or nothing but its document."""
    if as_json:
        print_json(roll_fit_json(found, file.name, grip))
        return
    show(lambda console: print_roll_fit(found, file.name, grip, console, system))
