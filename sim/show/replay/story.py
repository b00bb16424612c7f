"""The story of a roll: one plain document that every moving picture and the page draw from.

Lengths, times and forces are SI and angles radians whatever the reader's units; `units` says how
to show them. Numbers are rounded to what the eye can see.
"""

from typing import Any

import numpy as np

from sim.report import Report
from sim.roll.aero_table import Array
from sim.roll.contacts import PHASE_NAMES, SETS
from sim.roll.result import Event
from sim.roll.verdict import Verdict
from sim.show.figures.timeline import shown_rows
from sim.show.repeats import tell
from sim.show.replay.balance import ON_MAINS, PARTS, balance
from sim.show.replay.clock import Clock, make_clock
from sim.show.replay.scene import scene_of
from sim.show.units import formatter, unit_of
from sim.show.words import HAPPENINGS, VERDICTS

SPACING = 0.02
"""Seconds between samples, longer for a roll of more than MOST_ROWS of them."""
MOST_ROWS = 900
BEFORE, AFTER = 0.35, 0.35
"""Slow motion begins so long before the first wheel leaves and ends so long after the last [s]."""
WATCHED = 1.2
"""Slow motion about something that is over at once [s]."""

COLUMNS: dict[str, tuple[str, int]] = {
    "time": ("time", 4),
    "distance": ("distance", 3),
    "height": ("height", 4),
    "pitch": ("pitch", 5),
    "airspeed": ("airspeed", 3),
    "ground_speed": ("ground_speed", 3),
    "nose_load": ("nose_load", 3),
    "main_load": ("main_load", 3),
    "aft_load": ("tail_load", 3),
    "wing_lift": ("wing_lift", 3),
    "tail_lift": ("tail_lift", 3),
    "thrust": ("thrust", 3),
    "drag": ("drag", 3),
}
"""Column of the document -> column of the trace, digits kept."""
KINDS = {
    "length": "distance", "speed": "speed", "force": "force", "angle": "angle", "moment": "moment",
}  # fmt: skip
"""Name in `units` -> kind of quantity."""


def story(report: Report, system: str = "si") -> dict[str, Any]:
    """Everything a replay of one roll shows, JSON-able, without nan or infinity.

    Parameters
    ----------
    report
        of one roll, its trace kept.
    system
        "si" or "imperial": the words and the factors of `units`.

    Returns
    -------
    A dictionary:

    - `title`, `verdict`, `verdict_words`, `reason`, `failed` (it does not take off in the strip)
    - `units`: name -> unit, factor (shown = SI times factor), decimals
    - `scene`: see `sim.show.replay.scene.scene_of`
    - `columns`: name -> list, all of one length, `time` rising. `elevator` and `flap` are
      trailing edge down positive (an elevator that is pulled is negative), as the scene turns
      them; `height` is that of the lowest point of the mains; `phase` is an index into `phases`;
      `on_mains` 1 while the mains touch, when `balance` is about the main axle, else 0
    - `balance`: parts of the moment, see `sim.show.replay.balance`
    - `events`: what happened, in order of time
    - `clock`: see `sim.show.replay.clock`
    - `cautions`

    """
    trace = report.result.trace
    assert trace is not None
    rows = _rows(report)
    taken = {name: values[rows] for name, values in trace.columns.items()}
    phase = np.asarray(trace.phase)[rows].astype(int)
    verdict, end = report.result.verdict, round(float(taken["time"][-1]), COLUMNS["time"][1])
    return {
        "title": report.prepared.title,
        "verdict": str(verdict.value),
        "verdict_words": VERDICTS[verdict],
        "reason": report.reason.text(formatter(system)),
        "failed": verdict != Verdict.AIRBORNE,
        "units": _units(system),
        "scene": scene_of(report.prepared),
        "columns": _columns(report, taken, phase),
        "phases": [PHASE_NAMES[touching] for touching in SETS],
        "balance": _balance(report, taken, phase),
        "events": _events(report, end),
        "clock": clock_of(report, end),
        "cautions": list(report.cautions),
    }


def _units(system: str) -> dict[str, dict[str, Any]]:
    found = {name: unit_of(kind, system) for name, kind in KINDS.items()}
    return {
        name: {"unit": unit.symbol, "factor": unit.factor, "decimals": unit.decimals}
        for name, unit in found.items()
    }


