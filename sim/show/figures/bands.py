"""The strip below curves along a key: a row for each way to fail and each limit that is passed."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from numpy.typing import NDArray

from sim.roll.aero_table import Array
from sim.show.figures.style import FAINT, INK, LIMIT, PAPER, SMALL
from sim.show.figures.verdict_marks import MARKS, failures
from sim.show.units import formatter
from sim.study.vary import Vary

ROW = 0.3  # [in], height of a row
LIMIT_SYMBOL = "|"
FEW = 41
"""Rolls up to which each has its mark."""


@dataclass(frozen=True)
class Line:
    """One line of the picture: rows in the order of the axis.

    Attributes
    ----------
    name: "" for the only one.
    x: as shown, shape (m,).
    rows: indices of rows, shape (m,).
    colour: of it.

    """

    name: str
    x: Array
    rows: NDArray[np.intp]
    colour: str


@dataclass(frozen=True)
class Band:
    """One row of the strip.

    Attributes
    ----------
    text: its name.
    where: for each row of the study, whether it has a mark, shape (rows,).
    symbol, tint: of the marks, and behind them.
    colour: of name and marks; "" for ink and the line's own.
    bar: whether neighbours are joined to a bar.

    """

    text: str
    where: NDArray[np.bool_]
    symbol: str
    tint: str
    colour: str = ""
    bar: bool = False


def bands_of(vary: Vary, system: str = "si") -> list[Band]:
    """Verdicts that are not as wanted, then limits passed."""
    verdicts = np.array([vary.rows.verdict(i) for i in range(len(vary.rows))])
    found = []
    for word in failures(list(vary.rows.counts())):
        where = verdicts == word
        found.append(Band(f"{word} ({where.sum()})", where, MARKS[word].symbol, MARKS[word].tint))
    write = formatter(system)
    found += [
        Band(
            f"{passed.says.text(write)} ({passed.where.sum()})",
            passed.where,
            LIMIT_SYMBOL,
            PAPER,
            LIMIT,
            bar=all(axis.knob is not None for axis in vary.axes),
        )
        for passed in vary.passed
    ]
    return found


def draw_bands(bands: Sequence[Band], lines: Sequence[Line], axes: Axes) -> Axes:
    """A row for each, its rolls at their places, its name on it."""
    axes.set_ylim(len(bands) - 0.5 if bands else 0.5, -0.5)
    axes.set_yticks([])
    for row, band in enumerate(bands):
        axes.axhspan(row - 0.46, row + 0.46, color=band.tint, zorder=0.5, linewidth=0)
        axes.text(
            0.01, row - 0.16, band.text, transform=axes.get_yaxis_transform(),
            fontsize=SMALL - 0.5, color=band.colour or INK, va="center",
        )  # fmt: skip
        for turn, line in enumerate(lines):
            # lines of several words lie a little apart, so that none hides another
            at = row + 0.22 + (0.0 if len(lines) == 1 else 0.1 * (turn - (len(lines) - 1) / 2))
            colour = band.colour if band.colour and len(lines) == 1 else line.colour
            here = band.where[line.rows]
            if band.bar:
                axes.plot(
                    line.x, np.where(here, at, np.nan), color=colour, linewidth=2.4, zorder=2.5,
                    solid_capstyle="butt",
                )  # fmt: skip
            marked = line.x[thinned(here)]
            axes.plot(
                marked, np.full(len(marked), at), band.symbol, color=colour,
                markersize=4.2, markeredgewidth=1.0, linestyle="none", zorder=3,
            )  # fmt: skip
    for side in ("top", "right", "left"):
        axes.spines[side].set_visible(False)
    axes.spines["bottom"].set_color(FAINT)
    return axes


def thinned(here: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Of many marks those at every second, third ... roll, and where they begin and end."""
    every = -(-len(here) // FEW)
    kept = np.arange(len(here)) % max(every, 1) == 0
    before, after = np.append(False, here[:-1]), np.append(here[1:], False)
    return np.asarray(here & (kept | ~(before & after)))
