"""`run`, `compare` and `scenarios`. Heavy rooms are imported where they are used."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sim.commands.app import NO_LAYERS, Force, Json, Layers, Plots, Units, UnitSystem, app, grouped

if TYPE_CHECKING:
    from sim.scenario import Scenario
    from sim.show.compare import Named

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
    html: Annotated[
        Path | None,
        typer.Option("--html", metavar="FILE", help="Save one page to show, of just two."),
    ] = None,
    units: Units = UnitSystem.SI,
    force: Force = False,
) -> None:
    """Roll several scenarios and set their numbers side by side.

    \b
    wheelsoff compare mains-far-aft meadow-jet mains-forward
    wheelsoff compare meadow-jet my-jet.toml --plots pictures
    wheelsoff compare mains-far-aft meadow-jet --html before-after.html

    The first is what the others are held against. --with and --set apply to all of them. The page
    holds before and after, every key that differs, numbers and pictures, all in one file.
    """  # noqa: D301
    from sim.commands.tasks import loaded, overlay_path, print_compared, save_overlay
    from sim.prepare import prepare
    from sim.report import build_report
    from sim.show.compare import Named
    from sim.show.files import check_targets

    if len(scenarios) < 2:
        raise typer.BadParameter("two scenarios or more are wanted")
    if html and len(scenarios) > 2:
        raise typer.BadParameter("--html shows two scenarios: before and after")
    check_targets([*([overlay_path(plots)] if plots else []), *([html] if html else [])], force)
    wholes = [loaded(name, over) for name in scenarios]
    if html:
        _check_page(html, wholes)
    reports = [
        Named(Path(name).stem, build_report(prepare(whole), with_advice=False))
        for name, whole in zip(scenarios, wholes, strict=True)
    ]
    if plots:
        save_overlay(reports, plots, units.value, force)
    if html:
        _save_page(html, reports, wholes, units.value, force)
    print_compared(reports, as_json, units.value)


def _check_page(target: Path, wholes: "list[Scenario]") -> None:
    """A page never takes the place of a scenario, nor another kind of file's name."""
    from sim.show.files import OutputError, keep_sources

    if target.suffix.lower() not in (".html", ".htm"):
        raise OutputError(f"{target} does not end in .html")
    for whole in wholes:
        keep_sources(target, whole.ground.files)


def _save_page(
    target: Path, reports: "list[Named]", wholes: "list[Scenario]", system: str, force: bool
) -> None:
    from sim.commands.tasks import save, tell
    from sim.show.compare_page import Shown, compare_page

    tell("drawing pictures ...")
    before, after = (Shown(*pair) for pair in zip(reports, wholes, strict=True))
    save({target: compare_page(before, after, system)}, force)


@app.command()
def scenarios() -> None:
    """List the scenarios that come with the program."""
    from sim.commands.tasks import print_scenarios

    print_scenarios()
