"""Coast-down: how an aeroplane rolls to a stop without power tells its rolling resistance.

Lift and drag coefficients are those of the ground attitude, so with `U = V + w` (w the headwind)

    dV/dt = -(mu (m g cos(s) - L) + D)/m - g sin(s) = -(A + B U^2)
    A = g (mu cos(s) + sin(s)),   B = (D/U^2 - mu L/U^2)/m

whose time and distance from one speed to another are closed forms. With `z = B U^2/A`

    time to U = 0:       (U/A) atan(sqrt(z))/sqrt(z)
    air passed till then: U^2/(2 A) ln(1 + z)/z

(atanh for z < 0), less the headwind's part of the distance. Below `U = 0`, in a tailwind, there
is no air force, as in the time-step core, and it slows down with A alone.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq, least_squares

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

HIGHEST = 5.0
LOWEST = -1.0
"""Bounds of the search; what is impossible is refused afterwards, in the builder's words."""

Law = Callable[[float, float, Roller], float]
"""Rolling resistance from a speed, what it took to the stop, and what rolled."""

NEAR_ZERO = 1e-4
"""Of z, below which series take over: their first term left out is below 1e-12."""


@dataclass(frozen=True)
class CoastToStop:
    """Speed at a mark, and either the distance or the time from there to the stop.

    Attributes
    ----------
    label: where it was read.
    speed: over the ground, at the mark [m/s].
    distance: from the mark to the stop [m], or None.
    time: from the mark to the stop [s], or None.
    mass: [kg], or None for the aeroplane's own.
    course: direction, slope, headwind.

    """

    label: Label
    speed: Measured
    distance: Measured | None = None
    time: Measured | None = None
    mass: float | None = None
    course: Course = TAKE_OFF_WAY


@dataclass(frozen=True)
class CoastPastMarks:
    """Times at two or more marks beyond a first one; clock and tape both start at the first.

    Attributes
    ----------
    label: where it was read.
    marks: distances beyond the first mark, rising [m].
    times: since the first mark, rising [s].
    mass: [kg], or None for the aeroplane's own.
    course: direction, slope, headwind.

    """

    label: Label
    marks: tuple[Measured, ...]
    times: tuple[Measured, ...]
    mass: float | None = None
    course: Course = TAKE_OFF_WAY


def slowing(resistance: float, roller: Roller) -> tuple[float, float]:
    """A [m/s2] and B [1/m] of `dV/dt = -(A + B U^2)`.

    0.13 on level ground, without air, gives A = 1.2749 m/s2 and B = 0. Momentum along the strip.
    """
    cos, sin = math.cos(roller.slope), math.sin(roller.slope)
    drag = roller.drag_per_square - resistance * roller.lift_per_square
    return roller.gravity * (resistance * cos + sin), drag / roller.mass


def _time_left(speed: float, a: float, b: float) -> float:
    """Time until the airspeed is zero [s]; infinite if it never is."""
    if a <= 0.0 or a + b * speed * speed <= 0.0:
        return math.inf
    z = b * speed * speed / a
    root = math.sqrt(abs(z))
    if abs(z) < NEAR_ZERO:
        share = 1.0 - z / 3.0 + z * z / 5.0
    else:
        share = math.atan(root) / root if z > 0.0 else math.atanh(root) / root
    return speed / a * share


def _air_left(speed: float, a: float, b: float) -> float:
    """Air passed until the airspeed is zero [m]."""
    z = b * speed * speed / a
    return speed * speed / (2.0 * a) * (math.log1p(z) / z if z else 1.0)


def _speed_with(time_left: float, a: float, b: float) -> float:
    """Airspeed that many seconds before it is zero [m/s], the inverse of `_time_left`."""
    y = a * b * time_left * time_left
    root = math.sqrt(abs(y))
    if abs(y) < NEAR_ZERO:
        share = 1.0 + y / 3.0 + 2.0 * y * y / 15.0
    else:
        share = math.tan(root) / root if y > 0.0 else math.tanh(root) / root
    return a * time_left * share


def stopping(resistance: float, speed: float, roller: Roller) -> tuple[float, float]:
    """Distance [m] and time [s] from a ground speed to the stop; infinite if it never stops.

    Closed forms of the module's text. 8 m/s, 0.13, level, no air: 25.10 m and 6.275 s.

    Parameters
    ----------
    resistance
        rolling resistance [-].
    speed
        over the ground [m/s].
    roller
        what rolls, and on what.

    """
    a, b = slowing(resistance, roller)
    wind = roller.headwind
    start, end = max(speed + wind, 0.0), max(wind, 0.0)
    time = _time_left(start, a, b) - _time_left(end, a, b)
    if not math.isfinite(time):
        return math.inf, math.inf
    distance = _air_left(start, a, b) - _air_left(end, a, b) - wind * time
    still = min(max(-wind, 0.0), speed)  # ground speed left when the air no longer moves past
    return distance + still * still / (2.0 * a), time + still / a


def place_after(resistance: float, speed: float, time: float, roller: Roller) -> float:
    """Distance rolled in a time [m], from a ground speed [m/s]; it stays where it stops.

    8 m/s, 0.13, level, no air: 13.45 m after 2 s. A roll that does not slow down is continued with
    its first acceleration, for the search only.
    """
    a, b = slowing(resistance, roller)
    wind = roller.headwind
    start, end = max(speed + wind, 0.0), max(wind, 0.0)
    left = _time_left(start, a, b)
    if not math.isfinite(left):
        return speed * time - 0.5 * (a + b * start * start) * time * time
    airborne = min(time, left - _time_left(end, a, b))
    now = _speed_with(left - airborne, a, b)
    distance = _air_left(start, a, b) - _air_left(now, a, b) - wind * airborne
    still = min(max(-wind, 0.0), speed)
    rest = min(time - airborne, still / a)
    return distance + still * rest - 0.5 * a * rest * rest


