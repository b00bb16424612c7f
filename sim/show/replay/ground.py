"""The strip under the aeroplane, in metres ahead of the CG: marks, its end, an obstacle."""

from dataclasses import dataclass
from math import ceil, floor
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.patches import Rectangle

from sim.show.figures.style import FAINT, INK, LIMIT, SOIL
from sim.show.replay.arrows import LETTERS, added
from sim.show.replay.told import Told
from sim.show.units import FOOT

MARKS = {"m": (2.0, 4), "ft": (5.0 * FOOT, 5)}
"""Unit -> distance between marks with numbers [m], small marks for each."""
MOST_MARKS = 12
BEYOND = "#f1dede"
"""Tint of the ground beyond the strip."""
DEPTH, POST, MARK = 1.0, 0.3, 0.035
"""Of the aeroplane's length: ground below the line, post at the strip's end, a mark."""


@dataclass(frozen=True)
class View:
    """What is seen, in metres ahead of the CG and above the strip."""

    left: float
    right: float
    bottom: float
    top: float


class Ground:
    """Everything that stands on the strip; it slides past as the aeroplane rolls."""

    def __init__(self, axes: Axes, told: Told, size: float) -> None:
        """`size`: length of the aeroplane [m]."""
        self.told, self.size = told, size
        self.strip = told.story["scene"]["strip"]
        unit = told.story["units"]["length"]["unit"]
        self.step, self.small = MARKS.get(unit, MARKS["m"])
        self.grass = added(
            axes, Rectangle((0, 0), 0, 0, color=SOIL, linewidth=0, zorder=0.5, label="strip")
        )
        self.beyond = added(
            axes, Rectangle((0, 0), 0, 0, facecolor=BEYOND, edgecolor=LIMIT, linewidth=0,
                            hatch="//", zorder=0.6, label="beyond the strip")
        )  # fmt: skip
        (self.line,) = axes.plot([], [], color=INK, linewidth=1.6, zorder=2, label="ground")
        self.ticks = LineCollection([], colors=FAINT, linewidths=1.2, alpha=0.6, zorder=2.1)
        axes.add_collection(self.ticks)
        words: dict[str, Any] = {"fontsize": LETTERS, "ha": "center", "clip_on": True}
        self.numbers = [
            axes.text(0, 0, "", color=INK, va="bottom", zorder=2.2, **words | {"ha": "left"})
            for _ in range(MOST_MARKS)
        ]
        (self.post,) = axes.plot([], [], color=LIMIT, linewidth=3, zorder=2.4, label="strip end")
        self.post_words = axes.text(
            0, 0, "strip end", color=LIMIT, va="bottom", fontweight="bold", zorder=2.4, **words
        )
        self.obstacle = added(
            axes, Rectangle((0, 0), 0, 0, facecolor=FAINT, edgecolor=INK, hatch="xx", zorder=2.3,
                      label="obstacle")
        )  # fmt: skip

    def show(self, distance: float, view: View) -> None:
        """Put it where it is with the CG `distance` metres along the strip."""
        deep = DEPTH * self.size
        self.line.set_data([view.left, view.right], [0.0, 0.0])
        self.grass.set_bounds(view.left, -deep, view.right - view.left, deep)
        self._show_marks(distance, view)
        self._show_end(distance, view)
        if self.strip["obstacle"] is not None:
            at = self.strip["obstacle"]["place"] - distance
            self.obstacle.set_bounds(at, 0.0, 0.05 * self.size, self.strip["obstacle"]["height"])

    def _show_end(self, distance: float, view: View) -> None:
        """A post at the strip's end, and hatched ground beyond it."""
        length = self.strip["length"]
        at = np.inf if length is None else length - distance
        high, deep = POST * self.size, DEPTH * self.size
        seen = view.left < at < view.right
        self.post.set_data(*(([at, at], [0.0, high]) if seen else ([], [])))
        self.post_words.set_visible(seen and view.bottom < 0.0)
        self.post_words.set_position((float(at) if seen else 0.0, high))
        start = min(max(at, view.left), view.right)
        self.beyond.set_bounds(start, -deep, view.right - start, deep)

    def _show_marks(self, distance: float, view: View) -> None:
        """Small marks along the ground, and numbers below every few of them."""
        step, high = self.step / self.small, MARK * self.size
        first, last = ceil((distance + view.left) / step), floor((distance + view.right) / step)
        places = np.arange(first, last + 1)
        lines = []
        for k in places.tolist():
            x, low = k * step - distance, view.bottom if k % self.small == 0 else -high
            lines.append([(x, low), (x, 0.0)])
        self.ticks.set_segments(lines)
        numbered = [int(k) for k in places if k % self.small == 0 and k >= 0][:MOST_MARKS]
        for text in self.numbers[len(numbered) :]:
            text.set_visible(False)
        for text, k in zip(self.numbers, numbered, strict=False):
            text.set_visible(view.bottom < 0.0)
            text.set_position((k * step - distance + 0.4 * high, view.bottom + 0.3 * high))
            text.set_text(self.told.shown(k * step, "length", 0))
