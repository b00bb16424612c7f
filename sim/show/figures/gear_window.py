"""The gear window: a band over the side view, and what decides it along the station."""

from dataclasses import replace
from textwrap import wrap

import numpy as np
from matplotlib.axes import Axes as Panel
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from sim.checks.stance import NOSE_SHARE_LIMITS
from sim.show.axis_words import knob_unit, knob_values
from sim.show.figures.bands import ROW, Line, bands_of, draw_bands
from sim.show.figures.side_view import draw_side, ground_line, side_of
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
)
from sim.show.units import unit_of
from sim.show.words_gear_window import limit_words, now_words
from sim.study.axis import Axis
from sim.study.condition import Clause
from sim.study.gear_window import SHARE, TIP_BACK, Case, GearWindow
from sim.study.outcome_columns import column_of
from sim.study.samples import apart
from sim.study.vary import Vary

LEFT, RIGHT, GAP = 0.68, 0.16, 0.2  # [in]
BAR, PANEL = 0.3, 1.25  # [in]
COLOURS = (LINES["first"], LINES["second"])
TINTS = ("#cfe0f3", "#f6dcc3")
HATCHES = ("", "////")
DASHES = ("-", (0, (5, 1.6)))
MARGIN = 0.12
"""Room around the aeroplane, share of its length."""


def gear_window_figure(window: GearWindow, system: str = "si") -> Figure:
    """Draw the side view with its bands, then rotation, tip-back angle and nose share."""
    case = window.cases[0]
    title = [*wrap(case.search.prepared.title, TITLE_LETTERS), "gear window"]
    lines = _summary(window, system)
    box = _box(window)
    wide = WIDTH - 0.24
    view = wide * (box[3] - box[2]) / (box[1] - box[0])
    bars = BAR * len(window.cases)
    head = 0.24 + 0.2 * len(title) + 0.17 * len(lines)
    study, rolled = _together(window, system)
    bands = bands_of(study, system)
    fails = max(ROW * len(bands), 0.02) + GAP
    chart = 3 * PANEL + 2 * GAP + fails
    height = 0.46 + chart + 0.12 + bars + 0.3 + view + head
    figure = Figure(figsize=(WIDTH, height), dpi=DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)

    def placed(bottom: float, tall: float, left: float = LEFT, right: float = RIGHT) -> Panel:
        size = 1.0 - (left + right) / WIDTH
        return figure.add_axes((left / WIDTH, bottom / height, size, tall / height))

    above = 0.46 + chart + 0.12
    view_axes(window, placed(above + bars + 0.3, view, 0.12, 0.12), box, system)
    strip = placed(above, bars)
    bar_axes(window, strip, system)
    clauses = case.search.found[0].condition.clauses
    panels = [placed(0.46 + fails + (PANEL + GAP) * (2 - i), PANEL) for i in range(3)]
    lowest = placed(0.46, fails - GAP)
    draw_bands(bands, rolled, lowest)
    for clause, axes in zip(clauses, panels, strict=True):
        demand_axes(window, clause, axes, system)
    _along(window, strip, [*panels, lowest], system)
    _head(figure, height, title, lines)
    return figure


def _together(window: GearWindow, system: str) -> tuple[Vary, list[Line]]:
    """The rolls of all cases, evenly apart, as one study with a line for each case."""
    parts = [apart(case.search.samples, 0.75 * case.search.step) for case in window.cases]
    first, x = parts[0].rows, np.concatenate([part.x for part in parts])
    rows = replace(
        first, asked=len(x), lanes=np.arange(len(x)), refused={},
        values=np.concatenate([part.rows.values for part in parts], axis=1),
        verdicts=np.concatenate([part.rows.verdicts for part in parts]),
    )  # fmt: skip
    search = window.cases[0].search
    axis = Axis(search.knob.key, search.knob, x)
    study = Vary(search.prepared, (axis,), x[:, None], rows, (search.present,), 0.0, "")
    starts = np.cumsum([0, *(len(part.x) for part in parts)])
    lines = [
        Line(
            case.name, knob_values(search.knob, part.x, system),
            np.arange(starts[turn], starts[turn + 1]), COLOURS[turn],
        )
        for turn, (case, part) in enumerate(zip(window.cases, parts, strict=True))
    ]  # fmt: skip
    return study, lines


def _head(figure: Figure, height: float, title: list[str], lines: list[str]) -> None:
    figure.text(
        0.02, 1.0 - 0.1 / height, "\n".join(title), fontsize=FONT, color=INK, fontweight="bold",
        va="top",
    )  # fmt: skip
    figure.text(
        0.02, 1.0 - (0.14 + 0.2 * len(title)) / height, "\n".join(lines), fontsize=SMALL, color=INK,
        va="top",
    )  # fmt: skip


