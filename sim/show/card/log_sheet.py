"""A table of the blank field log as lines on paper."""

from matplotlib.axes import Axes

from sim.show.card.drawing import bare
from sim.show.card.setting import PLAIN, line_mm, width_mm, wrapped, write, write_lines
from sim.show.figures.style import FAINT

PAD = 0.6  # either side of a heading [mm]
MOST_LINES = 3
"""Lines of a heading."""
WIDER = {"kind": 6.0, "marks": 4.0, "times": 4.0, "changes": 4.0, "note": 8.0}
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
    need = [_narrowest(heading) + 2 * PAD for heading in headings]
    turned = sum(need) > width
    if turned:
        need = [line_mm() + 2 * PAD] * len(headings)
    more = [WIDER.get(h.split()[0], 1.0) for h in headings]
    spare = max(width - sum(need), 0.0)
    wide = [n + spare * m / sum(more) for n, m in zip(need, more, strict=True)]
    return wide, turned


def _narrowest(heading: str) -> float:
    """Least width that takes a heading in no more than `MOST_LINES` lines [mm]."""
    words = heading.split()
    groups = [" ".join(words[i:j]) for i in range(len(words)) for j in range(i + 1, len(words) + 1)]
    widths = sorted(width_mm(group) + 0.1 for group in groups)
    return next(w for w in widths if w > max(map(width_mm, words)) and
                len(wrapped(heading, w)) <= MOST_LINES)  # fmt: skip


def _lines(headings: tuple[str, ...], width: float) -> list[tuple[str, ...]]:
    """Each heading in lines as wide as its column."""
    wide, _ = log_widths(headings, width)
    return [wrapped(h, w - 2 * PAD) for h, w in zip(headings, wide, strict=True)]


def log_head(headings: tuple[str, ...], width: float) -> float:
    """Height of the headings [mm]."""
    if log_widths(headings, width)[1]:
        return max(width_mm(h) for h in headings) + 2 * PAD
    return max(map(len, _lines(headings, width))) * line_mm() + 2 * PAD


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
    head, left, top = log_head(headings, size[0]), 0.0, size[1] - PAD
    for heading, lines, width in zip(headings, _lines(headings, size[0]), wide, strict=True):
        if turned:
            middle = left + 0.5 * width
            write(axes, middle, top, heading, PLAIN, va="top", ha="center", rotation=90.0)
        else:
            write_lines(axes, left + PAD, top, lines)
        _line(axes, (left, left), (0.0, size[1]))
        left += width
    _line(axes, (size[0], size[0]), (0.0, size[1]))
    step = (size[1] - head) / rows
    for y in (size[1], *(k * step for k in range(rows + 1))):
        _line(axes, (0.0, size[0]), (y, y))
    return axes


def _line(axes: Axes, x: tuple[float, float], y: tuple[float, float]) -> None:
    axes.plot(x, y, color=FAINT, linewidth=0.5, clip_on=False)
