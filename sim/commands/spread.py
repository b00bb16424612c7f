"""`spread`: the same roll under uncertain inputs."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

from dataclasses import dataclass
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
    from sim.study.spread import Spread


@dataclass(frozen=True)
class Draws:
    """What is drawn, and how often."""

    count: Annotated[int, typer.Option("-n", metavar="N", help="Rolls.", min=1, max=1_000_000)] = (
        2000
    )
    seed: Annotated[int, typer.Option("--seed", min=0, max=2**63 - 1, help="Of the draws.")] = 1
    vary: Annotated[
        list[str] | None,
        typer.Option(
            "--vary",
            metavar="KEY=WHAT",
            help='What is uncertain, such as "power.static_thrust=24 N +/- 1 N". Repeatable.',
        ),
    ] = None
    until: Annotated[
        float | None,
        typer.Option(
            "--until",
            metavar="SHARE",
            help="End early when the chance of airborne is known to this, such as 0.02.",
        ),
    ] = None


NO_DRAWS = Draws()


@app.command()
@grouped
def spread(
    scenario: Annotated[
        str, typer.Argument(help="A scenario file, or the name of one that comes with the program.")
    ],
    draws: Draws = NO_DRAWS,
    over: Layers = NO_LAYERS,
    study: Study = NO_STUDY,
    as_json: Json = False,
    plots: Plots = None,
    units: Units = UnitSystem.SI,
) -> None:
    """How often it gets off when nobody knows the numbers so well, and what decides that.

    \b
    wheelsoff spread my-jet.toml
    wheelsoff spread my-jet.toml -n 10000 --seed 1 --processes 2
    wheelsoff spread my-jet.toml --until 0.02 --csv rolls.csv --plots pictures
    wheelsoff spread my-jet.toml --vary "air.headwind=0..3 m/s" --vary "pilot.pull_at=+/- 3 m"

    What may stand behind KEY= :

    \b
    24 N +/- 1 N            anything within the tolerance, all alike
    24 N +/- 3 %            the same, in percent of the value
    +/- 3 mm                about what the scenario has
    18..26 m                anything between, all alike
    0.09..0.13..0.20        most likely in the middle, none at the ends
    24 N sd 0.5 N           normal, one standard deviation given
    low..typical..high      of strip.surface: the range of the surface's rolling resistance

    Without --vary the usual is taken: the range of the surface, thrust 3 %, mass 1 %, CG 3 mm,
    largest lift of the tail 15 %, headwind 1 m/s, pull 2 m either way. These are judgements, and
    listed in the report.

    The same seed gives the same rolls, in any number of processes; Ctrl-C keeps those finished.
    """  # noqa: D301
    from sim.commands.tasks import print_json, save, show
    from sim.show.files import check_targets
    from sim.show.spread_document import spread_csv, spread_json
    from sim.show.terminal_spread import print_spread

    picture = picture_of(plots, scenario, "spread")
    check_targets([path for path in (study.table, picture) if path], study.force)
    if draws.until is not None and not 0.0 < draws.until < 0.5:
        raise typer.BadParameter(f"--until {draws.until:g}: a share above 0 and below 0.5")
    rolled = _roll(scenario, draws, over, study.processes)
    contents: dict[Path, bytes] = {}
    if study.table:
        contents[study.table] = spread_csv(rolled, units.value).encode("utf-8")
    if picture and rolled.counted:
        contents[picture] = _picture(rolled, units.value)
    save(contents, study.force)
    if as_json:
        print_json(spread_json(rolled))
    else:
        show(lambda console: print_spread(rolled, console, units.value))
    if not rolled.rows.complete:
        raise typer.Exit(INTERRUPTED)


def _roll(scenario: str, draws: Draws, over: Layers, processes: int | None) -> "Spread":
    from sim.commands.tasks import loaded
    from sim.study.spread import plan_spread, roll_spread

    plan = plan_spread(loaded(scenario, over), draws.vary or (), draws.seed)
    with workers(processes, draws.count) as pool, watched("rolling") as progress:
        return roll_spread(plan, draws.count, until=draws.until, executor=pool, progress=progress)


def _picture(rolled: "Spread", system: str) -> bytes:
    from sim.commands.tasks import drawn
    from sim.show.figures.spread import spread_figure

    return drawn(lambda: spread_figure(rolled, system))
