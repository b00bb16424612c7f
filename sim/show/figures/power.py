"""Thrust and current against airspeed, before and after a change."""

from math import isfinite
from textwrap import wrap
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from sim.power.moments import thrust_over
from sim.show.figures.style import (
    DPI,
    FAINT,
    FONT,
    INK,
    LIMIT,
    LINES,
    PAPER,
    SMALL,
    TITLE_LETTERS,
    WIDTH,
    dress,
    new_axes,
)
from sim.show.power_words import lift_off_airspeed
from sim.show.units import quantity, unit_of

if TYPE_CHECKING:
    from sim.report import Report

POINTS = 121
LEAST_TOP = 30.0
"""Airspeeds are drawn at least so far [m/s]."""
BEYOND_LIFT_OFF = 2.5
PANEL = 2.3  # height of one panel [in]
LIMIT_ROOM = 1.6
"""A limit is drawn when it is no more than so many times the largest value drawn."""


def power_sheet(report: "Report", before: "Report | None" = None, system: str = "si") -> Figure:
    """Draw thrust, and current below it where there is one, in a figure of its own."""
    known = report.prepared.power
    rows = 2 if known is not None and known.electric is not None else 1
    title = [*wrap(report.prepared.title, TITLE_LETTERS), "Full throttle, against airspeed"]
    head, foot = 0.16 + 0.2 * len(title), 1.0
    height = head + foot + PANEL * rows + 0.25 * (rows - 1)
    figure = Figure(figsize=(WIDTH, height), dpi=DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)
    panels = np.atleast_1d(figure.subplots(rows, 1, sharex=True))
    figure.subplots_adjust(0.125, foot / height, 0.97, 1.0 - head / height, hspace=0.11)
    thrust_figure(report, panels[0], before, system)
    if rows == 2:
        current_figure(report, panels[1], before, system)
        panels[0].set_xlabel("")
    panels[0].set_title("\n".join(title), fontsize=FONT, color=INK, loc="left", fontweight="bold")
    figure.legend(
        handles=panels[-1].get_legend_handles_labels()[0], loc="lower center", ncol=2,
        fontsize=SMALL, frameon=False, labelcolor=INK, handlelength=2.8,
    )  # fmt: skip
    return figure


def thrust_figure(
    report: "Report",
    axes: Axes | None = None,
    before: "Report | None" = None,
    system: str = "si",
) -> Axes:
    """Draw thrust against airspeed as the roll has it, before and after a change.

    Parameters
    ----------
    report, before
        what is drawn; the older one, dashed, when there is one.
    axes
        to draw into; a figure of its own when None.
    system
        "si" or "imperial".

    Returns
    -------
    The axes.

    """
    axes = _start(axes, report, before, system)
    for one, style in _both(report, before):
        speeds = np.linspace(0.0, _top(report, before), POINTS)
        setup = one.prepared.setup
        thrust = thrust_over(setup.parameters, setup.thrust_table, speeds)
        _line(axes, speeds, unit_of("force", system).shown_array(thrust), style, system)
    return _finish(axes, f"thrust [{unit_of('force', system).symbol}]")


def current_figure(
    report: "Report",
    axes: Axes | None = None,
    before: "Report | None" = None,
    system: str = "si",
) -> Axes:
    """Draw current against airspeed with the lowest limit given; as `thrust_figure`."""
    axes = _start(axes, report, before, system)
    highest = 0.0
    for one, style in _both(report, before):
        known = one.prepared.power
        if known is None or known.electric is None:
            continue
        curve = known.electric
        current = np.array([point.current for point in curve.points])
        speeds = np.linspace(0.0, _top(report, before), POINTS)
        highest = max(highest, float(current.max()))
        _line(axes, speeds, np.interp(speeds, curve.airspeeds, current), style, system)
    _current_limit(axes, report, highest)
    return _finish(axes, "current [A]")


def _both(report: "Report", before: "Report | None") -> list[tuple["Report", dict[str, object]]]:
    now: dict[str, object] = {"color": LINES["first"], "linewidth": 2.2, "linestyle": "-"}
    if before is None:
        return [(report, now | {"label": "full throttle"})]
    then: dict[str, object] = {
        "color": LINES["second"], "linewidth": 1.9, "linestyle": (0, (6, 2)), "label": "before",
    }  # fmt: skip
    return [(before, then), (report, now | {"label": "after"})]


def _start(axes: Axes | None, report: "Report", before: "Report | None", system: str) -> Axes:
    axes = dress(axes if axes is not None else new_axes())
    name, airspeed = lift_off_airspeed(report)
    place = unit_of("speed", system).shown(airspeed)
    axes.set_xlim(0.0, unit_of("speed", system).shown(_top(report, before)))
    axes.set_xlabel(f"airspeed [{unit_of('speed', system).symbol}]", fontsize=FONT, color=INK)
    axes.axvline(
        place, color=FAINT, linestyle=(0, (2, 2)), linewidth=1.1,
        label=f"{name}: {quantity(airspeed, 'speed', system)}",
    )  # fmt: skip
    return axes


def _top(report: "Report", before: "Report | None") -> float:
    """Airspeed at the end of the axis [m/s]: well past lift-off, no further than thrust goes."""
    top = max(BEYOND_LIFT_OFF * lift_off_airspeed(report)[1], LEAST_TOP)
    ends = []
    for one in (report, before):
        known = one.prepared.power if one is not None else None
        curve = (known.electric or known.engine) if known is not None else None
        ends.append(float(curve.airspeeds[-1]) if curve is not None else float("inf"))
    return min(top, *ends)


def _line(
    axes: Axes, airspeeds: object, values: object, style: dict[str, object], system: str
) -> None:
    shown = unit_of("speed", system).shown_array(airspeeds)
    axes.plot(shown, values, **style)  # type: ignore[arg-type]


def _current_limit(axes: Axes, report: "Report", highest: float) -> None:
    """The lowest current that a part may carry, when it is near enough to be worth room."""
    known = report.prepared.power
    margins = [m for m in known.margins if m.quantity == "current"] if known else []
    if not margins:
        return
    lowest = min(margins, key=lambda margin: margin.limit)
    if isfinite(lowest.limit) and lowest.limit <= LIMIT_ROOM * highest:
        axes.axhline(
            lowest.limit, color=LIMIT, linestyle="-.", linewidth=1.5,
            label=f"most for the {lowest.part}: {lowest.limit:.0f} A",
        )  # fmt: skip


def _finish(axes: Axes, words: str) -> Axes:
    """Axes from zero, with a label; a curve that goes negative keeps what lies below."""
    high = axes.get_ylim()[1]
    drawn = [line for line in axes.get_lines() if not str(line.get_label()).startswith("at ")]
    largest = max(float(np.max(np.asarray(line.get_ydata(), dtype=float))) for line in drawn)
    smallest = min(float(np.min(np.asarray(line.get_ydata(), dtype=float))) for line in drawn)
    axes.set_ylim(min(0.0, 1.1 * smallest), 1.08 * largest if largest > 0.0 else high)
    axes.set_ylabel(words, fontsize=FONT, color=INK)
    return axes
