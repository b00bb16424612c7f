"""`run`, `compare` and `scenarios`. Heavy rooms are imported where they are used."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

from pathlib import Path
from typing import Annotated

import typer

from sim.commands.app import NO_LAYERS, Force, Json, Layers, Plots, Units, UnitSystem, app, grouped

DEFAULT_SCENARIO = "meadow-jet"


@app.command()
@grouped
def run(
    scenario: Annotated[
        str, typer.Argument(help="A scenario file, or the name of one that comes with the program.")
    ] = DEFAULT_SCENARIO,
    over: Layers = NO_LAYERS,
    as_json: Json = False,
    table: Annotated[
        Path | None,
        typer.Option("--csv", metavar="FILE", help="Save the trace, one row per moment."),
    ] = None,
    plots: Plots = None,
    units: Units = UnitSystem.SI,
    force: Force = False,
    advice: Annotated[
        bool, typer.Option("--advice/--no-advice", help="Try small changes beside the roll.")
    ] = True,
) -> None:
    """Roll one scenario: how it ends, why, and what would help most.

    \b
    wheelsoff run meadow-jet --set "pilot.pull_at=30 m"
    wheelsoff run my-jet.toml --with long-nose-leg --with bigger-fan
    wheelsoff run my-jet.toml --csv roll.csv --plots pictures
    wheelsoff run meadow-jet --json > result.json

    A change is a table in the file, and lists the keys it replaces and the masses it adds:

    \b
    [change.long-nose-leg]
    text = "Nose leg 25 mm longer"
    hours = 1.5
    add = [{ item = "wire", mass = "12 g", station = "210 mm", height = "-95 mm" }]
    [change.long-nose-leg.aeroplane.gear.nose]
    axle_height = "-149 mm"

    A name that is not there lists those that are. With masses, the report shows the mass ledger.

    Exits 0 for a finished roll, whatever its verdict, and 2 for bad input.
    """  # noqa: D301
    from sim.commands.tasks import build, print_run, save_run, targets
    from sim.show.files import check_targets

    name = Path(scenario).stem
    check_targets(targets(name, table, plots), force)
    report = build(scenario, over, advice)
    save_run(report, name, table, plots, units.value, force)
    print_run(report, as_json, units.value)


@app.command()
@grouped
def compare(
    scenarios: Annotated[list[str], typer.Argument(help="Two or more scenarios: files or names.")],
    over: Layers = NO_LAYERS,
    as_json: Json = False,
    plots: Plots = None,
    units: Units = UnitSystem.SI,
    force: Force = False,
) -> None:
    """Roll several scenarios and set their numbers side by side.

    \b
    wheelsoff compare mains-far-aft meadow-jet mains-forward
    wheelsoff compare meadow-jet my-jet.toml --plots pictures

    The first is what the others are held against. --with and --set apply to all of them.
    """  # noqa: D301
    from sim.commands.tasks import build, overlay_path, print_compared, save_overlay
    from sim.show.compare import Named
    from sim.show.files import check_targets

    if len(scenarios) < 2:
        raise typer.BadParameter("two scenarios or more are wanted")
    if plots:
        check_targets([overlay_path(plots)], force)
    reports = [Named(Path(s).stem, build(s, over, False)) for s in scenarios]
    if plots:
        save_overlay(reports, plots, units.value, force)
    print_compared(reports, as_json, units.value)


@app.command()
def scenarios() -> None:
    """List the scenarios that come with the program."""
    from sim.commands.tasks import print_scenarios

    print_scenarios()
