"""Guards of the oracle: named functions whose zero ends a smooth piece."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from sim.roll.parameters import NEVER

from .contact import MAIN, NAMES
from .motion import PERC, TH, Look, Motion, V, X, Z

UPSET = math.radians(45.0)
GAP_SLACK = 1e-12  # a point that has just left arrives only beyond this [m]
KINK_SLACK = 1e-9
SPEED_SLACK = 1e-12  # and V from rest is zero again only beyond this [m/s]


@dataclass
class Guard:
    """One armed guard; `direction` +1 fires on rising through zero."""

    kind: str
    label: str
    direction: int
    value: Callable[[Look], float]
    motion: Motion
    point: int = -1
    terminal: bool = True

    def __call__(self, t: float, y: np.ndarray) -> float:
        """Value for `solve_ivp`."""
        return self.value(self.motion.look(t, y))


def armed(motion: Motion, speed: float) -> list[Guard]:
    """All guards of the present mode, at ground speed `speed` [m/s]."""
    out = _contacts(motion) + _direction(motion) + _triggers(motion) + _ends(motion)
    p = motion.p
    for floor in (0.0, 1.0):  # kinks of the aerodynamics, not decisions
        if abs(speed + p.headwind - floor) < KINK_SLACK:
            continue  # a restart on the kink itself must not find it again
        out.append(_make(motion, "kink", f"airspeed {floor}", 0, _airspeed(motion, floor)))
    return out


def _make(
    motion: Motion,
    kind: str,
    label: str,
    direction: int,
    value: Callable[[Look], float],
    point: int = -1,
) -> Guard:
    return Guard(kind, label, direction, value, motion, point)


def _load(motion: Motion, i: int) -> Callable[[Look], float]:
    return lambda k: k.loads[i] / motion.contacts.weight


def _gap(motion: Motion, i: int, less: float) -> Callable[[Look], float]:
    return lambda k: motion.contacts.gap(i, k.y[Z], k.y[TH]) - less


def _place(at: float) -> Callable[[Look], float]:
    return lambda k: k.y[X] - at


def _airspeed(motion: Motion, at: float) -> Callable[[Look], float]:
    return lambda k: k.y[V] + float(motion.p.headwind) - at


def _contacts(motion: Motion) -> list[Guard]:
    m = motion.mode
    out = []
    for i in range(3):
        if i in m.touching:
            out.append(_make(motion, "release", NAMES[i], -1, _load(motion, i), i))
        else:
            slack = GAP_SLACK if i in m.fresh else 0.0
            out.append(_make(motion, "arrive", NAMES[i], -1, _gap(motion, i, -slack), i))
    return out


def _direction(motion: Motion) -> list[Guard]:
    m = motion.mode
    if not m.touching:
        return []
    if m.s == 0:
        return [
            _make(motion, "loose", "forward", 1, lambda k: k.surges[0]),
            _make(motion, "loose", "backward", -1, lambda k: k.surges[1]),
        ]
    return [_make(motion, "zero", "V", -m.s, lambda k: k.y[V] + m.s * SPEED_SLACK)]


def _triggers(motion: Motion) -> list[Guard]:
    p, m = motion.p, motion.mode
    wanted = []
    if not m.pulled and not m.aborted:
        wanted.append(("pull", p.pull_place, p.pull_airspeed))
    if m.dropped_at == NEVER:
        wanted.append(("drop", p.drop_place, p.drop_airspeed))
    if not m.aborted and not m.nose_left:
        wanted.append(("abort", p.abort_place, p.abort_airspeed))
    out = []
    for label, place, airspeed in wanted:
        if place < NEVER:
            out.append(_make(motion, "place", label, 1, _place(place)))
        if airspeed < NEVER:
            out.append(_make(motion, "airspeed", label, 1, _airspeed(motion, airspeed)))
    if p.law_on and not m.law and not m.aborted:
        threshold = motion.ground_pitch + p.notice_threshold
        out.append(_make(motion, "law", "law", 1, lambda k: k.y[PERC] - threshold))
    return out


def _ends(motion: Motion) -> list[Guard]:
    p, m = motion.p, motion.mode
    out = [
        _make(motion, "upset", "up", 1, lambda k: k.y[TH] - UPSET),
        _make(motion, "upset", "down", -1, lambda k: k.y[TH] + UPSET),
    ]
    if m.touching and not m.strip_done:
        out.append(_make(motion, "place", "strip-end", 1, _place(p.strip_length)))
    if m.lifted_at < NEVER and not m.screened:
        out.append(_make(motion, "screen", "screen-height", 1, _gap(motion, MAIN, p.screen_height)))
    if p.obstacle_distance < NEVER and not m.obstacle_done:
        out.append(_make(motion, "place", "obstacle", 1, _place(p.obstacle_distance)))
    return out
