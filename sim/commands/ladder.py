"""`ladder`: every combination of a scenario's changes."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sim.commands.app import (
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
    from sim.study.ladder import Ladder

ROLLS_OF_ONE = 150
"""A combination is an aeroplane of its own, with a lattice, and takes as long as so many rolls."""


@app.command()
@grouped
def ladder(
    scenario: Annotated[
        str, typer.Argument(help="A scenario file with changes, or the name of one.")
    ],
    stacked: Annotated[
        str,
        typer.Option(
            "--changes", metavar="A,B,C",
            help="Changes to stack, in this order; all of the file's when left out. At most ten.",
        ),
    ] = "",
    margin: Annotated[
        str,
        typer.Option("--margin", metavar="SHARE", help="Share of the strip to be left over."),
    ] = "20 %",
    over: Layers = NO_LAYERS,
    study: Study = NO_STUDY,
    as_json: Json = False,
    plots: Plots = None,
    units: Units = UnitSystem.SI,
) -> None:  # fmt: skip
    """Stack changes, and share out fairly what they gain together.

    \b
    wheelsoff ladder workshop
    wheelsoff ladder workshop --changes more-throw,tail-spar,hot-motor
    wheelsoff ladder my-jet.toml --margin "30 %" --csv combinations.csv --plots pictures

    Every combination of the changes is rolled, 256 of eight: each rung in the order given, each
    change alone, the best pair, each one's fair share of the whole, the smallest set that gets
    off with the margin, and the one of fewest hours. Of changes that decide the same key only one
    can be done; such combinations are left out.

    --with lays changes under all combinations. Ground roll and rotation speed are shared out
    over all orders of doing the changes, so the order of the rungs does not touch the shares.
    Ctrl-C keeps the combinations that are finished in the table, which then says in its last line
    that it is incomplete.
    """  # noqa: D301
    from sim.commands.tasks import print_json, save, show
    from sim.show.files import check_targets
    from sim.show.ladder_document import ladder_csv, ladder_json
    from sim.show.terminal_ladder import print_ladder
    from sim.study.ladder import LadderStopped

    picture = picture_of(plots, scenario, "ladder")
    check_targets([path for path in (study.table, picture) if path], study.force)
    try:
        built = _build(scenario, stacked, margin, over, study.processes)
    except LadderStopped as stopped:
        if study.table:
            table = ladder_csv(stopped.changes, stopped.rows, units.value)
            save({study.table: table.encode("utf-8")}, study.force)
        raise
    contents: dict[Path, bytes] = {}
    if study.table:
        table = ladder_csv(built.changes, built.rows, units.value)
        contents[study.table] = table.encode("utf-8")
    if picture:
        contents[picture] = _picture(built, units.value)
    save(contents, study.force)
    if as_json:
        print_json(ladder_json(built))
        return
    show(lambda console: print_ladder(built, console, units.value))


def _build(
    scenario: str, stacked: str, margin: str, over: Layers, processes: int | None
) -> "Ladder":
    from sim.commands.tasks import loaded
    from sim.scenario import ScenarioError, parse_quantity
    from sim.study.ladder import build_ladder

    try:
        share = parse_quantity(margin, "fraction") if "%" in margin else float(margin)
    except (ScenarioError, ValueError):
        share = -1.0
    if not 0.0 <= share < 1.0:
        raise typer.BadParameter(f'--margin {margin}: a share of the strip such as "20 %" or 0.2')
    names = [name.strip() for name in stacked.split(",") if name.strip()]
    whole = loaded(scenario, over)
    rolls = ROLLS_OF_ONE * 2 ** len(names or whole.changes)
    with workers(processes, rolls) as pool, watched("rolling combinations") as progress:
        return build_ladder(whole, names, share, executor=pool, progress=progress)


def _picture(built: "Ladder", system: str) -> bytes:
    from sim.commands.tasks import drawn
    from sim.show.figures.ladder import ladder_figure

    return drawn(lambda: ladder_figure(built, system))
