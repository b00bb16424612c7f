"""Force arrows to scale, each with its name and size, so that colour is never needed to tell."""

from dataclasses import dataclass
from math import hypot
from typing import TypeVar

import numpy as np
from matplotlib.axes import Axes
from matplotlib.patches import Patch, Polygon
from matplotlib.text import Text

from sim.roll.aero_table import Array
from sim.show.figures.style import FAINT, INK, LIMIT, LINES, PAPER

LETTERS = 9.5  # [pt]
SHAFT, HEAD, HEAD_WIDTH = 0.02, 0.055, 0.06
"""Width of the shaft, length and width of the head, of the aeroplane's length."""
LEAST = 0.015
"""Arrows shorter than this share of the aeroplane's length have no label."""


@dataclass(frozen=True)
class Kind:
    """A force: its word, its colour, where its label stands beside the label's place."""

    words: str
    colour: str
    side: str  # horizontal alignment
    upright: str  # vertical alignment


KINDS: dict[str, Kind] = {
    "weight": Kind("weight", INK, "left", "top"),
    "wing": Kind("lift", LINES["first"], "center", "bottom"),
    "tail": Kind("tail", LINES["second"], "center", "top"),
    "thrust": Kind("thrust", LINES["third"], "center", "bottom"),
    "drag": Kind("drag", LINES["fourth"], "center", "bottom"),
    "main": Kind("mains", FAINT, "right", "bottom"),
    "nose": Kind("nose", LIMIT, "left", "top"),
}


def arrow_shape(start: Array, way: Array, size: float) -> Array:
    """Outline of an arrow from `start` along `way`, shape (7, 2); its tip is the fourth point."""
    length = hypot(*way)
    if length <= 0.0:
        return np.repeat(start[None], 7, axis=0)
    ahead = way / length
    square = np.array([-ahead[1], ahead[0]])
    head = min(HEAD * size, length)
    shaft = 0.5 * SHAFT * size * min(1.0, head / (HEAD * size))
    barb = 0.5 * HEAD_WIDTH * size * head / (HEAD * size)
    neck, tip = start + (length - head) * ahead, start + way
    return np.array(
        [
            start + shaft * square, neck + shaft * square, neck + barb * square, tip,
            neck - barb * square, neck - shaft * square, start - shaft * square,
        ]
    )  # fmt: skip


Shape = TypeVar("Shape", bound=Patch)


def added(axes: Axes, patch: Shape) -> Shape:
    """The patch, put into the axes."""
    axes.add_patch(patch)
    return patch


class Arrow:
    """One force on the picture."""

    def __init__(self, axes: Axes, name: str, size: float) -> None:
        self.kind, self.size = KINDS[name], size
        shape = Polygon(
            np.zeros((7, 2)), closed=True, facecolor=self.kind.colour, edgecolor=PAPER,
            linewidth=0.6, zorder=8, label=f"{name} arrow",
        )  # fmt: skip
        self.patch = added(axes, shape)
        self.text: Text = axes.text(
            0.0, 0.0, "", fontsize=LETTERS, color=self.kind.colour, ha=self.kind.side,
            va=self.kind.upright, zorder=9, fontweight="bold", clip_on=False,
            bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.3, "alpha": 0.8},
        )  # fmt: skip

    def put(self, start: Array, way: Array, label_at: Array, size_words: str) -> None:
        """Draw it from `start` along `way`; hidden when it is nothing."""
        self.patch.set_xy(arrow_shape(start, way, self.size))
        seen = hypot(*way) >= LEAST * self.size
        self.patch.set_visible(hypot(*way) > 0.0)
        self.text.set_position((float(label_at[0]), float(label_at[1])))
        self.text.set_text(f"{self.kind.words} {size_words}" if seen else "")