def _summary(window: GearWindow, system: str = "si") -> list[str]:
    lines = []
    for case in window.cases:
        told = now_words(case, system) if case.windows else "no station does."
        lines += wrap(f"{case.name}: {told[0].lower()}{told[1:]}", 72)
    return lines


def _box(window: GearWindow) -> tuple[float, float, float, float]:
    """Stations and heights that the side view shows [m]."""
    side = side_of(window.cases[0].scenario, window.cases[0].search.prepared)
    shapes = [*side.wing, *side.tail, *([side.body] if side.body is not None else [])]
    points = np.concatenate([*shapes, [[side.main.station, side.main.height]], [side.cg]])
    points = np.concatenate([points, [[side.nose.station, side.nose.height]]])
    left, right = float(points[:, 0].min()), float(points[:, 0].max())
    low = min(wheel.height - wheel.radius for wheel in (side.main, side.nose))
    room = MARGIN * (right - left)
    return left - room, right + room, low - 0.45 * room, float(points[:, 1].max()) + 0.45 * room


def view_axes(
    window: GearWindow, axes: Panel, box: tuple[float, float, float, float], system: str
) -> Panel:
    """The aeroplane from the side, the ground, and the windows as bands over it."""
    axes.set_xlim(box[0], box[1])
    axes.set_ylim(box[2], box[3])
    axes.set_aspect("equal")
    axes.axis("off")
    last = window.cases[-1]
    side = side_of(last.scenario, last.search.prepared)
    ground = ground_line(side, (box[0], box[1]))
    axes.plot(ground[:, 0], ground[:, 1], color=FAINT, linewidth=1.4, zorder=2)
    axes.fill_between(ground[:, 0], ground[:, 1], box[2], color="#eef2e6", zorder=0.3, linewidth=0)
    rows = len(window.cases)
    for turn, case in enumerate(window.cases):
        # each case has its own part of the height, or one band would hide the other
        part = (1.0 - (turn + 1) / rows, 1.0 - turn / rows)
        for one in case.windows:
            axes.axvspan(
                one.low.value, one.high.value, *part, facecolor=TINTS[turn], alpha=0.75,
                linewidth=0.0, hatch=HATCHES[turn], edgecolor=COLOURS[turn],
                zorder=0.6 + 0.1 * turn,
            )  # fmt: skip
            for edge in (one.low, one.high):
                axes.axvline(edge.value, *part, color=COLOURS[turn], linewidth=1.3, zorder=6.0)
    draw_side(axes, side)
    words = "CG"
    axes.annotate(
        words, side.cg, xytext=(0, 9), textcoords="offset points", ha="center", fontsize=SMALL,
        color=INK, zorder=7, bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.4},
    )  # fmt: skip
    return axes


def bar_axes(window: GearWindow, axes: Panel, system: str = "si") -> Panel:
    """A bar for each case from end to end of its window, with its stations."""
    knob = window.cases[0].search.knob
    axes.set_ylim(len(window.cases) - 0.5, -0.5)
    axes.set_yticks([])
    for turn, case in enumerate(window.cases):
        for one in case.windows:
            low, high = (_shown(case, edge.value, system) for edge in (one.low, one.high))
            axes.barh(
                turn, high - low, left=low, height=0.62, facecolor=TINTS[turn],
                edgecolor=COLOURS[turn], hatch=HATCHES[turn], linewidth=1.2, zorder=3,
            )  # fmt: skip
        words = "; ".join(
            f"{_shown(case, one.low.value, system):.0f} to"
            f" {_shown(case, one.high.value, system):.0f} {knob_unit(knob, system)}"
            for one in case.windows
        )
        edge = max((_shown(case, o.high.value, system) for o in case.windows), default=None)
        text = f"{case.name}: {words or 'no station does'}"
        at = 0.01 if edge is None else edge
        axes.annotate(
            text, (at, turn), xycoords="data" if edge is not None else axes.get_yaxis_transform(),
            xytext=(6, 0), textcoords="offset points", fontsize=SMALL, color=INK, va="center",
            annotation_clip=False, zorder=4,
        )  # fmt: skip
    for edge_side in ("top", "right", "left", "bottom"):
        axes.spines[edge_side].set_visible(False)
    return axes


def _shown(case: Case, value: float, system: str) -> float:
    return float(knob_values(case.search.knob, value, system))  # type: ignore[arg-type]


