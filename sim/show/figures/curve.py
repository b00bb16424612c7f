"""A roll along one key: ground roll, speeds and pitch rate, and how the rolls fail.

A second key of a few words, such as surfaces, gives a line for each word. Rolls that fail stand in
a strip below the axes, verdict by verdict, and so do limits that are passed; failures that lift off
carry the same symbol on the curve.
"""

from collections.abc import Sequence
from textwrap import wrap

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from numpy.typing import NDArray

from sim.roll.aero_table import Array
from sim.show.axis_words import axis_label, axis_values
from sim.show.figures.bands import FEW, ROW, Line, bands_of, draw_bands, thinned
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
)  # fmt: skip
from sim.show.figures.verdict_marks import MARKS, failures
from sim.show.units import quantity, unit_of
from sim.study.axis import Axis
from sim.study.rows import GOOD_WORD
from sim.study.vary import ROLL, Vary

LEFT, RIGHT = 0.62, 0.16  # [in]
PANELS = (1.9, 1.25, 1.05)  # [in], heights of ground roll, speeds, pitch rate
GAP = 0.16  # [in]
CUT = 2.5
"""Ground rolls are shown up to so many lengths of the strip; what lies above is told."""
STRIP_KEY = "strip.length"
DASHES = ("-", (0, (5, 1.6)), (0, (1.2, 1.4)), (0, (5, 1.4, 1.2, 1.4)))
_COLOURS = tuple(LINES.values())
MOST_LINES = len(_COLOURS)


def curve_figure(vary: Vary, system: str = "si") -> Figure:
    """Draw the panels one below the other.

    Parameters
    ----------
    vary
        along one key, or along two of which one runs over up to four words.
    system
        "si" or "imperial".

    """
    axis, lines = _lines(vary, system)
    bands = bands_of(vary, system)
    title = _title(vary)
    strip = max(ROW * len(bands), 0.02)
    below = 0.46 + (0.2 if len(lines) > 1 else 0.0)
    below += 0.16 if axis.knob is None else 0.0
    head = 0.34 + 0.2 * len(title)
    height = below + strip + GAP + sum(PANELS) + GAP * (len(PANELS) - 1) + head
    figure = Figure(figsize=(WIDTH, height), dpi=DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)

    def placed(bottom: float, size: float) -> Axes:
        width = 1.0 - (LEFT + RIGHT) / WIDTH
        return figure.add_axes((LEFT / WIDTH, bottom / height, width, size / height))

    top = height - head
    panels: list[Axes] = []
    for size in PANELS:
        panels.append(placed(top - size, size))
        top -= size + GAP
    roll_axes(vary, lines, panels[0], system)
    speed_axes(vary, lines, panels[1], system)
    rate_axes(vary, lines, panels[2], system)
    lowest = placed(below, strip)
    draw_bands(bands, lines, lowest)
    along_axis(vary, axis, [*panels, lowest], lines, system)
    figure.text(
        0.02, 1.0 - 0.1 / height, "\n".join(title), fontsize=FONT, color=INK, fontweight="bold",
        va="top",
    )  # fmt: skip
    if len(lines) > 1:
        handles = [Line2D([], [], color=o.colour, label=o.name, linewidth=2.0) for o in lines]
        figure.legend(
            handles=handles, loc="lower center", ncol=len(lines), fontsize=SMALL, frameon=False,
            labelcolor=INK, borderaxespad=0.1,
        )  # fmt: skip
    return figure


def drawn_as_lines(vary: Vary) -> bool:
    """Whether a study is one for this picture rather than for a map."""
    worded = [axis for axis in vary.axes if axis.knob is None]
    few = worded and len(worded[0]) <= MOST_LINES
    return len(vary.axes) == 1 or (len(worded) == 1 and bool(few))


def _title(vary: Vary) -> list[str]:
    keys = " and ".join(axis.key for axis in vary.axes)
    words = (vary.prepared.title, f"along {keys}", vary.interruption)
    return [line for text in words for line in wrap(text, TITLE_LETTERS)]


