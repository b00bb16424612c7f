"""Speed and distance against time."""

from math import isfinite
from typing import TYPE_CHECKING

from matplotlib.axes import Axes
from matplotlib.lines import Line2D

from sim.show.figures.style import FAINT, FONT, LIMIT, LINES, SMALL, dress, label, new_axes
from sim.show.figures.timeline import column, finish, start_time_axis
from sim.show.units import unit_of

if TYPE_CHECKING:
    from sim.report import Report


def speed_figure(report: "Report", axes: Axes | None = None, system: str = "si") -> Axes:
    """Draw ground speed, airspeed and distance against time, with limits and events.

    Parameters
    ----------
    report
        what is drawn.
    axes
        to draw into; a figure of its own when None.
    system
        "si" or "imperial".

    Returns
    -------
    The axes of the speeds; the distance has its own at the right.

    """
    axes = dress(axes if axes is not None else new_axes())
    time = start_time_axis(axes, report, system)
    ground = column(report, "ground_speed", "speed", system)
    air = column(report, "airspeed", "speed", system)
    lines = axes.plot(time, ground, color=LINES["first"], linewidth=2.2, label="ground speed")
    if report.result.setup.parameters.headwind != 0.0:
        lines += axes.plot(
            time, air, color=LINES["third"], linewidth=1.8, linestyle="--", label="airspeed"
        )
    axes.set_ylabel(label("ground_speed", system, "speed"), fontsize=FONT, color=LINES["first"])
    lines += _speed_limits(axes, report, system)
    top = max([float(ground.max()), float(air.max()), *_shown_limits(report, system)])
    axes.set_ylim(min(0.0, 1.05 * float(min(ground.min(), air.min()))), 1.08 * max(top, 1.0))
    lines += _distance(axes, report, system)
    finish(axes, report, lines)
    return axes


def _limits(report: "Report") -> dict[str, tuple[float, str]]:
    return {
        "airspeed needed to rotate": (report.outlook.needed, "-."),
        "reachable on three wheels": (report.outlook.reachable, ":"),
    }


def _shown_limits(report: "Report", system: str) -> list[float]:
    """Limits near enough to be worth room: up to 1.6 times the fastest it went."""
    assert report.result.trace is not None
    fastest = float(report.result.trace["airspeed"].max())
    near = [v for v, _ in _limits(report).values() if isfinite(v) and v <= max(1.6 * fastest, 1.0)]
    return [unit_of("speed", system).shown(v) for v in near]


def _speed_limits(axes: Axes, report: "Report", system: str) -> list[Line2D]:
    unit = unit_of("speed", system)
    lines = []
    for words, (value, dashes) in _limits(report).items():
        if isfinite(value):
            text = f"{words}: {unit.shown(value):.1f} {unit.symbol}"
            lines.append(
                axes.axhline(
                    unit.shown(value), color=LIMIT, linestyle=dashes, linewidth=1.5, label=text
                )
            )
    return lines


def _distance(axes: Axes, report: "Report", system: str) -> list[Line2D]:
    """Distance on an axis of its own, with the end of the strip."""
    right = axes.twinx()
    unit = unit_of("distance", system)
    time = column(report, "time", "time", system)
    place = column(report, "distance", "distance", system)
    lines = right.plot(
        time, place, color=LINES["second"], linewidth=2.0, linestyle=(0, (6, 2)), label="distance"
    )
    strip = unit.shown(report.result.setup.parameters.strip_length)
    right.set_ylim(min(0.0, float(place.min())), 1.08 * max(float(place.max()), 1.0))
    if strip <= 1.5 * max(float(place.max()), 1.0):
        right.set_ylim(top=1.08 * max(float(place.max()), strip))
        lines.append(
            right.axhline(
                strip, color=LINES["second"], linewidth=1.0, linestyle=(0, (1, 1.5)),
                label=f"strip end: {strip:.0f} {unit.symbol}",
            )
        )  # fmt: skip
    right.set_ylabel(label("distance", system), fontsize=FONT, color=LINES["second"])
    right.tick_params(labelsize=SMALL, length=3)
    for side in ("top", "left", "bottom"):
        right.spines[side].set_visible(False)
    right.spines["right"].set_color(FAINT)
    return lines
