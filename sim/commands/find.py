"""`find`: the value of one key that just meets a condition; the gear window."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeVar

import typer

from sim.commands.app import (
    BAD_INPUT,
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
from sim.commands.many import told_files, watched

if TYPE_CHECKING:
    from sim.scenario import Scenario
    from sim.study.find import Search
    from sim.study.knobs import Knob

Answer = TypeVar("Answer")


@dataclass(frozen=True)
class Wanted:
    """What is looked for, and where."""

    so_that: Annotated[
        list[str] | None,
        typer.Option(
            "--so-that",
            metavar="CONDITION",
            help='What is wanted, such as "lift-off.distance <= 60 m". Repeatable: all must hold.',
        ),
    ] = None
    between: Annotated[
        str,
        typer.Option("--between", metavar="FROM:TO", help="Where to look, both with their unit."),
    ] = ""


NO_WISH = Wanted()


@app.command()
@grouped
def find(
    scenario: Annotated[
        str, typer.Argument(help="A scenario file, or the name of one that comes with the program.")
    ],
    key: Annotated[str, typer.Argument(metavar="KEY", help="The key of the file that is turned.")],
    wanted: Wanted = NO_WISH,
    over: Layers = NO_LAYERS,
    as_json: Json = False,
    plots: Plots = None,
    units: Units = UnitSystem.SI,
    force: Force = False,
) -> None:
    """Find the values of a key that meet a condition, all of them, by rolling.

    \b
    wheelsoff find my-jet.toml power.static_thrust --so-that "lift-off.distance <= 60 m"
    wheelsoff find my-jet.toml aeroplane.mass --so-that "verdict == airborne" --between 2kg:5kg
    wheelsoff find my-jet.toml pilot.pull_at --so-that "lift-off.distance <= 50 m and
    stall_margin >= 0.1"

    A condition names an event and a column (nose-wheel-off.airspeed, lift-off.distance,
    lift-off.pitch_rate, screen-height.distance) or a key of the summary (stall_margin,
    peak_pitch_rate_deg_per_s, tip_back_deg), then <=, >= or == and a value; or verdict == and a
    verdict. " and " joins several.

    Without --between it looks around what the file has: from half to twice of it; stations and
    heights a quarter of the wheelbase either way, angles 15 deg, wind 6 m/s, temperature 25 K,
    slope 6 %; a place from the start of the strip to its end, strip.surface through its range.

    The answer says whether the quantity crosses its limit at an edge or the outcome jumps there,
    how steep it is, and, when the condition is met nowhere, what came closest.
    """  # noqa: D301
    from sim.commands.tasks import print_json, show, tell
    from sim.show.files import check_targets, write_all
    from sim.show.find_document import find_json
    from sim.show.terminal_find import print_found

    if not wanted.so_that:
        raise typer.BadParameter('--so-that "NAME <= VALUE" is wanted: what is to be met')
    picture = plots / f"{Path(scenario).stem}-find.png" if plots else None
    check_targets([picture] if picture else [], force)
    answer = told(lambda: _search(scenario, key, wanted, over))
    if picture:
        from sim.show.figures.find import find_figure
        from sim.show.figures.save import picture_bytes

        tell("drawing pictures ...")
        write_all({picture: picture_bytes(find_figure(answer, units.value))}, force)
        told_files([picture])
    if as_json:
        print_json(find_json(answer))
        return
    show(lambda console: print_found(answer, console, units.value))


def told(ask: Callable[[], Answer]) -> Answer:
    """Whatever is asked; a condition that cannot be read is told and ends it."""
    from sim.study.condition import ConditionError

    try:
        return ask()
    except ConditionError as wrong:
        print(wrong, file=sys.stderr)
        raise typer.Exit(BAD_INPUT) from None


def _search(scenario: str, key: str, wanted: Wanted, over: Layers) -> "Search":
    from sim.scenario import load_scenario
    from sim.study.condition import condition_of
    from sim.study.find import search

    condition = condition_of(" and ".join(wanted.so_that or []))
    loaded = load_scenario(scenario, over.overrides or (), over.changes or ())
    knob, ends = look_at(loaded, key, wanted.between)
    with watched("rolling") as progress:
        return search(loaded, knob, ends, [condition], progress=progress)


def look_at(scenario: "Scenario", key: str, between: str) -> "tuple[Knob, tuple[float, float]]":
    """The key and both ends of where to look."""
    from sim.scenario.problems import fail, shown
    from sim.study.knobs import knob_of
    from sim.study.usual_range import usual_range

    if not between:
        knob = knob_of(scenario, key)
        return knob, usual_range(scenario, knob)
    first, colon, last = (part.strip() for part in between.partition(":"))
    if not colon or not first or not last:
        raise fail(key, shown(between), "--between FROM:TO, both ends with their unit")
    knob = knob_of(scenario, key, first)
    return knob, (knob.read(first), knob.read(last))
