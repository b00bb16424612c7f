"""Tow test: the steady pull on a scale over level ground is the rolling resistance.

At a walking pace nothing accelerates and the air does not matter (at 1.5 m/s a model jet's drag
is some 0.02 N, half a percent of the pull on mown grass). The pull is along the ground, at axle
height: higher or lower it moves load between the axles, not its sum.
"""

import math
from dataclasses import dataclass

from sim.strip.reading import (
    TAKE_OFF_WAY,
    Array,
    Course,
    ImpossibleReading,
    Label,
    Measured,
    Reduced,
    Roller,
)


@dataclass(frozen=True)
class TowReading:
    """One steady pull.

    Attributes
    ----------
    label: where it was read.
    pull: along the ground [N].
    load: weight of what is pulled [N], or None for the aeroplane's own.
    main_load, nose_load: the same axle by axle [N]; both or none.
    course: direction and slope.

    """

    label: Label
    pull: Measured
    load: Measured | None = None
    main_load: Measured | None = None
    nose_load: Measured | None = None
    course: Course = TAKE_OFF_WAY


def tow_resistance(pull: float, weight: float, slope: float) -> float:
    """Rolling resistance from a steady pull [-].

    `mu = (F - W sin(s))/(W cos(s))` [N, N, rad], any slope; 4.1 N on 30.4 N gives 0.1349, and the
    same uphill on 2 % gives 0.1149. Momentum along the strip at steady speed (definition).

    Parameters
    ----------
    pull
        along the ground [N].
    weight
        of what is pulled [N].
    slope
        uphill in the direction of the pull [rad].

    """
    return (pull - weight * math.sin(slope)) / (weight * math.cos(slope))


def reduce_tow(reading: TowReading, roller: Roller) -> Reduced:
    """A tow test as a rolling resistance (see `Reduced`).

    Raises
    ------
    ImpossibleReading
        For a pull that is not below the load.

    """
    loads = _loads(reading, roller)
    weight = sum(m.value for m in loads)
    if reading.pull.value >= weight:
        raise ImpossibleReading("pull", f"less than the load it rolls under ({weight:.4g} N)")

    def solve(values: Array) -> float:
        return tow_resistance(float(values[0]), float(values[1:].sum()), roller.slope)

    told = len(loads) == 2
    share = loads[0].value / weight if told else roller.main_share
    return Reduced((reading.pull, *loads), solve, share, told)


def _loads(reading: TowReading, roller: Roller) -> tuple[Measured, ...]:
    """What is pulled, axle by axle where it was weighed so."""
    if reading.main_load is not None and reading.nose_load is not None:
        return reading.main_load, reading.nose_load
    if reading.load is not None:
        return (reading.load,)
    return (Measured(roller.mass * roller.gravity, 0.0),)