def _lines(vary: Vary, system: str) -> tuple[Axis, list[Line]]:
    """The axis drawn sideways, and a line for each word of the other."""
    main = next((i for i, axis in enumerate(vary.axes) if axis.knob is not None), 0)
    axis = vary.axes[main]
    asked = vary.values[vary.rows.lanes]
    x = axis_values(axis, asked[:, main], system)
    lines = []
    others = range(len(vary.axes[1 - main])) if len(vary.axes) == 2 else [-1]
    for place in others:
        mine = np.arange(len(x)) if place < 0 else np.flatnonzero(asked[:, 1 - main] == place)
        mine = mine[np.argsort(x[mine], kind="stable")]
        name = vary.axes[1 - main].text(place, system) if place >= 0 else ""
        lines.append(Line(name, x[mine], mine, _COLOURS[max(place, 0)]))
    return axis, lines


def good_rows(vary: Vary, rows: NDArray[np.intp]) -> NDArray[np.bool_]:
    """Which of some rows end as wanted."""
    return np.array([vary.rows.verdict(int(i)) == GOOD_WORD for i in rows], dtype=bool)


def draw_rolls(
    vary: Vary, line: Line, axes: Axes, y: Array, colour: str, dashes: object = "-"
) -> None:
    """A line through what there is, a dot for each good roll, its symbol for each that fails."""
    together = vary.axes[0].knob is not None or len(vary.axes) > 1
    style = dashes if together else "none"
    axes.plot(line.x, y, color=colour, linewidth=1.6, linestyle=style, zorder=3)
    good = good_rows(vary, line.rows)
    if len(line.x) <= FEW:
        size = 3.0 if together else 6.0
        axes.plot(line.x[good], y[good], "o", color=colour, markersize=size, zorder=4)
    for word in failures([vary.rows.verdict(int(i)) for i in line.rows]):
        mine = thinned(np.array([vary.rows.verdict(int(i)) == word for i in line.rows]))
        axes.plot(
            line.x[mine], y[mine], MARKS[word].symbol, color=PAPER,
            markeredgecolor=colour, markersize=5.0, markeredgewidth=1.0, zorder=4, linestyle="none",
        )  # fmt: skip


def roll_axes(vary: Vary, lines: Sequence[Line], axes: Axes, system: str = "si") -> Axes:
    """Place of lift-off, and where the strip ends."""
    dress(axes)
    unit = unit_of("distance", system)
    rolls = unit.shown_array(vary.rows[ROLL])
    for line in lines:
        draw_rolls(vary, line, axes, rolls[line.rows], line.colour)
    end = unit.shown(vary.strip_length)
    known = rolls[np.isfinite(rolls)]
    most = float(known.max()) if len(known) else end
    top = min(max(most, 1.0 * end), CUT * end) * 1.08
    axes.set_ylim(0.0, top)
    _strip_end(vary, lines, axes, system)
    if most > top:
        axes.text(
            0.99, 0.97, f"longest {most:.0f} {unit.symbol}, beyond this picture",
            transform=axes.transAxes, ha="right", va="top", fontsize=SMALL - 0.5,
            color=FAINT, zorder=5,
            bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.5, "alpha": 0.85},
        )  # fmt: skip
    if not len(known):
        axes.text(
            0.5, 0.4, "none of the rolls lifts off", transform=axes.transAxes, ha="center",
            fontsize=FONT, color=INK,
        )  # fmt: skip
    axes.set_ylabel(f"ground roll [{unit.symbol}]", fontsize=SMALL, color=INK)
    return axes


def _strip_end(vary: Vary, lines: Sequence[Line], axes: Axes, system: str) -> None:
    """The limit, level; rising where the strip's length itself is what varies."""
    unit = unit_of("distance", system)
    if STRIP_KEY in [axis.key for axis in vary.axes]:
        axes.plot(lines[0].x, lines[0].x, color=LIMIT, linewidth=1.4, zorder=2)
        at, text = float(lines[0].x[-1]), "strip ends"
        axes.text(at, at, text, fontsize=SMALL, color=LIMIT, ha="right", va="bottom", clip_on=True)
        return
    end = unit.shown(vary.strip_length)
    axes.axhline(end, color=LIMIT, linewidth=1.4, zorder=2)
    gaps = [_nearest_to(vary, lines, vary.strip_length, which) for which in (0, -1)]
    left = gaps[0] >= gaps[1]
    words = f"strip ends, {quantity(vary.strip_length, 'distance', system)}"
    axes.text(
        0.01 if left else 0.99, end, words, ha="left" if left else "right", va="bottom",
        transform=axes.get_yaxis_transform(), fontsize=SMALL, color=LIMIT,
        bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.5, "alpha": 0.8}, zorder=5,
    )  # fmt: skip


