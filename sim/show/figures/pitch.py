"""Pitch, pitch rate and elevator against time."""

from math import isfinite
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from sim.roll.lift_limit import TOP_AT
from sim.show.figures.style import FAINT, FONT, LIMIT, LINES, SMALL, dress, label, new_axes
from sim.show.figures.timeline import column, finish, shown_rows, start_time_axis
from sim.show.units import unit_of

if TYPE_CHECKING:
    from sim.report import Report


BEFORE = 0.5
"""Shown before the first event [s]."""


def pitch_figure(report: "Report", axes: Axes | None = None, system: str = "si") -> Axes:
    """Draw pitch and elevator at the left, pitch rate at the right, with their limits."""
    axes = dress(axes if axes is not None else new_axes())
    time = start_time_axis(axes, report, system, _start(report))
    pitch = column(report, "pitch", "angle", system)
    elevator = column(report, "elevator", "angle", system)
    lines = axes.plot(time, pitch, color=LINES["first"], linewidth=2.2, label="pitch")
    lines += axes.plot(
        time, elevator, color=LINES["third"], linewidth=1.6, linestyle="-.",
        label="elevator, up positive",
    )  # fmt: skip
    axes.set_ylabel(label("pitch", system, "pitch, elevator"), fontsize=FONT)
    levels = attitude_levels(report)
    both = np.concatenate([pitch, elevator, [unit_of("angle").shown(v) for v in levels.values()]])
    low, high = float(both.min()), float(both.max())
    room = 0.08 * max(high - low, 1.0)
    axes.set_ylim(low - room, high + room)
    lines += _levels(axes, levels)
    lines += _stall(axes, report, system)
    lines += _rate(axes, report, system)
    finish(axes, report, lines)
    return axes


def _start(report: "Report") -> float:
    """Shortly before anything turns, so that the quick part has room [s]."""
    if report.result.event("nose-wheel-off") is None:
        return 0.0
    events = [*report.result.events, *report.result.also]
    return max(0.0, min(event.time for event in events) - BEFORE)


def attitude_levels(report: "Report") -> dict[str, float]:
    """Pitch at which the tail strikes and at which the pilot notices [rad]; finite only."""
    s, p = report.stance, report.result.setup.parameters
    levels = {"tail strikes at": s.tail_strike_attitude}
    if p.law_on:
        levels["pilot notices at"] = s.ground_attitude + p.notice_threshold
    return {name: v for name, v in levels.items() if isfinite(v) and abs(v) < np.radians(60.0)}


def _levels(axes: Axes, levels: dict[str, float]) -> list[Line2D]:
    dashes = {"tail strikes at": "--", "pilot notices at": ":"}
    return [
        axes.axhline(
            np.degrees(value), color=LIMIT, linewidth=1.4, linestyle=dashes[name],
            label=f"{name} {np.degrees(value):.1f} deg",
        )
        for name, value in levels.items()
    ]  # fmt: skip


def _stall(axes: Axes, report: "Report", system: str) -> list[Line2D]:
    """The stretch of the pitch line beyond the wing's stall, or how much of it was used."""
    assert report.result.trace is not None
    use = report.result.trace["wing_use"][shown_rows(report)] / TOP_AT
    pitch = column(report, "pitch", "angle", system)
    time = column(report, "time", "time", system)
    peak = float(np.nanmax(use)) if np.isfinite(use).any() else 0.0
    words = f"wing at most at {100 * peak:.0f} % of its stall"
    stalled = use >= 1.0
    if not stalled.any():
        return [Line2D([], [], linestyle="none", label=words)]
    return axes.plot(
        time, np.where(stalled, pitch, np.nan), color=LIMIT, linewidth=5.0, alpha=0.7,
        label="wing beyond its stall",
    )  # fmt: skip


def _rate(axes: Axes, report: "Report", system: str) -> list[Line2D]:
    right = axes.twinx()
    rate = column(report, "pitch_rate", "angular_rate", system)
    time = column(report, "time", "time", system)
    lines = right.plot(
        time, rate, color=LINES["second"], linewidth=1.8, linestyle=(0, (6, 2)), label="pitch rate"
    )
    low, high = min(float(rate.min()), -10.0), max(float(rate.max()), 10.0)
    room = 0.08 * (high - low)
    right.set_ylim(low - room, high + room)
    right.set_ylabel(label("pitch_rate", system), fontsize=FONT, color=LINES["second"])
    right.tick_params(labelsize=SMALL, length=3)
    for side in ("top", "left", "bottom"):
        right.spines[side].set_visible(False)
    right.spines["right"].set_color(FAINT)
    return lines
