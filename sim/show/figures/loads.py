"""Wheel loads against time."""

from typing import TYPE_CHECKING

from matplotlib.axes import Axes

from sim.show.figures.style import FAINT, FONT, LINES, dress, label, new_axes
from sim.show.figures.timeline import column, finish, start_time_axis
from sim.show.units import unit_of

if TYPE_CHECKING:
    from sim.report import Report

LOADS = (
    ("main_load", "main wheels", "first", "-"),
    ("nose_load", "nose wheel", "second", (0, (6, 2))),
    ("tail_load", "tail", "fourth", (0, (2, 1))),
)


def loads_figure(report: "Report", axes: Axes | None = None, system: str = "si") -> Axes:
    """Draw the loads on mains and nose wheel, and on the tail if it ever touches."""
    axes = dress(axes if axes is not None else new_axes())
    time = start_time_axis(axes, report, system)
    lines, top = [], 0.0
    p = report.result.setup.parameters
    weight = unit_of("force", system).shown(p.mass * p.gravity)
    for name, words, colour, dashes in LOADS:
        load = column(report, name, "force", system)
        if name == "tail_load" and not load.any():
            continue
        top = max(top, float(load.max()))
        lines += axes.plot(
            time, load, color=LINES[colour], linestyle=dashes, linewidth=2.1, label=words
        )
    lines.append(axes.axhline(weight, color=FAINT, linestyle=":", linewidth=1.3, label="weight"))
    axes.set_ylim(0.0, 1.08 * max(top, weight))
    axes.set_ylabel(label("main_load", system, "load"), fontsize=FONT)
    finish(axes, report, lines)
    return axes
