"""Nose-load budget against airspeed: what loads the nose wheel stacked up, what unloads it down."""

from math import isfinite
from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.lines import Line2D
from matplotlib.patches import Patch
from matplotlib.text import Text

from sim.checks.budget import PARTS
from sim.roll.aero_table import Array
from sim.show.figures.labels import Mark, put_marks
from sim.show.figures.style import (
    FONT,
    INK,
    PAPER,
    dress,
    finish_sheet,
    label,
    new_axes,
    title_lines,
)
from sim.show.units import unit_of

if TYPE_CHECKING:
    from sim.report import Report

GROUPS: tuple[tuple[str, tuple[str, ...], str, str], ...] = (
    ("weight", ("weight",), "#7d8791", ""),
    ("thrust, drag, acceleration", ("forward acceleration", "thrust", "drag"), "#e0a458", "//"),
    ("wing and body", ("wing and body",), "#2f6fa8", ""),
    ("flaps", ("flaps",), "#9cc3e6", "\\\\"),
    ("tail, its own angle", ("tail, its own angle",), "#c9b6dc", ""),
    ("elevator", ("elevator",), "#c2541b", ""),
    ("downwash of the wing", ("downwash of the wing",), "#3f6b1c", "..."),
    ("downwash of the flaps", ("downwash of the flaps",), "#a9cf7f", "xx"),
    ("tail stall", ("tail stall",), "#8c1d40", "--"),
)
"""Name in the legend, parts of the budget in it, colour, hatch."""
assert sorted(part for _, parts, _, _ in GROUPS for part in parts) == sorted(PARTS)


def budget_figure(report: "Report", axes: Axes | None = None, system: str = "si") -> Axes:
    """Draw the budget with the full pull: stacks, their sum, and where it reaches zero."""
    axes = dress(axes if axes is not None else new_axes())
    budget, force = report.budget, unit_of("force", system)
    rolling = np.logical_and.accumulate(budget.main_load > 0.0)
    rolling |= np.arange(rolling.size) < 2  # something to draw even if it flies at once
    speed = unit_of("speed", system).shown_array(budget.airspeed[rolling])
    groups = {
        name: force.shown_array(np.sum([budget.parts[part][rolling] for part in parts], axis=0))
        for name, parts, _, _ in GROUPS
    }
    total = force.shown_array(budget.nose_load[rolling])
    handles: list[Line2D | Patch] = [*_stacks(axes, speed, groups)]
    handles += axes.plot(speed, total, color=INK, linewidth=2.6, label="load on the nose wheel")
    axes.axhline(0.0, color=INK, linewidth=0.9)
    axes.set_xlim(float(speed[0]), float(speed[-1]))
    axes.set_xlabel(label("airspeed", system), fontsize=FONT, color=INK)
    axes.set_ylabel(label("nose_load", system, "loads (+) and unloads (-) it"), fontsize=FONT)
    _limit_y(axes, groups)
    texts = _speeds(axes, report, system)
    finish_sheet(axes, title_lines(report, _free_words(report, system)), texts, handles)
    return axes


def _limit_y(axes: Axes, groups: dict[str, Array]) -> None:
    values = np.array(list(groups.values()))
    axes.set_ylim(
        1.08 * float(np.minimum(values, 0.0).sum(axis=0).min()) - 1e-6,
        1.08 * float(np.maximum(values, 0.0).sum(axis=0).max()) + 1e-6,
    )


def _stacks(axes: Axes, speed: Array, groups: dict[str, Array]) -> list[Patch]:
    """Pile positive and negative shares of each group apart from each other."""
    up, down = np.zeros_like(speed), np.zeros_like(speed)
    handles = []
    largest = max(float(np.abs(v).max()) for v in groups.values())
    for name, _, colour, hatch in GROUPS:
        value = groups[name]
        if float(np.abs(value).max()) < 1e-3 * largest:
            continue
        style: dict[str, Any] = {
            "facecolor": colour,
            "edgecolor": PAPER,
            "hatch": hatch,
            "linewidth": 0.4,
        }
        above, below = np.maximum(value, 0.0), np.minimum(value, 0.0)
        axes.fill_between(speed, up, up + above, **style)
        axes.fill_between(speed, down, down + below, **style)
        up, down = up + above, down + below
        handles.append(Patch(label=name, **style))
    return handles


def _speeds(axes: Axes, report: "Report", system: str) -> list[Text]:
    """Mark the pull, the speed at which the nose wheel is free, and the fastest reachable."""
    o, pull = report.outlook, report.result.event("pull")
    unit = unit_of("speed", system)
    candidates = {"pull": pull.airspeed if pull else float("nan")}
    candidates |= {"nose wheel free": o.needed, "reachable": o.reachable}
    marks = [
        Mark(unit.shown(value), f"{name} {unit.shown(value):.1f} {unit.symbol}")
        for name, value in candidates.items()
        if isfinite(value) and axes.get_xlim()[0] <= unit.shown(value) <= axes.get_xlim()[1]
    ]
    return put_marks(axes, marks)


def _free_words(report: "Report", system: str) -> str:
    if not isfinite(report.outlook.needed):
        return "the nose wheel is never free"
    unit = unit_of("speed", system)
    return f"nose wheel free at {unit.shown(report.outlook.needed):.1f} {unit.symbol}"