def _rows(report: Report) -> Array:
    """Rows of the trace to keep: a regular grid, what happened, the ends; times all different.

    Of the two rows at an event, before and after it, the later one is kept.
    """
    trace = report.result.trace
    assert trace is not None
    time = np.round(trace["time"], COLUMNS["time"][1])
    shown = np.flatnonzero(shown_rows(report))
    end = time[shown[-1]]
    spacing = SPACING * max(1, int(np.ceil(end / SPACING / MOST_ROWS)))
    happened = [round(e.time, 4) for e in (*report.result.events, *report.result.also)]
    wanted = np.isin(time, np.concatenate([np.round(np.arange(0.0, end, spacing), 4), happened]))
    wanted[[shown[0], shown[-1]]] = True
    kept = shown[wanted[shown]]
    last = np.concatenate([np.diff(time[kept]) > 0.0, [True]])
    return np.asarray(kept[last])


def _columns(report: Report, taken: dict[str, Array], phase: Array) -> dict[str, list[float]]:
    p = report.result.setup.parameters
    found = {name: _rounded(taken[source], digits) for name, (source, digits) in COLUMNS.items()}
    start, dropped = _flap_angles(report)
    size = taken["time"].size
    found["elevator"] = _rounded(-taken["elevator"], 5)
    found["flap"] = _rounded(start + (dropped - start) * taken["flap_travel"], 5)
    found["weight"] = _rounded(np.full(size, float(p.mass * p.gravity)), 3)
    found["phase"] = [int(i) for i in phase]
    found["on_mains"] = [int(on) for on in ON_MAINS[phase]]
    return found


def _flap_angles(report: Report) -> tuple[float, float]:
    """Flap deflection at the start and after dropping them [rad], nil without flaps."""
    resolved = report.prepared.resolved
    wing = (resolved.get("aeroplane") or {}).get("wing") or {}
    start = float((wing.get("flaps") or {}).get("deflection_rad") or 0.0)
    drop = (resolved.get("pilot") or {}).get("drop_flaps") or {}
    return start, float(drop.get("to_rad", start))


def _balance(report: Report, taken: dict[str, Array], phase: Array) -> list[dict[str, Any]]:
    """The parts that do something, in their order."""
    parts = balance(report.result.setup, taken, phase)
    return [
        {"name": name, "words": words, "moment": _rounded(parts[name], 4)}
        for name, words in PARTS.items()
        if np.any(parts[name])
    ]


def _events(report: Report, until: float) -> list[dict[str, Any]]:
    """What happened, the first few of each name."""
    happened = sorted((*report.result.events, *report.result.also), key=lambda e: e.time)
    return [
        {
            "name": event.name,
            "words": HAPPENINGS[event.name],
            "time": round(event.time, 4),
            "distance": round(event.distance, 3),
        }
        for event in tell(tuple(happened)).events
        if event.time <= until
    ]


def clock_of(report: Report, end: float) -> Clock:
    """Slow from the first wheel that leaves to the last, or about the moment it shows it fails."""
    happened: dict[str, Event] = {}
    for event in (*report.result.events, *report.result.also):
        happened.setdefault(event.name, event)
    off = [happened[name].time for name in ("nose-wheel-off", "mains-off") if name in happened]
    lift_off = happened.get("lift-off")
    if off:
        last = lift_off.time if lift_off else min(off)
        return make_clock(end, (min(off) - BEFORE, max(last, min(off)) + AFTER))
    return make_clock(end, _moment(happened, end))


def _moment(happened: dict[str, Event], end: float) -> tuple[float, float]:
    """Where to look when no wheel leaves: the strip's end, else the pull, else nowhere."""
    for name, before in (("strip-end", 0.8), ("pull", 0.2)):
        if name in happened:
            first = happened[name].time - before * WATCHED
            return first, first + WATCHED
    return end, end


def _rounded(values: Array, digits: int) -> list[float]:
    """Plain numbers; a negative zero is a zero."""
    rounded: list[float] = (np.round(np.asarray(values, dtype=float), digits) + 0.0).tolist()
    return rounded
