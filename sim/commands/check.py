"""`check`: what follows for the parts, without looking for a verdict."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sim.commands.app import (
    NO_LAYERS,
    Force,
    Json,
    Layers,
    Plots,
    Units,
    UnitSystem,
    app,
    grouped,
)

if TYPE_CHECKING:
    from sim.show.check import Checked


@app.command()
@grouped
def check(
    scenario: Annotated[
        str, typer.Argument(help="A scenario file, or the name of one that comes with the program.")
    ],
    over: Layers = NO_LAYERS,
    as_json: Json = False,
    plots: Plots = None,
    units: Units = UnitSystem.SI,
    force: Force = False,
) -> None:
    """Where the watts go, and whether battery, controller, motor and rotor stand it.

    \b
    wheelsoff check my-jet.toml
    wheelsoff check my-jet.toml --with hotter-motor
    wheelsoff check my-jet.toml --set "power.battery.cells=5" --plots pictures

    With --with or --set the file as it stands is told beside it. --plots draws thrust and current
    against airspeed.
    """  # noqa: D301
    from sim.commands.tasks import build, print_json, show
    from sim.show.check import Checked, check_document, print_check
    from sim.show.files import check_targets

    name = Path(scenario).stem
    if plots:
        check_targets([picture_path(plots, name)], force)
    report = build(scenario, over, False)
    before = build(scenario, NO_LAYERS, False) if over.overrides or over.changes else None
    checked = Checked(report, before)
    if plots:
        save_picture(checked, picture_path(plots, name), units.value, force)
    if as_json:
        from sim.show.document import json_text

        print_json(json_text(check_document(checked)))
        return
    show(lambda console: print_check(checked, console, units.value))


def picture_path(folder: Path, name: str) -> Path:
    """File of the picture of a check."""
    return folder / f"{name}-power.png"


def save_picture(checked: "Checked", path: Path, system: str, force: bool) -> None:
    """Draw thrust and current against airspeed and write it."""
    from sim.commands.tasks import drawn, save
    from sim.show.figures.power import power_sheet

    save({path: drawn(lambda: power_sheet(checked.report, checked.before, system))}, force)
