"""Traces of several rolls laid over each other, against distance."""

from typing import TYPE_CHECKING

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from sim.show.figures.style import (
    DPI,
    FAINT,
    FONT,
    INK,
    LINES,
    PAPER,
    SMALL,
    WIDTH,
    dress,
    label,
)
from sim.show.figures.timeline import column
from sim.show.units import unit_of

if TYPE_CHECKING:
    from sim.report import Report
    from sim.show.compare import Named

PANELS = (("ground_speed", "speed"), ("pitch", "angle"), ("nose_load", "force"))
"""Column and kind of each panel, from above."""
DASHES = ("-", (0, (6, 2)), "-.", (0, (1, 1.2)), (0, (8, 2, 1, 2, 1, 2)))
COLOURS = (*LINES.values(), INK)


def overlay_figure(reports: "list[Named]", system: str = "si") -> Figure:
    """Draw speed, pitch and nose-wheel load of every roll against distance, one above another.

    A dot marks where the nose wheel leaves, a triangle where the last wheel does.
    """
    rows = -(-len(reports) // 2)
    height = 6.3 + 0.2 * rows
    figure = Figure(figsize=(WIDTH, height), dpi=DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)
    axes = figure.subplots(len(PANELS), 1, sharex=True)
    figure.subplots_adjust(0.125, (0.2 * rows + 0.6) / height, 0.97, 0.955, hspace=0.12)
    for panel, (name, kind) in zip(axes, PANELS, strict=True):
        overlay(panel, reports, name, kind, system)
    axes[-1].set_xlabel(label("distance", system), fontsize=FONT, color=INK)
    axes[0].set_title(
        "Dot: nose wheel off. Triangle: lift-off. Dotted line: end of the strip.",
        fontsize=SMALL, color=INK, loc="left",
    )  # fmt: skip
    figure.legend(
        handles=axes[0].get_lines()[: len(reports)], loc="lower center", ncol=2, frameon=False,
        fontsize=SMALL, labelcolor=INK, handlelength=3.4,
    )  # fmt: skip
    return figure


def overlay(axes: Axes, reports: "list[Named]", name: str, kind: str, system: str = "si") -> Axes:
    """Draw one column of every roll against distance into given axes."""
    dress(axes)
    for i, named in enumerate(reports):
        place = column(named.report, "distance", "distance", system)
        value = column(named.report, name, kind, system)
        axes.plot(
            place, value, color=COLOURS[i % len(COLOURS)], linestyle=DASHES[i % len(DASHES)],
            linewidth=1.9, label=f"{named.name} ({named.report.result.verdict})",
        )  # fmt: skip
    for i, named in enumerate(reports):
        _marks(axes, named.report, name, kind, COLOURS[i % len(COLOURS)], system)
    ends = {named.report.result.setup.parameters.strip_length for named in reports}
    shown = axes.get_xlim()[1]
    for end in sorted(ends):
        if unit_of("distance", system).shown(end) <= shown:
            axes.axvline(
                unit_of("distance", system).shown(end), color=FAINT, linestyle=":", linewidth=1.2
            )
    axes.set_ylabel(label(name, system), fontsize=SMALL, color=INK)
    return axes


def _marks(axes: Axes, report: "Report", name: str, kind: str, colour: str, system: str) -> None:
    for event_name, marker in (("nose-wheel-off", "o"), ("lift-off", "^")):
        event = report.result.event(event_name)
        if event is not None:
            axes.plot(
                unit_of("distance", system).shown(event.distance),
                unit_of(kind, system).shown(getattr(event, name)),
                marker=marker, color=colour, markersize=6.5, markeredgecolor=PAPER,
                linestyle="none", zorder=5,
            )  # fmt: skip
