"""A roll over two keys: contours of the ground roll, and the regions where it fails."""

from collections.abc import Iterator
from textwrap import wrap

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import LinearSegmentedColormap, Normalize
from matplotlib.figure import Figure
from matplotlib.patches import Patch, PathPatch
from matplotlib.path import Path
from matplotlib.patheffects import withTickedStroke
from numpy.typing import NDArray

from sim.roll.aero_table import Array
from sim.show.axis_words import axis_label, axis_values
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
from sim.show.runs import runs_of
from sim.show.units import formatter, unit_of
from sim.study.axis import Axis
from sim.study.rows import GOOD_WORD
from sim.study.vary import ROLL, Vary

LEFT, RIGHT = 0.78, 0.2  # [in]
PLOT = 3.9  # [in]
LEGEND_ROW = 0.22  # [in]
LEVELS = 8
STRIP_ENDS = "strip ends"
SHADES = LinearSegmentedColormap.from_list("short to long", ["#eaf4fb", "#8fbfe0", "#3f7fb8"])
"""Light for short, dark for long: read by lightness alone."""


def map_figure(vary: Vary, system: str = "si") -> Figure:
    """Draw the map with its legend in words.

    Parameters
    ----------
    vary
        over two keys; the first goes up the picture, the second across.
    system
        "si" or "imperial".

    """
    words = failures(list(vary.rows.counts()))
    title = [
        *wrap(vary.prepared.title, TITLE_LETTERS),
        *wrap(f"ground roll [{unit_of('distance', system).symbol}]", TITLE_LETTERS),
        *wrap(vary.interruption, TITLE_LETTERS),
    ]
    handles = [*_handles(vary, words), *_limit_handles(vary, system)]
    below = 0.62 + LEGEND_ROW * -(-len(handles) // 2)
    head = 0.26 + 0.2 * len(title)
    height = below + PLOT + head
    figure = Figure(figsize=(WIDTH, height), dpi=DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)
    axes = figure.add_axes(
        (LEFT / WIDTH, below / height, 1.0 - (LEFT + RIGHT) / WIDTH, PLOT / height)
    )
    map_axes(vary, axes, system)
    figure.text(
        0.02, 1.0 - 0.1 / height, "\n".join(title), fontsize=FONT, color=INK, fontweight="bold",
        va="top",
    )  # fmt: skip
    figure.legend(
        handles=handles, loc="lower left", bbox_to_anchor=(0.02, 0.01), ncol=2, fontsize=SMALL,
        frameon=False, labelcolor=INK, handlelength=2.6, handleheight=1.2, borderaxespad=0.0,
        columnspacing=1.4,
    )  # fmt: skip
    return figure


def _handles(vary: Vary, words: list[str]) -> list[Patch]:
    found = [Patch(facecolor="#cfe3f2", edgecolor=FAINT, label="airborne", linewidth=0.6)]
    counts = vary.rows.counts()
    if GOOD_WORD not in counts:
        found = []
    found += [
        Patch(
            facecolor=MARKS[word].tint, edgecolor=INK, hatch=MARKS[word].hatch, linewidth=0.0,
            label="makes no scenario" if word == "refused" else word,
        )
        for word in words
    ]  # fmt: skip
    return found


def _limit_handles(vary: Vary, system: str) -> list[Patch]:
    """Limits that no line in the map can show: passed all over it, or in cells with numbers."""
    write = formatter(system)
    drawn = {name for name, _ in _limits(vary, system)} if _has_contours(vary) else set()
    found = [(passed.says.text(write), passed.where) for passed in vary.passed]
    return [
        Patch(
            facecolor=PAPER, edgecolor=LIMIT, linewidth=1.0,
            label=f"{name}: {'all over' if where.all() else f'{where.sum()} of {len(where)}'}",
        )
        for name, where in found
        if name not in drawn
    ]  # fmt: skip


def _has_contours(vary: Vary) -> bool:
    """Whether there are places between the rolls, and enough rolls to draw lines through."""
    return all(axis.knob is not None and len(axis) > 2 for axis in vary.axes)


def map_axes(vary: Vary, axes: Axes, system: str = "si") -> Axes:
    """Contours and regions in axes of anybody's.

    Each roll stands for the cell around its place, half-way to its neighbours; contours run
    between rolls that lift off. Words along an axis have no places between them: then each cell
    carries its number instead.
    """
    dress(axes)
    up, across = vary.axes
    x, y = (axis_values(axis, axis.values, system) for axis in (across, up))
    rolls, verdicts = _grids(vary, system)
    order = np.ix_(np.argsort(y), np.argsort(x))
    x, y, rolls, verdicts = np.sort(x), np.sort(y), rolls[order], verdicts[order]
    ends_x, ends_y = _edges(x), _edges(y)
    for word in failures([str(v) for v in np.unique(verdicts)]):
        _region(axes, verdicts == word, ends_x, ends_y, word)
    if not _has_contours(vary):
        _numbers(axes, x, y, rolls, verdicts, (ends_x, ends_y))
    else:
        _contours(vary, axes, x, y, rolls, system)
    cells = not _has_contours(vary)
    axes.set_xlim(*((ends_x[0], ends_x[-1]) if cells else (x[0], x[-1])))
    axes.set_ylim(*((ends_y[0], ends_y[-1]) if cells else (y[0], y[-1])))
    _label(axes, across, up, system)
    _present(vary, axes, system)
    axes.grid(False)
    return axes


def _grids(vary: Vary, system: str) -> tuple[Array, NDArray[np.str_]]:
    """Ground rolls and verdicts, shape (first key, second key); "" where nothing was rolled."""
    shape = (len(vary.axes[0]), len(vary.axes[1]))
    rolls = np.full(shape, np.nan)
    verdicts = np.full(shape, "", dtype="U24")
    shown = unit_of("distance", system).shown_array(vary.rows[ROLL])
    for i, lane in enumerate(vary.rows.lanes):
        rolls.flat[lane] = shown[i]
        verdicts.flat[lane] = vary.rows.verdict(i)
    return rolls, verdicts


def _edges(values: Array) -> Array:
    """Half-way between neighbours; the outer cells are as wide as they are on their inner side."""
    middle = 0.5 * (values[1:] + values[:-1])
    first, last = 2 * values[0] - middle[0], 2 * values[-1] - middle[-1]
    return np.concatenate([[first], middle, [last]])


def _region(axes: Axes, where: NDArray[np.bool_], x: Array, y: Array, word: str) -> None:
    """Tint and hatch of all cells of one verdict, as one patch."""
    corners: list[tuple[float, float]] = []
    codes: list[np.uint8] = []
    for row, line in enumerate(where):
        for first, last in runs_of(line):
            left, right, low, high = x[first], x[last + 1], y[row], y[row + 1]
            corners += [(left, low), (right, low), (right, high), (left, high), (left, low)]
            codes += [Path.MOVETO, *[Path.LINETO] * 3, Path.CLOSEPOLY]
    mark = MARKS[word]
    patch = PathPatch(
        Path(np.array(corners), codes), facecolor=mark.tint, edgecolor="#7a828c", linewidth=0.0,
        hatch=mark.hatch, zorder=1.0,
    )  # fmt: skip
    axes.add_patch(patch)


def _contours(vary: Vary, axes: Axes, x: Array, y: Array, rolls: Array, system: str) -> None:
    """Shades where it lifts off, lines of equal ground roll with their numbers, and limits."""
    known = np.isfinite(rolls)
    limits = list(_limits(vary, system))
    if known.any() and float(np.nanmax(rolls)) > float(np.nanmin(rolls)):
        end = unit_of("distance", system).shown(vary.strip_length)
        levels = _levels(rolls, end)
        masked = np.ma.masked_invalid(rolls)
        axes.contourf(
            x, y, masked, levels=levels, cmap=SHADES, extend="both", zorder=0.8,
            norm=Normalize(float(levels[0]), float(levels[-1])),
        )  # fmt: skip
        if any(name == STRIP_ENDS for name, _ in limits):  # no two lines of nearly the same roll
            levels = levels[np.abs(levels - end) > 0.3 * (levels[1] - levels[0])]
        lines = axes.contour(x, y, masked, levels=levels, colors=INK, linewidths=0.9, zorder=3)
        for text in axes.clabel(lines, fontsize=SMALL - 0.5, fmt="%g", inline_spacing=2):
            text.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 0.4, "alpha": 0.85})
    for name, beyond in limits:
        lines = axes.contour(
            x, y, np.ma.masked_invalid(beyond), levels=[0.0], colors=LIMIT, zorder=4,
            linewidths=2.0 if name == STRIP_ENDS else 1.2,
            linestyles="-" if name == STRIP_ENDS else "--",
        )  # fmt: skip
        if name != STRIP_ENDS:  # short strokes on the side that is beyond it
            lines.set(path_effects=[withTickedStroke(spacing=7, angle=60, length=0.6)])
        for text in axes.clabel(lines, fontsize=SMALL, fmt={0.0: name}, inline=False):
            text.set_bbox({"facecolor": PAPER, "edgecolor": "none", "pad": 0.5})


