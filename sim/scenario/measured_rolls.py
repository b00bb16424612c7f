"""Measured rolls: what people on the strip, a video or a logger saw of a take-off.

    [[roll]]
    nose_up_distance  = "31 m +/- 2 m"        # also nose_up_time, nose_up_speed
    lift_off_distance = "48 m"                # also lift_off_time, lift_off_speed
    headwind = "1 m/s"                        # surface, pull_at, changes = ["mains-forward"]
    log      = "flight-3.csv"                 # a whole speed trace, see `sim.scenario.speed_logs`

Distances and times count from where and when it was let go, speeds are over the ground.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.strip.reading import Label, Measured

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Seen:
    """What was seen of an event: its name and the column of its record."""

    event: str
    column: str


SEEN: dict[str, Seen] = {
    f"{stem}_{what}": Seen(event, column)
    for stem, event in (("nose_up", "nose-wheel-off"), ("lift_off", "lift-off"))
    for what, column in (("distance", "distance"), ("time", "time"), ("speed", "ground_speed"))
}
"""Names of the numbers of a roll."""


@dataclass(frozen=True)
class SpeedLog:
    """Speeds against time.

    Attributes
    ----------
    name: of the file.
    times, speeds: shape (n,), rising times [s], [m/s].
    airspeed: whether they are through the air, not over the ground.
    deviation: of each speed, one standard deviation [m/s].
    start: time in the log at which it was let go [s].

    """

    name: str
    times: Array
    speeds: Array
    airspeed: bool
    deviation: float
    start: Measured


@dataclass(frozen=True)
class MeasuredRoll:
    """One roll as it was seen.

    Attributes
    ----------
    label: where it comes from.
    seen: numbers by name, a key of `SEEN`.
    changes: of the scenario, that were on the aeroplane.
    overrides: KEY=VALUE of what was otherwise on the day: surface, headwind, place of the pull.
    log: a speed trace, if there is one.

    """

    label: Label
    seen: dict[str, Measured]
    changes: Sequence[str] = ()
    overrides: Sequence[str] = ()
    log: SpeedLog | None = None