def resistance_to_stop(speed: float, distance: float, roller: Roller) -> float:
    """Rolling resistance from a speed [m/s] and the distance to the stop [m]; root of `stopping`.

    8 m/s and 25.10 m, level, no air: 0.13.
    """
    return _root(lambda mu: 1.0 / stopping(mu, speed, roller)[0] - 1.0 / distance)


def resistance_in_time(speed: float, time: float, roller: Roller) -> float:
    """Rolling resistance from a speed [m/s] and the time to the stop [s]; root of `stopping`.

    8 m/s and 6.275 s, level, no air: 0.13.
    """
    return _root(lambda mu: 1.0 / stopping(mu, speed, roller)[1] - 1.0 / time)


def _root(gap: Callable[[float], float]) -> float:
    """The only root: more resistance always stops it sooner; `HIGHEST` where even that rolls on."""
    if gap(HIGHEST) <= 0.0:
        return HIGHEST
    return float(brentq(gap, LOWEST, HIGHEST, xtol=1e-12, rtol=1e-12))


def resistance_past_marks(
    marks: Array, times: Array, spread: Array, roller: Roller
) -> tuple[float, float]:
    """Rolling resistance [-] and speed at the first mark [m/s] that fit the times best.

    Parameters
    ----------
    marks, times
        beyond the first mark, shape (n,) with n >= 2 [m], [s].
    spread
        uncertainty of each place, that of its time included, shape (n,) [m].
    roller
        what rolls, and on what.

    """
    free = np.column_stack([times, -0.5 * times * times])
    speed, slowed = np.linalg.lstsq(free / spread[:, None], marks / spread, rcond=None)[0]
    first = (slowed / roller.gravity - math.tan(roller.slope), speed)

    def misses(unknown: Array) -> Array:
        places = [place_after(unknown[0], unknown[1], t, roller) for t in times]
        return np.asarray((np.array(places) - marks) / spread)

    found = least_squares(misses, first, x_scale=(0.1, 10.0), xtol=1e-12, ftol=1e-12, gtol=1e-12)
    return float(found.x[0]), float(found.x[1])


def reduce_to_stop(reading: CoastToStop, roller: Roller) -> Reduced:
    """A coast-down to the stop as a rolling resistance (see `Reduced`).

    Raises
    ------
    ImpossibleReading
        For a speed at which the wheels carry nothing.

    """
    _check_on_wheels(reading.speed.value, "speed", roller)
    by_distance = reading.distance is not None
    law: Law = resistance_to_stop if by_distance else resistance_in_time
    end = reading.distance if by_distance else reading.time
    assert end is not None

    def solve(values: Array) -> float:
        return law(float(values[0]), float(values[1]), roller)

    return Reduced((reading.speed, end), solve, roller.main_share)


def reduce_past_marks(reading: CoastPastMarks, roller: Roller) -> Reduced:
    """Times at marks as a rolling resistance (see `Reduced`).

    Raises
    ------
    ImpossibleReading
        For a roll past marks that gets faster by more than its clock and tape explain.

    """
    count = len(reading.marks)
    marks = np.array([m.value for m in reading.marks])
    times = np.array([t.value for t in reading.times])
    _check_slows_down(reading)
    speeds = np.diff(marks, prepend=0.0) / np.diff(times, prepend=0.0)
    _check_on_wheels(float(speeds[0]), "times", roller)
    spread = np.hypot(
        [m.deviation for m in reading.marks], speeds * [t.deviation for t in reading.times]
    )

    def solve(values: Array) -> float:
        return resistance_past_marks(values[:count], values[count:], spread, roller)[0]

    return Reduced((*reading.marks, *reading.times), solve, roller.main_share)


def _check_slows_down(reading: CoastPastMarks) -> None:
    """Mean speeds between marks must not rise by more than twice their uncertainty."""
    before: tuple[float, float] | None = None
    start = (Measured(0.0, 0.0), Measured(0.0, 0.0))
    for mark, time in zip(reading.marks, reading.times, strict=True):
        length, lasted = mark.value - start[0].value, time.value - start[1].value
        speed = length / lasted
        spread = speed * math.hypot(
            math.hypot(mark.deviation, start[0].deviation) / length,
            math.hypot(time.deviation, start[1].deviation) / lasted,
        )
        if before is not None and speed - before[0] > 2.0 * math.hypot(spread, before[1]):
            raise ImpossibleReading(
                "times",
                "a roll that slows down"
                f" (here {before[0]:.3g} m/s, then {speed:.3g} m/s from mark to mark)",
            )
        before, start = (speed, spread), (mark, time)


def _check_on_wheels(speed: float, name: str, roller: Roller) -> None:
    """Refuse a speed at which lift carries the whole weight: nothing rolls there."""
    wind = max(speed + roller.headwind, 0.0)
    weight = roller.mass * roller.gravity * math.cos(roller.slope)
    if roller.lift_per_square * wind * wind >= weight:
        fastest = math.sqrt(weight / roller.lift_per_square) - roller.headwind
        raise ImpossibleReading(name, f"slower than {fastest:.3g} m/s, where the wheels lift off")
