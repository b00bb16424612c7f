"""What was found, drawn: the quantities of a condition along the key, shaded where it is met."""

from collections.abc import Sequence
from textwrap import wrap

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from sim.show.axis_words import knob_values
from sim.show.figures.bands import ROW, Line, bands_of, draw_bands
from sim.show.figures.curve import along_axis, draw_rolls
from sim.show.figures.style import (
    DPI,
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
from sim.show.words_find import clause_words, lead_words, quantity_words
from sim.study.axis import Axis
from sim.study.condition import Clause
from sim.study.edges import END, Found, Interval
from sim.study.find import Search
from sim.study.outcome_columns import VERDICT, column_of
from sim.study.samples import apart
from sim.study.vary import ROLL, Vary

LEFT, RIGHT, GAP = 0.68, 0.16, 0.16  # [in]
ONE, MORE = 2.5, 1.5  # [in], height of a single panel, of each of several
MOST_PANELS = 4
BAND = "#cfe6d6"
"""Tint of where a condition is met."""


def find_figure(search: Search, system: str = "si") -> Figure:
    """Draw a panel for each quantity of the first condition; of a verdict the ground roll."""
    found = search.found[0]
    clauses = _drawn(found)
    study = as_vary(search)
    bands = bands_of(study, system)
    wanted = " and ".join(clause_words(c, system) for c in found.condition.clauses)
    title = [*wrap(search.prepared.title, TITLE_LETTERS), *wrap(f"so that {wanted}", 62)]
    lead = wrap(lead_words(search, found, system), 74)
    size = ONE if len(clauses) == 1 else MORE
    below, strip = 0.46, max(ROW * len(bands), 0.02)
    head = 0.36 + 0.2 * len(title) + 0.16 * len(lead)
    height = below + strip + GAP + (size + GAP) * len(clauses) - GAP + head
    figure = Figure(figsize=(WIDTH, height), dpi=DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)

    def placed(bottom: float, tall: float) -> Axes:
        width = 1.0 - (LEFT + RIGHT) / WIDTH
        return figure.add_axes((LEFT / WIDTH, bottom / height, width, tall / height))

    line = one_line(study, system)
    panels = [
        placed(below + strip + GAP + (size + GAP) * (len(clauses) - 1 - i), size)
        for i in range(len(clauses))
    ]
    for clause, axes in zip(clauses, panels, strict=True):
        quantity_axes(study, line, clause, axes, system)
    lowest = placed(below, strip)
    draw_bands(bands, [line], lowest)
    along_axis(study, study.axes[0], [*panels, lowest], [line], system)
    for axes in panels:
        shade(search, found.intervals, axes, system)
    figure.text(
        0.02, 1.0 - 0.1 / height, "\n".join(title), fontsize=FONT, color=INK, fontweight="bold",
        va="top",
    )  # fmt: skip
    figure.text(
        0.02, 1.0 - (0.14 + 0.2 * len(title)) / height, "\n".join(lead), fontsize=SMALL, color=INK,
        va="top",
    )  # fmt: skip
    return figure


def _drawn(found: Found) -> list[Clause]:
    """Clauses about numbers, or the ground roll without a limit."""
    numbers = [c for c in found.condition.clauses if c.name != VERDICT][:MOST_PANELS]
    return numbers or [Clause(ROLL, "<=", float("nan"))]


def as_vary(search: Search) -> Vary:
    """The rolls of a search, evenly apart, as a study along its key."""
    even = apart(search.samples, 0.5 * search.step)
    axis = Axis(search.knob.key, search.knob, even.x)
    strip = float(search.prepared.setup.parameters.strip_length)
    return Vary(search.prepared, (axis,), even.x[:, None], even.rows, (search.present,), strip, "")


def one_line(study: Vary, system: str) -> Line:
    """All rows of a study along one key."""
    axis = study.axes[0]
    assert axis.knob is not None
    x = knob_values(axis.knob, axis.values, system)
    return Line("", x, np.arange(len(x)), LINES["first"])


def quantity_axes(study: Vary, line: Line, clause: Clause, axes: Axes, system: str) -> Axes:
    """One quantity along the key, and its limit."""
    dress(axes)
    column = column_of(clause.name)
    unit = unit_of(column.kind, system)
    y = unit.shown_array(study.rows[clause.name][line.rows])
    draw_rolls(study, line, axes, y, line.colour)
    limit = unit.shown(clause.limit)
    known = y[np.isfinite(y)]
    if np.isfinite(limit):
        axes.axhline(limit, color=LIMIT, linewidth=1.4, zorder=2)
        most = {"<=": "at most ", ">=": "at least "}.get(clause.sign, "")
        left = not len(known) or _gap(y, 0, limit) >= _gap(y, -1, limit)
        axes.text(
            0.01 if left else 0.99, limit, f"{most}{quantity_words(clause, clause.limit, system)}",
            transform=axes.get_yaxis_transform(), fontsize=SMALL, color=LIMIT, va="bottom",
            ha="left" if left else "right", zorder=5,
            bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.5, "alpha": 0.8},
        )  # fmt: skip
        if len(known):
            low, high = min(float(known.min()), limit), max(float(known.max()), limit)
            high = min(high, limit + 4.0 * max(limit - low, 0.2 * abs(limit)))
            axes.set_ylim(low - 0.08 * (high - low), high + 0.12 * (high - low))
    name = "\n".join(wrap(column.label, 20))
    axes.set_ylabel(f"{name} [{unit.symbol or '-'}]", fontsize=SMALL, color=INK)
    return axes


def _gap(y: np.ndarray, end: int, limit: float) -> float:
    gap = abs(float(y[end]) - limit)
    return gap if np.isfinite(gap) else np.inf


def shade(search: Search, intervals: Sequence[Interval], axes: Axes, system: str) -> None:
    """Tint the intervals; an edge that is one has a line, the end of the range has none."""
    for one in intervals:
        low, high = (
            float(knob_values(search.knob, edge.value, system))  # type: ignore[arg-type]
            for edge in (one.low, one.high)
        )
        axes.axvspan(low, high, color=BAND, zorder=0.4, linewidth=0)
        for x, edge in ((low, one.low), (high, one.high)):
            if edge.kind != END:
                axes.axvline(x, color=LINES["third"], linewidth=1.4, zorder=1.8)
