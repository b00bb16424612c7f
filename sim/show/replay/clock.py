"""The clock of a replay: seconds shown against seconds of the roll, slow around rotation.

A clock is a list of [shown, roll] pairs [s], straight lines between them, both never falling.
"""

import numpy as np

from sim.roll.aero_table import Array

Clock = list[list[float]]

SLOWEST = 5.0
"""Seconds shown for one second of the roll around rotation, at most."""
LONGEST_SLOW = 7.0
"""The slow part is never shown for longer than this [s]."""
LONGEST_REST = 8.0
"""What is shown at the roll's own pace; a longer roll is shown faster there [s]."""
HOLD = 2.5
"""The last moment stays to be read for so long [s]."""
LONGEST = 20.0
"""Two rolls on one clock never take longer than this [s]."""


def make_clock(end: float, slow: tuple[float, float]) -> Clock:
    """Clock of a roll of `end` seconds that is slow from slow[0] to slow[1] [s].

    Its pieces: up to the slow part, the slow part, what follows, and the last moment held.
    """
    first, last = (float(np.clip(t, 0.0, end)) for t in slow)
    width = last - first
    slowness = float(np.clip(LONGEST_SLOW / width, 1.0, SLOWEST)) if width > 0.0 else 1.0
    rest = end - width
    pace = min(1.0, LONGEST_REST / rest) if rest > 0.0 else 1.0
    roll = [0.0, first, last, end]
    spans = [pace * first, slowness * width, pace * (end - last)]
    return _held(np.concatenate([[0.0], np.cumsum(spans)]), np.array(roll))


def joined(one: Clock, other: Clock) -> Clock:
    """One clock for two rolls: at every moment of the roll the slower of the two.

    It goes on to the later end; the roll that has ended shows its last moment. One and the same
    clock joined with itself is that clock.
    """
    times = np.unique(np.concatenate([_moving(one)[1], _moving(other)[1]]))
    spans = np.maximum(_spans(one, times), _spans(other, times))
    total = float(spans.sum())
    if total + HOLD > LONGEST:
        spans = spans * ((LONGEST - HOLD) / total)
    return _held(np.concatenate([[0.0], np.cumsum(spans)]), times)


def roll_time(clock: Clock, shown: Array | float) -> Array:
    """Time of the roll at a time shown [s]; the ends are held."""
    pairs = np.array(clock)
    return np.asarray(np.interp(shown, pairs[:, 0], pairs[:, 1]))


def shown_time(clock: Clock, roll: Array | float) -> Array:
    """Time at which a moment of the roll is shown [s]; the first one of a moment held."""
    shown, moments = _moving(clock)
    return np.asarray(np.interp(roll, moments, shown))


def slowness(clock: Clock, shown: float) -> float:
    """Seconds shown for one second of the roll then: 5 slow motion, 1 its own pace, 0.5 faster.

    While the last moment is held: infinite.
    """
    pairs = np.array(clock)
    i = int(np.clip(np.searchsorted(pairs[:, 0], shown, side="right"), 1, len(pairs) - 1))
    ahead = pairs[i] - pairs[i - 1]
    return float(ahead[0] / ahead[1]) if ahead[1] > 0.0 else float("inf")


def _held(shown: Array, roll: Array) -> Clock:
    """Pairs in order, without empty pieces, the last moment held."""
    keep = np.concatenate([[True], np.diff(roll) > 1e-9])
    shown, roll = shown[keep], roll[keep]
    pairs = [[round(float(s), 4), round(float(r), 5)] for s, r in zip(shown, roll, strict=True)]
    return [*pairs, [round(pairs[-1][0] + HOLD, 4), pairs[-1][1]]]


def _moving(clock: Clock) -> tuple[Array, Array]:
    """Shown and roll times without the moment held at the end."""
    pairs = np.array(clock)
    keep = np.concatenate([[True], np.diff(pairs[:, 1]) > 0.0])
    return pairs[keep, 0], pairs[keep, 1]


def _spans(clock: Clock, times: Array) -> Array:
    """Seconds shown between times of the roll; after its end the roll is not shown any more."""
    return np.diff(shown_time(clock, times))
