"""`find`: the value of one key that just meets a condition; the gear window."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

from dataclasses import dataclass
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
from sim.commands.many import picture_of, watched

if TYPE_CHECKING:
    from sim.scenario import Scenario
    from sim.study.find import Search
    from sim.study.gear_window import GearWindow
    from sim.study.knobs import Knob


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
    gear_window: Annotated[
        bool,
        typer.Option("--gear-window", help="Stations of the main wheels that do; no condition."),
    ] = False
    by: Annotated[
        str,
        typer.Option(
            "--by",
            metavar="PLACE",
            help='Gear window: the nose wheel is wanted off by here, "20 m" or "14 m/s".',
        ),
    ] = ""
    flaps: Annotated[
        str,
        typer.Option(
            "--flaps", metavar="ANGLE", help='Gear window: flaps of the second case, "25 deg".'
        ),
    ] = ""  # fmt: skip


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

    \b
    wheelsoff find my-jet.toml aeroplane.gear.main.station --gear-window --by "14 m/s"

    The gear window: which stations of the main wheels raise the nose in time, do not tip back, and
    leave the nose wheel enough of the weight; flaps up, and flaps down (as set or dropped, else
    20 deg). Without --by the nose wheel is wanted off by 1.1 times the stall speed, flaps up.

    The answer says whether the quantity crosses its limit at an edge or the outcome jumps there,
    how steep it is, and, when the condition is met nowhere, what came closest.
    """  # noqa: D301
    from sim.show.files import check_targets

    _check_words(key, wanted)
    picture = picture_of(plots, scenario, "gear-window" if wanted.gear_window else "find")
    check_targets([picture] if picture else [], force)
    if wanted.gear_window:
        _show_window(_window(scenario, key, wanted, over), (picture, force), as_json, units.value)
    else:
        answer = _search(scenario, key, wanted, over)
        _show_found(answer, (picture, force), as_json, units.value)


def _check_words(key: str, wanted: Wanted) -> None:
    """Words that do not go together."""
    if not wanted.gear_window:
        if wanted.by or wanted.flaps:
            raise typer.BadParameter("--by and --flaps belong to --gear-window")
        if not wanted.so_that:
            raise typer.BadParameter('--so-that "NAME <= VALUE" is wanted: what is to be met')
        return
    from sim.study.gear_window import STATION

    if wanted.so_that:
        raise typer.BadParameter("--gear-window brings its own conditions, without --so-that")
    if key != STATION:
        raise typer.BadParameter(f"--gear-window turns {STATION}, not {key}")


Picture = tuple[Path | None, bool]
"""Where a picture goes, and whether it may replace one."""


def _show_found(answer: "Search", picture: Picture, as_json: bool, system: str) -> None:
    from sim.commands.tasks import drawn, print_json, save, show
    from sim.show.find_document import find_json
    from sim.show.terminal_find import print_found

    path, force = picture
    if path:
        from sim.show.figures.find import find_figure

        save({path: drawn(lambda: find_figure(answer, system))}, force)
    if as_json:
        print_json(find_json(answer))
        return
    show(lambda console: print_found(answer, console, system))


def _show_window(window: "GearWindow", picture: Picture, as_json: bool, system: str) -> None:
    from sim.commands.tasks import drawn, print_json, save, show
    from sim.show.document import json_text
    from sim.show.terminal_find import print_gear_window
    from sim.show.words_gear_window import gear_window_document

    path, force = picture
    if path:
        from sim.show.figures.gear_window import gear_window_figure

        save({path: drawn(lambda: gear_window_figure(window, system))}, force)
    if as_json:
        print_json(json_text(gear_window_document(window)))
        return
    show(lambda console: print_gear_window(window, console, system))


def _search(scenario: str, key: str, wanted: Wanted, over: Layers) -> "Search":
    from sim.commands.tasks import loaded
    from sim.study.condition import condition_of
    from sim.study.find import search

    condition = condition_of(" and ".join(wanted.so_that or []))
    whole = loaded(scenario, over)
    knob, ends = look_at(whole, key, wanted.between)
    with watched("rolling") as progress:
        return search(whole, knob, ends, [condition], progress=progress)


def _window(scenario: str, key: str, wanted: Wanted, over: Layers) -> "GearWindow":
    from sim.commands.tasks import loaded
    from sim.study.gear_window import gear_window

    whole = loaded(scenario, over)
    ends = look_at(whole, key, wanted.between)[1]
    with watched("rolling") as progress:
        return gear_window(whole, ends, wanted.by, wanted.flaps, progress=progress)


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
