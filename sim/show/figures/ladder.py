"""A ladder drawn: the rungs as a staircase against the strip's end, and each change's worth."""

from textwrap import wrap

import numpy as np
from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.patches import Patch

from sim.roll.verdict import Verdict
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
from sim.show.units import number, quantity, unit_of
from sim.study.ladder import GROUND_ROLL, Ladder

ROW = 0.26  # [in], a rung or a change
NAMES = 1.55  # [in], for the names at the left
ALONE = "#9cc3e6"
FAILS = "#e9b08a"
"""Fill of a rung that is not airborne, hatched as well."""


def ladder_figure(ladder: Ladder, system: str = "si") -> Figure:
    """Draw both pictures, one above the other, as high as there are changes."""
    title = wrap(ladder.title, TITLE_LETTERS)
    upper, lower = ROW * (ladder.count + 1), 1.35 * ROW * ladder.count
    below, between, above = 0.78, 1.05, 0.42 + 0.2 * len(title)
    height = below + lower + between + upper + above
    figure = Figure(figsize=(WIDTH, height), dpi=DPI, facecolor=PAPER)
    FigureCanvasAgg(figure)
    left, width = NAMES / WIDTH, 1.0 - (NAMES + 0.3) / WIDTH
    top = figure.add_axes((left, (below + lower + between) / height, width, upper / height))
    bottom = figure.add_axes((left, below / height, width, lower / height))
    stairs_axes(ladder, top, system)
    shares_axes(ladder, bottom, system)
    figure.text(
        0.02, 1.0 - 0.1 / height, "\n".join(title), fontsize=FONT, color=INK, fontweight="bold",
        va="top",
    )  # fmt: skip
    figure.text(
        0.02, (below + lower + 0.12) / height,
        "What each change takes off the ground roll, alone and as\n"
        "its fair share of what all take off together",
        fontsize=SMALL, color=INK, va="bottom",
    )  # fmt: skip
    return figure


def stairs_axes(ladder: Ladder, axes: Axes, system: str = "si") -> Axes:
    """Ground roll after each change, one below the other; the end of the strip as a line."""
    dress(axes)
    unit = unit_of("distance", system)
    rungs = (0, *ladder.rungs)
    places = [ladder.value(GROUND_ROLL, rung) for rung in rungs]
    end = unit.shown(ladder.strip_length)
    known = [unit.shown(p) for p in places if np.isfinite(p)]
    longest = max([*known, end]) * 1.16
    for row, (rung, place) in enumerate(zip(rungs, places, strict=True)):
        if row and rung == rungs[row - 1]:
            axes.text(0.012 * longest, row, "left out", fontsize=SMALL, va="center", color=FAINT)
        else:
            _rung(axes, row, ladder.rows.verdict(rung), unit.shown(place), longest, system)
        if row and np.isfinite(place) and np.isfinite(places[row - 1]):
            x = unit.shown(places[row - 1])
            axes.plot([x, x], [row - 1 + 0.36, row + 0.36], color=FAINT, linewidth=0.8)
    axes.axvline(end, color=LIMIT, linewidth=1.6)
    axes.text(
        end, -0.72, f"strip ends, {quantity(ladder.strip_length, 'distance', system)}",
        fontsize=SMALL, color=LIMIT, ha="center", va="bottom",
    )  # fmt: skip
    axes.set_xlim(0.0, longest)
    axes.set_ylim(len(rungs) - 0.5, -0.6)
    names = ["as it stands", *(f"+ {change.name}" for change in ladder.changes)]
    _names(axes, names)
    axes.set_xlabel(f"ground roll, changes stacked [{unit.symbol}]", fontsize=SMALL, color=INK)
    return axes


def _rung(axes: Axes, row: int, word: str, place: float, longest: float, system: str) -> None:
    """One bar with its number; what is not airborne is hatched and says its verdict."""
    good = word == Verdict.AIRBORNE
    fill = {"facecolor": LINES["first"] if good else FAILS, "hatch": "" if good else "////"}
    flies = bool(np.isfinite(place))
    length = place if flies else longest
    axes.barh(row, length, height=0.72, edgecolor=PAPER, linewidth=0.4, **fill)  # type: ignore[arg-type]
    metres = f"{place:.{unit_of('distance', system).decimals}f}" if flies else ""
    beside = not good and length < 0.5 * longest
    words = metres if good else f"{metres}  {word}".strip()
    axes.text(
        (length if beside else 0.0) + 0.012 * longest, row, words, fontsize=SMALL, va="center",
        ha="left", color=PAPER if good else INK, fontweight="bold" if good else "normal",
        bbox=None if good else {"facecolor": PAPER, "edgecolor": "none", "pad": 1.0},
    )  # fmt: skip


def shares_axes(ladder: Ladder, axes: Axes, system: str = "si") -> Axes:
    """Gain alone above the fair share, for each change, the largest share first."""
    dress(axes)
    unit, counted = unit_of("distance", system), ladder.ground_roll
    order = np.argsort(-counted.shares, kind="stable")
    alone = unit.shown_array(counted.gains[1 << order])
    share = unit.shown_array(counted.shares[order])
    rows = np.arange(ladder.count)
    axes.barh(rows - 0.2, alone, height=0.36, color=ALONE, edgecolor=PAPER, hatch="\\\\\\")
    axes.barh(rows + 0.2, share, height=0.36, color=LINES["first"])
    finite = np.concatenate([[0.0], alone[np.isfinite(alone)], share])
    low, high = float(finite.min()), float(finite.max())
    span = max(high - low, 1e-9)
    for values, shift in ((alone, -0.2), (share, 0.2)):
        for row, value in zip(rows, values, strict=True):
            if np.isfinite(value):
                text = number(float(value) / unit.factor, "distance", system, 1)
                axes.text(
                    max(float(value), 0.0) + 0.012 * span, row + shift, text, fontsize=SMALL - 1,
                    va="center", color=INK,
                )  # fmt: skip
    axes.axvline(0.0, color=INK, linewidth=0.9)
    axes.set_xlim(low - 0.04 * span if low < 0.0 else 0.0, high + 0.13 * span)
    axes.set_ylim(ladder.count - 0.5, -0.5)
    _names(axes, [ladder.changes[i].name for i in order])
    axes.set_xlabel(f"ground roll shorter by [{unit.symbol}]", fontsize=SMALL, color=INK)
    axes.legend(
        handles=[
            Patch(facecolor=ALONE, edgecolor=PAPER, hatch="\\\\\\", label="alone"),
            Patch(facecolor=LINES["first"], label="fair share of the whole"),
        ],
        loc="upper center", bbox_to_anchor=(0.3, -0.5 / (1.35 * ROW * ladder.count)), ncol=2,
        fontsize=SMALL, frameon=False, labelcolor=INK, borderaxespad=0.0, borderpad=0.0,
    )  # fmt: skip
    return axes


def _names(axes: Axes, names: list[str]) -> None:
    axes.set_yticks(range(len(names)), [n if len(n) <= 22 else f"{n[:20]}..." for n in names])
    axes.tick_params(axis="y", labelsize=SMALL, length=0)
    axes.grid(False, axis="y")
