"""The blank field log as lines on paper."""

from matplotlib.axes import Axes

from sim.show.card.drawing import bare
from sim.show.card.setting import PLAIN, line_mm, width_mm, write
from sim.show.figures.style import FAINT, INK

PAD = 0.6  # either side of a heading [mm]
WIDER = {"kind": 3.0, "marks": 4.0, "times": 4.0, "note": 8.0}
"""Columns in which more than a number is written get so much more [mm], where there is room."""


def log_widths(headings: tuple[str, ...], width: float) -> tuple[list[float], bool]:
    """Width of each column [mm], and whether the headings have to be turned.

    Parameters
    ----------
    headings
        such as "distance to stop [m]".
    width
        of all columns together [mm].

    """
    need = [max(width_mm(word) for word in h.split()) + 2 * PAD for h in headings]
    turned = sum(need) > width
    if turned:
        need = [line_mm() + 2 * PAD] * len(headings)
    more = [WIDER.get(h.split()[0], 1.0) for h in headings]
    spare = max(width - sum(need), 0.0)
    wide = [n + spare * m / sum(more) for n, m in zip(need, more, strict=True)]
    return wide, turned


def log_head(headings: tuple[str, ...], width: float) -> float:
    """Height of the headings [mm]."""
    if log_widths(headings, width)[1]:
        return max(width_mm(h) for h in headings) + 2 * PAD
    return max(len(h.split()) for h in headings) * line_mm() + 2 * PAD


def draw_log(axes: Axes, size: tuple[float, float], headings: tuple[str, ...], rows: int) -> Axes:
    """Draw headings and empty rows into axes measured in millimetres.

    Parameters
    ----------
    axes
        limits are set to `size`, and the axes' lines are taken away.
    size
        width and height of the axes [mm].
    headings
        one for each column.
    rows
        empty ones below.

    """
    bare(axes, size)
    wide, turned = log_widths(headings, size[0])
    head, left = log_head(headings, size[0]), 0.0
    for heading, width in zip(headings, wide, strict=True):
        text = heading if turned else heading.replace(" ", "\n")
        write(
            axes, left + (0.5 * width if turned else PAD), size[1] - PAD, text, PLAIN, va="top",
            ha="center" if turned else "left", rotation=90.0 if turned else 0.0, color=INK,
        )  # fmt: skip
        _line(axes, (left, left), (0.0, size[1]))
        left += width
    _line(axes, (size[0], size[0]), (0.0, size[1]))
    step = (size[1] - head) / rows
    for y in (size[1], *(k * step for k in range(rows + 1))):
        _line(axes, (0.0, size[0]), (y, y))
    return axes


def _line(axes: Axes, x: tuple[float, float], y: tuple[float, float]) -> None:
    axes.plot(x, y, color=FAINT, linewidth=0.5, clip_on=False)