def _nearest_to(vary: Vary, lines: Sequence[Line], place: float, end: int) -> float:
    """How near any line comes to a ground roll [m] at the first (0) or last (-1) of its rows."""
    found = [abs(float(vary.rows[ROLL][line.rows[end]]) - place) for line in lines if len(line.x)]
    return min((gap for gap in found if np.isfinite(gap)), default=np.inf)


def speed_axes(vary: Vary, lines: Sequence[Line], axes: Axes, system: str = "si") -> Axes:
    """Airspeeds of rotation and lift-off, and the stall speed below them."""
    dress(axes)
    unit = unit_of("speed", system)
    alone = len(lines) == 1
    shown = (
        ("rotation", "nose-wheel-off.airspeed", DASHES[1], LINES["second"]),
        ("lift-off", "lift-off.airspeed", DASHES[0], LINES["first"]),
    )
    handles = []
    for words, column, dashes, colour in shown:
        for line in lines:
            y = unit.shown_array(vary.rows[column][line.rows])
            draw_rolls(vary, line, axes, y, colour if alone else line.colour, dashes)
        ink = colour if alone else INK
        handles.append(Line2D([], [], color=ink, linestyle=dashes, label=words))  # type: ignore[arg-type]
    for line in lines:
        y = unit.shown_array(vary.rows["stall_speed_m_per_s"][line.rows])
        axes.plot(line.x, y, color=LIMIT, linewidth=1.0, linestyle=DASHES[2], zorder=2)
    handles.append(Line2D([], [], color=LIMIT, linestyle=DASHES[2], label="stall"))
    axes.legend(
        handles=handles, loc="best", ncol=3, fontsize=SMALL - 0.5, frameon=True, labelcolor=INK,
        handlelength=2.2, borderpad=0.2, columnspacing=1.0, framealpha=0.8, edgecolor="none",
    )  # fmt: skip
    axes.margins(y=0.25)
    axes.set_ylabel(f"airspeed [{unit.symbol}]", fontsize=SMALL, color=INK)
    return axes


def rate_axes(vary: Vary, lines: Sequence[Line], axes: Axes, system: str = "si") -> Axes:
    """Pitch rate at lift-off."""
    dress(axes)
    unit = unit_of("angular_rate", system)
    for line in lines:
        y = unit.shown_array(vary.rows["lift-off.pitch_rate"][line.rows])
        draw_rolls(vary, line, axes, y, line.colour)
    low, high = axes.get_ylim()
    axes.set_ylim(min(low, 0.0), high + 0.12 * (high - min(low, 0.0)))
    axes.set_ylabel(f"pitch rate at\nlift-off [{unit.symbol}]", fontsize=SMALL, color=INK)
    return axes


def along_axis(
    vary: Vary, axis: Axis, panels: Sequence[Axes], lines: Sequence[Line], system: str
) -> None:
    """The same axis under all panels, labelled at the lowest; the present value marked in all."""
    every = axis_values(axis, axis.values, system)
    low, high = float(every.min()), float(every.max())
    room = (0.6 if axis.knob is None else 0.03 * (high - low)) or 0.5
    for panel in panels:
        panel.set_xlim(low - room, high + room)
        panel.tick_params(axis="x", labelbottom=panel is panels[-1], labelsize=SMALL, colors=INK)
    if axis.knob is None:
        names = ["\n".join(wrap(word, 12)) for word in axis.words]
        for panel in panels:
            panel.set_xticks(range(len(names)), names)
    panels[-1].set_xlabel(axis_label(axis, system), fontsize=SMALL, color=INK)
    present = vary.present[vary.axes.index(axis)]
    if present is None or axis.knob is None:
        return
    now = float(axis_values(axis, np.array([present]), system)[0])
    if not low - room <= now <= high + room:
        return
    for panel in panels:
        panel.axvline(now, color=FAINT, linewidth=1.0, linestyle=(0, (2, 2)), zorder=1.5)
    panels[0].text(
        now, 1.01, f"now {now:.4g}", transform=panels[0].get_xaxis_transform(), fontsize=SMALL,
        color=INK, ha="left" if now < 0.5 * (low + high) else "right", va="bottom",
    )  # fmt: skip