def _limits(vary: Vary, system: str) -> Iterator[tuple[str, Array]]:
    """Limits that run through the map: name, and how far beyond it is, on the grid as drawn."""
    write = formatter(system)
    found = [(STRIP_ENDS, -vary.rows["strip_left_at_lift_off_m"])]
    found += [(passed.says.text(write), passed.beyond) for passed in vary.passed]
    order = np.ix_(*(np.argsort(axis.values) for axis in vary.axes))
    for name, beyond in found:
        grid = np.full((len(vary.axes[0]), len(vary.axes[1])), np.nan)
        grid.flat[vary.rows.lanes] = beyond
        if np.isfinite(grid).any() and np.nanmin(grid) < 0.0 < np.nanmax(grid):
            yield name, grid[order]


def _levels(rolls: Array, strip: float) -> Array:
    """Round numbers over most of what there is, close together where the rolls are short."""
    low = float(np.nanmin(rolls))
    high = min(float(np.nanmax(rolls)), max(2.0 * strip, 1.5 * low))
    raw = (high - low) / LEVELS
    size = 10.0 ** np.floor(np.log10(raw))
    step = size * next(s for s in (1.0, 2.0, 5.0, 10.0) if s * size >= raw)
    first = np.floor(low / step) * step
    return np.asarray(np.arange(first, high + step, step))


