"""`vary`: the same roll along one key, or over two."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

import math
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sim.commands.app import (
    INTERRUPTED,
    NO_LAYERS,
    Json,
    Layers,
    Plots,
    Units,
    UnitSystem,
    app,
    grouped,
)
from sim.commands.many import NO_STUDY, Study, picture_of, watched, workers

if TYPE_CHECKING:
    from sim.study.vary import Vary


@app.command()
@grouped
def vary(
    scenario: Annotated[
        str, typer.Argument(help="A scenario file, or the name of one that comes with the program.")
    ],
    keys: Annotated[
        list[str],
        typer.Argument(
            metavar="KEY=FROM:TO:COUNT",
            help="What is varied: one key, or two for a map. KEY=a,b,c for a list.",
        ),
    ],
    over: Layers = NO_LAYERS,
    study: Study = NO_STUDY,
    as_json: Json = False,
    plots: Plots = None,
    units: Units = UnitSystem.SI,
) -> None:
    """Roll it again and again along one key of the file, or over two.

    \b
    wheelsoff vary my-jet.toml "power.static_thrust=15 N:30 N:31" --plots pictures
    wheelsoff vary my-jet.toml "aeroplane.gear.main.station=600 mm:700 mm:41" --csv rolls.csv
    wheelsoff vary my-jet.toml "strip.surface=pavement,mown grass,long grass"
    wheelsoff vary my-jet.toml "air.headwind=-2 m/s:4 m/s:25" "aeroplane.mass=2.8 kg:3.6 kg:25"
    wheelsoff vary my-jet.toml "power.static_thrust=15 N:30 N:16" "strip.surface=pavement,wet grass"

    Any key that holds one number goes from FROM to TO in COUNT places (2 to 2001), both ends with
    their unit; geometry too, for which the lattice is solved again. Any key takes a list: words,
    or values. strip.surface=low:high:9 stays on the surface and goes through the range of its
    rolling resistance.

    One key gives a table and curves; two give a map of the ground roll, the first key up, the
    second across; a key and up to four words give a curve for each word. A roll that fails is a row
    with its verdict, a combination that makes no scenario one with the reason. Ctrl-C keeps the
    rolls that are finished; the table then says in its last line that it is incomplete.
    """  # noqa: D301
    from sim.commands.tasks import print_json, save, show
    from sim.show.files import check_targets
    from sim.show.terminal_vary import print_vary
    from sim.show.vary_document import vary_csv, vary_json

    picture = picture_of(plots, scenario, "vary")
    check_targets([path for path in (study.table, picture) if path], study.force)
    rolled = _roll(scenario, keys, over, study.processes)
    contents: dict[Path, bytes] = {}
    if study.table:
        contents[study.table] = vary_csv(rolled, units.value).encode("utf-8")
    if picture and len(rolled.rows):
        contents[picture] = _picture(rolled, units.value)
    save(contents, study.force)
    if as_json:
        print_json(vary_json(rolled))
    else:
        show(lambda console: print_vary(rolled, console, units.value))
    if not rolled.rows.complete:
        raise typer.Exit(INTERRUPTED)


def _roll(scenario: str, keys: list[str], over: Layers, processes: int | None) -> "Vary":
    from sim.commands.tasks import loaded
    from sim.study.vary import axes_of, roll_along

    whole = loaded(scenario, over)
    axes = axes_of(whole, keys)
    rolls = math.prod(len(axis) for axis in axes)
    with workers(processes, rolls) as pool, watched("rolling") as progress:
        return roll_along(whole, axes, executor=pool, progress=progress)


def _picture(rolled: "Vary", system: str) -> bytes:
    from sim.commands.tasks import drawn
    from sim.show.figures.curve import curve_figure, drawn_as_lines
    from sim.show.figures.map import map_figure

    draw = curve_figure if drawn_as_lines(rolled) else map_figure
    return drawn(lambda: draw(rolled, system))
