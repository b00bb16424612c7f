"""What all pictures against time share: the span shown, tinted phases, events, the head."""

from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from sim.roll.aero_table import Array
from sim.roll.events import End
from sim.roll.trace import PHASE_LABELS
from sim.show.figures.labels import Mark, put_marks
from sim.show.figures.style import FONT, INK, PAPER, PHASES, finish_sheet, label, title_lines
from sim.show.repeats import tell
from sim.show.units import unit_of

if TYPE_CHECKING:
    from sim.report import Report
    from sim.roll.result import Event

LABELLED = 2
"""Events of one name that get a label."""
THINNEST = 1e-3
"""A stretch of a phase below this share of the time shown cannot be seen."""
LINGER = 1.25
"""A roll that only goes on and on is shown this much longer than its last event."""


def shown_rows(report: "Report") -> Any:
    """Mask of the trace's rows worth drawing."""
    trace = report.result.trace
    assert trace is not None
    time = trace["time"]
    endless = report.result.end in (End.STEADY, End.TIME_LIMIT)
    times = [event.time for event in report.result.events]
    until = LINGER * max(times) if endless and times else np.inf
    return time <= until


def column(report: "Report", name: str, kind: str, system: str) -> Array:
    """One column of the shown rows in the shown unit."""
    trace = report.result.trace
    assert trace is not None
    values: Array = unit_of(kind, system).shown_array(trace[name][shown_rows(report)])
    return values


def start_time_axis(axes: Axes, report: "Report", system: str, start: float = 0.0) -> Array:
    """Set label and limits of the time axis and tint the phases; returns the times."""
    time = column(report, "time", "time", system)
    axes.set_xlim(start, max(float(time[-1]), 1e-3))
    axes.set_xlabel(label("time", system), fontsize=FONT, color=INK)
    assert report.result.trace is not None
    phase = np.asarray(report.result.trace.phase)[shown_rows(report)]
    for begin, end, name in spans(time, phase):
        if PHASES[name] != PAPER:
            axes.axvspan(begin, end, color=PHASES[name], linewidth=0, zorder=0)
    return time


def spans(time: Array, phase: Any) -> list[tuple[float, float, str]]:
    """Start, end and name of each stretch of one phase, in order."""
    cuts = np.flatnonzero(np.diff(phase)) + 1
    starts = np.concatenate([[0], cuts])
    stops = np.concatenate([cuts, [phase.size]]) - 1
    return [
        (float(time[a]), float(time[b]), PHASE_LABELS[int(phase[a])])
        for a, b in zip(starts, stops, strict=True)
        if time[b] - time[a] > THINNEST * (time[-1] - time[0])
    ]


def phase_patches(report: "Report") -> list[Patch]:
    """Legend entries of the phases that occur, in order of time."""
    trace = report.result.trace
    assert trace is not None
    rows = shown_rows(report)
    found = spans(trace["time"][rows], np.asarray(trace.phase)[rows])
    names = dict.fromkeys(name for _, _, name in found)
    return [Patch(facecolor=PHASES[n], edgecolor="#9aa3ad", linewidth=0.6, label=n) for n in names]


def finish(axes: Axes, report: "Report", lines: list[Line2D]) -> None:
    """Event labels, title above them, and the legend of lines and phases below the axes."""
    marks = [
        Mark(event.time, name)
        for event, name in gathered(report)
        if axes.get_xlim()[0] <= event.time <= axes.get_xlim()[1]
    ]
    handles = [*lines, *phase_patches(report)]
    finish_sheet(axes, title_lines(report), put_marks(axes, marks), handles)


def gathered(report: "Report") -> list[tuple["Event", str]]:
    """Events to label; those at one and the same moment share a label."""
    found: list[tuple[Event, str]] = []
    for event in tell(report.result.events, LABELLED).events:
        if found and event.time - found[-1][0].time < 1e-6:
            found[-1] = (found[-1][0], f"{found[-1][1]}, {event.name}")
        else:
            found.append((event, event.name))
    return found
