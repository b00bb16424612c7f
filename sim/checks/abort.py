"""Where to close the throttle if the nose is not up, and whether the strip is long enough for it.

The aeroplane of a mark is one that does *not* rotate: it rolls at full throttle with the stick left
alone, because a pull that works would lift the nose, and a pull that does not works only as drag.
A lane closes its throttle at each of many places; where it comes to rest is `S(x)`. With nothing
but rolling resistance and steady thrust `S = T x/(mu m g)` [m], by work: 24 N, 3.2 kg and 0.13 give
5.9 metres of strip for each metre at full throttle.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from scipy.interpolate import KroghInterpolator
from scipy.optimize import brentq

from sim.roll.aero_table import Array
from sim.roll.events import Happening
from sim.roll.parameters import NEVER, Setup
from sim.roll.result import Many, simulate_many
from sim.roll.verdict import Verdict

THINKING = 1.0
"""From the mark to the closed throttle [s]: seeing that the nose is down, deciding, moving the
stick. A judgement; full-size rules add a distance of two seconds at the decision speed (14 CFR
25.109, from memory)."""
PLACES = 72
"""Places at which the throttle is closed, closer together near the start."""
REACH = 1.5
"""They go so far, share of the strip: beyond its end they tell how long a strip would do."""
LEAST_OVER = 1e-6
"""A stop no further beyond a length than this [m] is one within it; rounding of the root."""
WIND_STEP, WIND_STEPS = 0.5, 16
"""Tailwinds that are tried [m/s]."""


class Room(StrEnum):
    """What the strip has room for."""

    BOTH = "both"
    TYPICAL = "both on a typical day"
    NEITHER = "not both"
    SELF = "the nose comes up by itself"
    GROUNDED = "the nose does not come up"
    STILL = "it does not roll"


@dataclass(frozen=True)
class Band:
    """A place in the roll, and where it moves within what is not known better [m]; inf: never."""

    typical: float
    early: float
    late: float


@dataclass(frozen=True)
class Closing:
    """What comes of closing the throttle at a place [m, m/s].

    Attributes
    ----------
    place, speed: along the strip, over the ground.
    stop: where it has come to rest; inf where it rolls on and on.
    end_speed: over the ground as it leaves the strip; nan when it stops before.

    """

    place: float
    speed: float
    stop: float
    end_speed: float


@dataclass(frozen=True)
class Coast:
    """Closing the throttle at rising places, each shape (n,) [m, s, m/s], as in `Closing`.

    Ends where the nose comes up without a pull. `length` is that of the strip [m].
    """

    place: Array
    time: Array
    speed: Array
    stop: Array
    end_speed: Array
    length: float

    def last_within(self, length: float) -> float:
        """Last place [m] from which it stops within a length [m]; nan where no place does."""
        late = np.flatnonzero(self.stop > length)
        if not late.size:
            return self.end
        after = int(late[0])
        if after == 0:
            return float("nan")
        ends = float(self.place[after - 1]), float(self.place[after])
        if not np.isfinite(self.stop[after]):
            return ends[0]
        return float(brentq(lambda x: self._stop(x) - length, *ends, xtol=1e-12, rtol=1e-14))

    def _stop(self, place: float) -> float:
        """Where it comes to rest [m]; inf beside a place from which it rolls on.

        Cubic through four places: lines between them would stop it some centimetres too early.
        """
        after = max(int(np.searchsorted(self.place, place)), 1)
        if not np.isfinite(self.stop[after - 1 : after + 1]).all():
            return float("inf")
        near = slice(max(after - 2, 0), after + 2)
        known = np.isfinite(self.stop[near])
        x, y = self.place[near][known], self.stop[near][known]
        return float(KroghInterpolator(x, y)(place))

    def _end_speed(self, place: float, stop: float) -> float:
        """Speed at the strip end [m/s] of what comes to rest at a stop [m]; nan within the strip.

        Its square is a rate times the distance it would roll beyond the end, and the rate is read
        between the places beside it, or taken from the one of them from which it leaves the strip.
        """
        if stop <= self.length + LEAST_OVER:
            return float("nan")
        after = max(int(np.searchsorted(self.place, place)), 1)
        beside = slice(after - 1, after + 1)
        known = np.isfinite(self.end_speed[beside])
        where, squares, stops = (
            v[beside][known] for v in (self.place, self.end_speed**2, self.stop)
        )
        if not known.any() or not (known.all() or np.isfinite(stop)):
            return float("nan")
        if not np.isfinite(stop):
            return float(np.interp(place, where, squares) ** 0.5)
        rate = squares / (stops - self.length)
        return float((np.interp(place, where, rate) * (stop - self.length)) ** 0.5)

    def passed(self, place: float, seconds: float) -> float:
        """Where it is so much later, or before, at full throttle [m]; nan beyond what was rolled.

        Place grows with the square of time at first, so its root is interpolated.
        """
        if not self.place.size:
            return float("nan")
        root = np.sqrt(self.place)
        now = np.interp(np.sqrt(place), root, self.time, left=np.nan, right=np.nan)
        then = float(now) + seconds
        return float(np.interp(then, self.time, root, left=np.nan, right=np.nan) ** 2)

    @property
    def end(self) -> float:
        """Last place that was rolled with the nose down [m]; nan for none."""
        return float(self.place[-1]) if self.place.size else float("nan")

    def place_after(self, look: float) -> float:
        """Where the throttle is closed when the nose is looked at here [m], or as late as known."""
        closed = self.passed(look, THINKING)
        return closed if np.isfinite(closed) else self.end

    def at(self, place: float) -> Closing:
        """What comes of closing at a place [m]; nan beyond what was rolled."""
        if not self.place.size or not self.place[0] <= place <= self.place[-1]:
            return Closing(place, *(float("nan"),) * 3)
        stop = self._stop(place)
        speed = float(np.interp(place, self.place, self.speed))
        return Closing(place, speed, stop, self._end_speed(place, stop))


@dataclass(frozen=True)
class Abort:
    """The abort mark of one aeroplane on one strip.

    Attributes
    ----------
    room: what the strip has room for.
    mark: where to look at the nose [m]; nan where no place allows both stopping and flying.
    last: last place of a closed throttle from which it stops in the strip, typically and with the
        least rolling resistance [m]; nan where there is none.
    typical, far: what comes of it when the nose is not up at the mark and the throttle closes
        `THINKING` later, typically and with the least rolling resistance. Without a mark: when it
        is not up where it is expected to be.
    nose, lift_off: where both are expected if it flies.
    tailwind: largest [m/s] in which it still takes off in the strip, typically and over all that
        is uncertain, as far as was tried; nan where it does not even in the wind given.
    coast, coast_far: all places.
    length: of the strip [m].

    """

    room: Room
    mark: float
    last: tuple[float, float]
    typical: Closing
    far: Closing
    nose: Band
    lift_off: Band
    tailwind: tuple[float, float]
    coast: Coast
    coast_far: Coast
    length: float

    @property
    def look(self) -> float:
        """Where the nose is looked at: the mark, or where it is expected up [m]."""
        return self.mark if np.isfinite(self.mark) else self.nose.typical

    @property
    def full_speed(self) -> float:
        """Over the ground at the strip end, the throttle never closed before it [m/s]."""
        return self.coast.at(self.length).speed

    @property
    def strip_for_both(self) -> float:
        """Length of strip [m] that would stop it after the look, typically; inf: no telling."""
        return self.typical.stop if np.isfinite(self.typical.stop) else float("inf")


def never_pulling(setup: Setup, abort_place: float = NEVER) -> Setup:
    """The aeroplane that does not rotate, its throttle closed at a place [m]."""
    p = setup.parameters
    return setup.but(
        hold_elevator=min(p.hold_elevator, 0.0), pull_place=NEVER, pull_airspeed=NEVER,
        pull_time=NEVER, abort_place=abort_place, abort_airspeed=NEVER,
    )  # fmt: skip


def not_given_up(setup: Setup, tailwind: float = 0.0) -> Setup:
    """The take-off flown to its end, in more tailwind [m/s]."""
    headwind = setup.parameters.headwind - tailwind
    return setup.but(abort_place=NEVER, abort_airspeed=NEVER, headwind=headwind)


def abort_mark(setup: Setup, ends: Sequence[Setup] = ()) -> Abort:
    """Roll the take-off, every place of closing the throttle and every tailwind in one batch.

    Parameters
    ----------
    setup
        the roll; an abort of its own is left out.
    ends
        the same roll with what is uncertain at its ends.

    """
    length = float(setup.parameters.strip_length)
    places = REACH * length * (np.arange(1, PLACES + 1) / PLACES) ** 2
    rolls = [setup, *ends]
    easiest = min(rolls, key=lambda one: one.parameters.main_friction)
    closing = [never_pulling(base, float(x)) for base in (setup, easiest) for x in places]
    winds = [WIND_STEP * k for k in range(WIND_STEPS + 1)]
    blown = [not_given_up(roll, wind) for wind in winds for roll in rolls]
    many = simulate_many([*closing, *blown])
    coast, far = (_coast(many, slice(i * PLACES, (i + 1) * PLACES), length) for i in (0, 1))
    first = 2 * PLACES
    calm = slice(first, first + len(rolls))
    nose, lift_off = (
        _band(many.facts.first_place[what, calm])
        for what in (Happening.NOSE_WHEEL_OFF, Happening.LIFT_OFF)
    )
    flown = np.array([v is Verdict.AIRBORNE for v in many.verdicts[first:]])
    tailwind = _borne(flown.reshape(len(winds), len(rolls)), winds)
    return _judged((coast, far), (nose, lift_off), tailwind, length)


def _coast(many: Many, lanes: slice, length: float) -> Coast:
    """Lanes up to the first whose nose came up, or that never got so far."""
    facts = many.facts
    closed = np.isfinite(facts.first_place[Happening.ABORT, lanes])
    count = int(np.argmin(closed)) if not closed.all() else closed.size
    rows = {}
    for lane in range(lanes.start, lanes.start + count):
        events = {e.name: e for e in reversed(many.result(lane).events)}
        shut, stop, end = events["abort"], events.get("stop"), events.get("strip-end")
        rows[lane] = (
            shut.distance, shut.time, shut.ground_speed, stop.distance if stop else np.inf,
            end.ground_speed if end else np.nan,
        )  # fmt: skip
    columns = np.array(list(rows.values()), dtype=float).reshape(count, 5).T
    place, time, speed, stopped, end_speed = columns
    return Coast(place, time, speed, stopped, end_speed, length)


def _band(places: Array) -> Band:
    """First lane typical, the others at ends of what is uncertain."""
    known = np.where(np.isfinite(places), places, np.inf)
    return Band(float(known[0]), float(known.min()), float(known.max()))


def _borne(flown: Array, winds: list[float]) -> tuple[float, float]:
    """Largest tailwind up to which every smaller one was borne: typically, and by all rolls."""
    counts = (np.logical_and.accumulate(column).sum() for column in (flown[:, 0], flown.all(1)))
    typical, all_of_them = (winds[n - 1] if n else float("nan") for n in counts)
    return typical, all_of_them


def _judged(
    coasts: tuple[Coast, Coast],
    bands: tuple[Band, Band],
    tailwind: tuple[float, float],
    length: float,
) -> Abort:
    """What the strip has room for, and the mark."""
    last = [coast.last_within(length) for coast in coasts]
    marks = [c.passed(x, -THINKING) for c, x in zip(coasts, last, strict=True)]
    nose, lift_off = bands
    room, mark = _room(coasts[0], marks, nose, length)
    look = mark if np.isfinite(mark) else nose.typical
    typical, far = (c.at(c.place_after(look)) for c in coasts)
    if room is Room.SELF:
        typical, far = (c.at(c.end) for c in coasts)
    return Abort(
        room, mark, (last[0], last[1]), typical, far, nose, lift_off, tailwind, *coasts, length
    )


def _room(coast: Coast, marks: list[float], nose: Band, length: float) -> tuple[Room, float]:
    if not coast.place.size:
        return Room.STILL, float("nan")
    if not nose.typical <= length:
        return Room.GROUNDED, marks[1]
    if nose.late <= marks[1]:
        return Room.BOTH, marks[1]
    if nose.typical <= marks[0]:
        return Room.TYPICAL, marks[0]
    ends_early = coast.end < length and coast.stop[-1] <= length
    return (Room.SELF if ends_early else Room.NEITHER), float("nan")