def demand_axes(window: GearWindow, clause: Clause, axes: Panel, system: str = "si") -> Panel:
    """One of the three quantities along the station, its limit named, the windows shaded."""
    dress(axes)
    share = clause.name == SHARE
    unit = unit_of("share" if share else column_of(clause.name).kind, system)
    known: list[float] = [unit.shown(clause.limit)]
    static = clause.name in (SHARE, TIP_BACK)
    for turn, case in enumerate(window.cases[:1] if static else window.cases):
        even = apart(case.search.samples, 0.5 * case.search.step)
        x = knob_values(case.search.knob, even.x, system)
        y = unit.shown_array(even.rows[clause.name])
        colour = INK if static else COLOURS[turn]
        axes.plot(x, y, color=colour, linestyle=DASHES[turn], linewidth=1.7, zorder=3)
        known += [float(v) for v in y[np.isfinite(y)]]
        if not static:
            _name_line(axes, x, y, case.name, colour)
    limit = unit.shown(clause.limit)
    axes.axhline(limit, color=LIMIT, linewidth=1.4, zorder=2)
    axes.text(
        0.99, limit, limit_words(clause, system), transform=axes.get_yaxis_transform(),
        fontsize=SMALL - 0.5, color=LIMIT, ha="right", va="top" if not static else "bottom",
        zorder=5, bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.4, "alpha": 0.8},
    )  # fmt: skip
    if share:
        best = NOSE_SHARE_LIMITS[0]
        axes.axhspan(
            unit.shown(best.low), unit.shown(best.high), color="#e4efe4", zorder=0.2, linewidth=0
        )
        axes.text(
            0.01, unit.shown(best.high), "best", transform=axes.get_yaxis_transform(),
            fontsize=SMALL - 0.5, color=FAINT, va="top",
        )  # fmt: skip
    low, high = min(known), max(known)
    if not static:  # a nose wheel that hardly ever leaves would flatten all the rest
        high = min(high, limit + 4.0 * max(limit - low, 0.2 * limit))
    axes.set_ylim(low - 0.1 * (high - low), high + 0.14 * (high - low))
    words = {TIP_BACK: "tip-back angle", SHARE: "nose-wheel\nshare"}.get(
        clause.name, "nose wheel off\nat"
    )
    axes.set_ylabel(f"{words} [{unit.symbol}]", fontsize=SMALL, color=INK)
    return axes


def _name_line(axes: Panel, x: np.ndarray, y: np.ndarray, name: str, colour: str) -> None:
    """The case's name at the last point of its line."""
    finite = np.flatnonzero(np.isfinite(y))
    if not len(finite):
        return
    last = finite[int(0.8 * (len(finite) - 1))]
    axes.annotate(
        name, (x[last], y[last]), xytext=(-4, 5), textcoords="offset points", fontsize=SMALL - 0.5,
        color=colour, ha="right", va="bottom", zorder=5,
    )  # fmt: skip


def _along(window: GearWindow, strip: Panel, panels: list[Panel], system: str) -> None:
    """The same stations under all panels, windows shaded, the present place marked."""
    first = window.cases[0]
    low, high = (_shown(first, end, system) for end in (first.search.low, first.search.high))
    room = 0.02 * (high - low)
    for axes in (strip, *panels):
        axes.set_xlim(low - room, high + room)
        axes.tick_params(axis="x", labelbottom=axes is panels[-1], labelsize=SMALL, colors=INK)
    strip.tick_params(axis="x", length=0)
    for axes in panels:
        for turn, case in enumerate(window.cases):
            for one in case.windows:
                ends = [_shown(case, edge.value, system) for edge in (one.low, one.high)]
                axes.axvspan(
                    ends[0],
                    ends[1],
                    facecolor=TINTS[turn],
                    alpha=0.5,
                    zorder=0.3 + 0.1 * turn,
                    linewidth=0,
                )
                for x in ends:
                    axes.axvline(
                        x, color=COLOURS[turn], linewidth=1.0, linestyle=DASHES[turn], zorder=1.6
                    )
    now = first.search.present
    if now is not None:
        x = _shown(first, now, system)
        for axes in panels:
            axes.axvline(x, color=FAINT, linewidth=1.0, linestyle=(0, (2, 2)), zorder=1.5)
        panels[0].text(
            x, 1.01, f"now {x:.4g}", transform=panels[0].get_xaxis_transform(), fontsize=SMALL,
            color=INK, ha="left" if x < 0.5 * (low + high) else "right", va="bottom",
        )  # fmt: skip
    unit = knob_unit(first.search.knob, system)
    panels[-1].set_xlabel(f"station of the main wheels [{unit}]", fontsize=SMALL, color=INK)
