"""`fit`: from field measurements to the keys of a scenario, rolling resistance first of all."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

from collections.abc import Sequence
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
from sim.commands.many import picture_of

if TYPE_CHECKING:
    from sim.commands.fitting import Asked, Taken


@dataclass(frozen=True)
class Told:
    """How a fit is told."""

    as_json: Json = False
    plots: Plots = None
    units: Units = UnitSystem.SI
    force: Force = False


TOLD = Told()


@app.command()
@grouped
def fit(
    scenario: Annotated[
        str, typer.Argument(help="The aeroplane and strip measured: a scenario file or a name.")
    ],
    measurements: Annotated[
        Path, typer.Argument(metavar="FILE", help="Measurements, ending in .toml or .csv.")
    ],
    key: Annotated[
        list[str] | None,
        typer.Option(
            "--key",
            metavar="KEY",
            help='What to fit to measured rolls, or "KEY=VALUE +/- TOLERANCE". Repeatable.',
        ),
    ] = None,
    over: Layers = NO_LAYERS,
    output: Annotated[
        Path | None,
        typer.Option(
            "-o", "--output", metavar="FILE",
            help="Save a scenario that extends this one with what was measured.",
        ),
    ] = None,
    told: Told = TOLD,
) -> None:  # fmt: skip
    """Rolling resistance from tow tests and coast-downs; thrust, drag and more from rolls.

    \b
    wheelsoff fit my-jet.toml strip.toml
    wheelsoff fit my-jet.toml rolls.csv -o my-jet-measured.toml --plots pictures
    wheelsoff fit my-jet.toml rolls.csv --key strip.rolling_resistance --key aeroplane.mass

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

    A roll is told by any of these, from where and when it was let go:

    \b
    [[roll]]
    nose_up_distance  = "31 m +/- 2 m"   # also nose_up_time, nose_up_speed
    lift_off_distance = "48 m"           # also lift_off_time, lift_off_speed
    headwind = "1 m/s"                   # also surface, slope, pull_at
    changes  = ["mains-forward"]         # of the scenario, that were on it
    [[roll]]
    log     = "flight-3.csv"             # speeds up to lift-off, where it has no gaps
    columns = { time = "Time [s]", speed = "GNSS speed [km/h]" }   # or airspeed
    start   = "12.4 s"                   # let go; left out: when faster than 1 m/s
    until   = "17.3 s"                   # left out: lift_off_time after that

    Units of a log without brackets: units = { time = "ms", speed = "km/h" }; log_tolerance is the
    uncertainty of each of its speeds.

    In CSV each row is a reading or a roll, with the units in the heading:

    \b
    kind,pull [N],load [kg],speed [m/s],distance to stop [m],marks [m],times [s],direction
    tow,4.1 +/- 0.2,3.1,,,,,opposite
    coast-down,,,8.2,24.3,,,
    coast-down,,,,,5 10 15,0.7 1.6 2.8,

    \b
    kind,nose up distance [m],lift off distance [m],lift off time [s],headwind [m/s],changes
    roll,31 +/- 2,48,4.9,1,mains-forward more-throw

    "+/-", or a key or column such as pull_tolerance, gives one standard deviation; left out:
    spring scale 2 % or 0.1 N, weighing 1 % or 0.05 N, tape 0.1 m, stopwatch 0.1 s, speed 5 %;
    of rolls paces and eyes 1 m or 3 %, clock 0.2 s, speed 5 %, each speed of a log 0.4 m/s.
    slope (uphill as rolled), headwind (against the roll), mass (of a coast-down) and note may
    stand beside each.

    With rolls the keys asked for are fitted; without --key rolling resistance and thrust. What is
    believed of a key before is its usual tolerance, or what --key "KEY=VALUE +/- TOLERANCE" says,
    the widest it can be off; one standard deviation, as this command prints it, is "KEY=VALUE sd
    DEVIATION". Of the rolling resistance it is the tow tests and coast-downs in the same file.

    Tow with the pack disconnected. Coast down with the power off (the idle thrust of a running
    fan falsifies it) and everybody clear. Measure rolls from the side, behind the pilot's line.
    """  # noqa: D301
    from sim.commands.fitting import Asked, refuse_without_rolls, take
    from sim.show.files import check_targets

    picture = picture_of(told.plots, scenario, "fit")
    check_targets([path for path in (output, picture) if path], told.force)
    asked = Asked(scenario, over, measurements, output)
    taken = take(asked)
    if taken.rolls:
        _from_rolls(taken, asked, key or (), picture, told)
    else:
        refuse_without_rolls(key or (), told.plots)
        _from_readings(taken, asked, told)


def _from_rolls(
    taken: "Taken", asked: "Asked", keys: Sequence[str], picture: Path | None, told: Told
) -> None:
    from sim.commands.fitting import fit_keys, print_rolls, roll_files
    from sim.commands.tasks import save

    found, grip = fit_keys(taken, keys)
    save(roll_files(found, asked, picture, told.units.value), told.force)
    print_rolls(found, grip, asked.file, told.as_json, told.units.value)


def _from_readings(taken: "Taken", asked: "Asked", told: Told) -> None:
    from sim.commands.fitting import print_measured, scenario_text
    from sim.commands.tasks import save
    from sim.study.fit import fit_grip

    found = fit_grip(taken.prepared, taken.readings)
    if asked.output:
        text = scenario_text(found, taken, asked, asked.output)
        save({asked.output: text.encode("utf-8")}, told.force)
    print_measured(found, taken, asked.file, told.as_json, told.units.value)