def _numbers(
    axes: Axes, x: Array, y: Array, rolls: Array, verdicts: NDArray[np.str_],
    ends: tuple[Array, Array],
) -> None:  # fmt: skip
    """A shade and a number for each cell of a good roll; the number alone where it fails."""
    good = np.where(verdicts == GOOD_WORD, rolls, np.nan)
    if np.isfinite(good).any():
        axes.pcolormesh(
            *ends, np.ma.masked_invalid(good), cmap=SHADES, zorder=0.8, edgecolors=PAPER,
            linewidth=0.8,
        )  # fmt: skip
    if len(x) > 12 or len(y) > 24:
        return
    for row, column in np.argwhere(np.isfinite(rolls)):
        axes.text(
            x[column], y[row], f"{rolls[row, column]:.0f}", fontsize=SMALL - 0.5, color=INK,
            ha="center", va="center", zorder=5,
            bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.8, "alpha": 0.8},
        )  # fmt: skip


def _label(axes: Axes, across: Axis, up: Axis, system: str) -> None:
    axes.set_xlabel(axis_label(across, system), fontsize=SMALL, color=INK)
    if up.knob is None:  # long words stand where the label would
        axes.set_title(f"up: {up.key}", fontsize=SMALL, color=INK, loc="left", pad=4)
    else:
        axes.set_ylabel(axis_label(up, system), fontsize=SMALL, color=INK)
    if across.knob is None:
        names = ["\n".join(wrap(word, 10)) for word in across.words]
        axes.set_xticks(range(len(names)), names)
    if up.knob is None:
        names = ["\n".join(wrap(word, 8)) for word in up.words]
        axes.set_yticks(range(len(names)), names)


def _present(vary: Vary, axes: Axes, system: str) -> None:
    """A cross where the scenario stands now, if that is on the map."""
    up, across = vary.axes
    now_up, now_across = vary.present
    if now_up is None or now_across is None:
        return
    x = float(axis_values(across, np.array([now_across]), system)[0])
    y = float(axis_values(up, np.array([now_up]), system)[0])
    (left, right), (low, high) = axes.get_xlim(), axes.get_ylim()
    if not (left <= x <= right and low <= y <= high):
        return
    if across.knob is None or up.knob is None:
        y -= 0.3 * (1.0 if up.knob is None else (high - low) / len(up))  # clear of the number
    axes.plot(
        [x], [y], "P", color=LINES["second"], markersize=9, markeredgecolor=PAPER, zorder=6,
        clip_on=False,
    )  # fmt: skip
    aside = 1.0 if x - left < 0.85 * (right - left) else -1.0
    above = 1.0 if y - low < 0.9 * (high - low) else -1.0
    axes.annotate(
        "now", (x, y), xytext=(9 * aside, 6 * above), textcoords="offset points", fontsize=SMALL,
        color=INK, ha="left" if aside > 0.0 else "right", va="bottom" if above > 0.0 else "top",
        zorder=6, bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.5, "alpha": 0.85},
    )  # fmt: skip
