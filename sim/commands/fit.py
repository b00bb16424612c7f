"""`fit`: from field measurements to the rolling resistance of a strip."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

from pathlib import Path
from typing import Annotated

import typer

from sim.commands.app import (
    NO_LAYERS,
    Force,
    Json,
    Layers,
    Units,
    UnitSystem,
    app,
    grouped,
)


@app.command()
@grouped
def fit(
    scenario: Annotated[
        str, typer.Argument(help="The aeroplane and strip measured: a scenario file or a name.")
    ],
    measurements: Annotated[
        Path, typer.Argument(metavar="FILE", help="Measurements, ending in .toml or .csv.")
    ],
    over: Layers = NO_LAYERS,
    as_json: Json = False,
    output: Annotated[
        Path | None,
        typer.Option(
            "-o", "--output", metavar="FILE",
            help="Save a scenario that extends this one with what was measured.",
        ),
    ] = None,
    units: Units = UnitSystem.SI,
    force: Force = False,
) -> None:  # fmt: skip
    """Rolling resistance from tow tests and coast-downs, with its uncertainty.

    \b
    wheelsoff fit my-jet.toml strip.toml
    wheelsoff fit my-jet.toml strip.csv -o my-jet-measured.toml

    A file of measurements in TOML has one heading per reading:

    \b
    [[tow]]                              # steady pull on a scale
    pull = "4.1 N +/- 0.2 N"
    load = "3.1 kg"                      # else the aeroplane's mass; or main_load and nose_load
    direction = "opposite"               # else "take-off": both ways average a slope away
    [[coast_down]]                       # power off, from a mark to the stop
    speed = "8.2 m/s"
    distance_to_stop = "24.3 m"          # or time_to_stop = "5.9 s"
    [[coast_down]]                       # clock and tape start at a first mark
    marks = ["5 m", "10 m", "15 m"]
    times = ["0.7 s", "1.6 s", "2.8 s"]

    In CSV each row is a reading, with the units in the heading:

    \b
    kind,pull [N],load [kg],speed [m/s],distance to stop [m],marks [m],times [s],direction
    tow,4.1 +/- 0.2,3.1,,,,,opposite
    coast-down,,,8.2,24.3,,,
    coast-down,,,,,5 10 15,0.7 1.6 2.8,

    "+/-", or a key or column such as pull_tolerance, gives one standard deviation; left out:
    spring scale 2 % or 0.1 N, weighing 1 % or 0.05 N, tape 0.1 m, stopwatch 0.1 s, speed 5 %.
    slope (uphill as rolled), headwind (against the roll), mass (of a coast-down) and note may
    stand beside each.

    Tow with the pack disconnected. Coast down with the power off (the idle thrust of a running
    fan falsifies it) and everybody clear.
    """  # noqa: D301
    from sim.commands.fitting import measure, print_measured, scenario_text
    from sim.commands.tasks import save
    from sim.show.files import check_targets

    check_targets([output] if output else [], force)
    prepared, found = measure(scenario, over, measurements, output)
    if output:
        text = scenario_text(found, prepared, scenario, over, (measurements, output))
        save({output: text.encode("utf-8")}, force)
    print_measured(found, prepared.title, measurements, as_json, units.value)
