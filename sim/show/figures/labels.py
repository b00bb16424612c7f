"""Event marks: a thin line through the axes and a label above them, never two on one spot.

A label ends at its line, and later labels stand above earlier ones, so that no line runs through
the label of another event.
"""

from dataclasses import dataclass

from matplotlib.axes import Axes
from matplotlib.text import Text

from sim.show.figures.style import FAINT, INK, PAPER, SHEET, SMALL

ROW_HEIGHT = SHEET.label_row / SHEET.plot  # of the axes' height
FIRST_ROW = 1.015
GAP = 6.0  # between two labels [px]


@dataclass(frozen=True)
class Mark:
    """What is written at which place of the x axis (in shown units)."""

    x: float
    text: str


def put_marks(axes: Axes, marks: list[Mark]) -> list[Text]:
    """Mark places on the x axis; returns the labels. Call it when the limits are final."""
    texts: list[Text] = []
    free_from: list[float] = []  # per row, the pixel from which it is free
    for mark in sorted(marks, key=lambda m: m.x):
        text = axes.text(
            mark.x, FIRST_ROW, mark.text, transform=axes.get_xaxis_transform(),
            ha="right", va="bottom", fontsize=SMALL, color=INK, clip_on=False, zorder=6,
            bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.6},
        )  # fmt: skip
        start, stop = _keep_inside(axes, text)
        row = next((i for i, free in enumerate(free_from) if start >= free), len(free_from))
        if row == len(free_from):
            free_from.append(0.0)
        free_from[row] = stop + GAP
        text.set_y(FIRST_ROW + row * ROW_HEIGHT)
        axes.plot(
            [mark.x, mark.x], [0.0, FIRST_ROW + row * ROW_HEIGHT],
            transform=axes.get_xaxis_transform(), color=FAINT, linewidth=0.8,
            linestyle=(0, (2, 2)), clip_on=False, zorder=1.5, label="_mark", scaley=False,
            scalex=False,
        )  # fmt: skip
        texts.append(text)
    return texts


def _keep_inside(axes: Axes, text: Text) -> tuple[float, float]:
    """Shift a label that would stick out of the axes sideways; its ends in pixels."""
    box = text.get_window_extent()
    frame = axes.get_window_extent()
    left, right = frame.x0 - 0.02 * frame.width, frame.x1 + 0.02 * frame.width
    shift = max(left - box.x0, 0.0) or min(right - box.x1, 0.0)
    if shift:
        pixel = axes.transData.transform((text.get_position()[0], 0.0))
        text.set_x(float(axes.transData.inverted().transform((pixel[0] + shift, 0.0))[0]))
    return box.x0 + shift, box.x1 + shift
