"""`check`: what follows for the parts, without looking for a verdict."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

from functools import partial
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
    """Where the watts go, and what battery, motor, tail, servos, hatch and legs stand.

    \b
    wheelsoff check my-jet.toml
    wheelsoff check my-jet.toml --with hotter-motor
    wheelsoff check my-jet.toml --set "power.battery.cells=5" --plots pictures

    With --with or --set the file as it stands is told beside it. --plots draws thrust and current
    against airspeed, and how much of every other limit is used. A check that misses a key names it.
    """  # noqa: D301
    from sim.commands.tasks import build, print_json, show
    from sim.show.check import Checked, check_document, print_check
    from sim.show.files import check_targets

    name = Path(scenario).stem
    if plots:
        check_targets([*picture_paths(plots, name)], force)
    report = build(scenario, over, False, "checked")
    laid = over.overrides or over.changes
    before = build(scenario, NO_LAYERS, False, "checked") if laid else None
    checked = Checked(report, before)
    if plots:
        save_pictures(checked, picture_paths(plots, name), units.value, force)
    if as_json:
        from sim.show.document import json_text

        print_json(json_text(check_document(checked)))
        return
    show(lambda console: print_check(checked, console, units.value))


def picture_paths(folder: Path, name: str) -> tuple[Path, Path]:
    """Files of the pictures of a check: power, and the parts."""
    return folder / f"{name}-power.png", folder / f"{name}-strength.png"


def save_pictures(checked: "Checked", paths: tuple[Path, Path], system: str, force: bool) -> None:
    """Draw thrust and current against airspeed, and the parts against their limits; write both."""
    from sim.commands.tasks import drawn, save
    from sim.show.figures.power import power_sheet
    from sim.show.figures.strength import strength_sheet

    sheets = (power_sheet, strength_sheet)
    both = (checked.report, checked.before, system)
    save(
        {path: drawn(partial(draw, *both)) for path, draw in zip(paths, sheets, strict=True)}, force
    )
