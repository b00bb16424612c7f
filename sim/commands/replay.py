"""`replay`: the roll as a moving side view."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sim.commands.app import NO_LAYERS, Force, Layers, Units, UnitSystem, app, grouped
from sim.commands.many import watched

if TYPE_CHECKING:
    from sim.scenario import Scenario


@app.command()
@grouped
def replay(
    scenario: Annotated[
        str, typer.Argument(help="A scenario file, or the name of one that comes with the program.")
    ],
    output: Annotated[
        Path,
        typer.Option(
            "-o", "--output", metavar="FILE", help="Where to, ending in .gif, .mp4 or .html."
        ),
    ],
    beside: Annotated[
        str | None,
        typer.Option("--beside", metavar="OTHER", help="A second scenario on the same clock."),
    ] = None,
    over: Layers = NO_LAYERS,
    units: Units = UnitSystem.SI,
    force: Force = False,
) -> None:
    """A moving side view of the roll: forces to scale, the balance about the mains, the strip.

    \b
    wheelsoff replay my-jet.toml -o my-jet.gif
    wheelsoff replay mains-far-aft --beside meadow-jet -o two-rolls.gif
    wheelsoff replay my-jet.toml --with longer-leg -o longer-leg.html

    Slow motion around rotation. A GIF always works and an .html page lets you stop and look; an
    .mp4 needs the program ffmpeg. --with and --set apply to both rolls.
    """  # noqa: D301
    from sim.commands.tasks import loaded, save
    from sim.show.files import check_targets, keep_sources
    from sim.show.replay.output import kind_of, replay_bytes

    kind = kind_of(output)
    check_targets([output], force)
    wholes = [loaded(name, over) for name in (scenario, beside) if name is not None]
    for whole in wholes:
        keep_sources(output, whole.ground.files)
    stories = [_story(whole, units.value) for whole in wholes]
    with watched("drawing") as progress:
        made = replay_bytes(stories, kind, progress)
    save({output: made}, force)


def _story(whole: "Scenario", system: str) -> dict[str, object]:
    from sim.prepare import prepare
    from sim.report import build_report
    from sim.show.replay.story import story

    return story(build_report(prepare(whole), with_advice=False), system)
