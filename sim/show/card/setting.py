"""Setting type by the millimetre: how wide a text is, where a line breaks, labels in rows."""

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from matplotlib.axes import Axes
from matplotlib.font_manager import FontProperties
from matplotlib.text import Text
from matplotlib.textpath import TextToPath

from sim.show.figures.style import INK

POINT = 25.4 / 72.0  # [mm]
LEADING = 1.24
"""Line spacing over type size."""
ASCENT = 0.8
"""Top edge of a line to the foot of its letters, share of the line."""
PLAIN = 7.0  # [pt], the smallest type on the card
HEAD = 8.5  # [pt]


@lru_cache(maxsize=4096)
def width_mm(text: str, size: float = PLAIN, weight: str = "normal") -> float:
    """Width of a text on one line [pt -> mm]."""
    font = FontProperties(size=size, weight=weight)
    return float(TextToPath().get_text_width_height_descent(text, font, False)[0]) * POINT


def line_mm(size: float = PLAIN) -> float:
    """From one line to the next [pt -> mm]."""
    return size * LEADING * POINT


def wrapped(
    text: str, width: float, size: float = PLAIN, weight: str = "normal"
) -> tuple[str, ...]:
    """Lines no wider than `width` [mm]; a word that is wider alone is cut."""
    lines: list[str] = []
    for word in _words(text, width, size, weight):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_mm(longer, size, weight) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)


def _words(text: str, width: float, size: float, weight: str) -> list[str]:
    """Words, cut where one alone is wider than the line."""
    found = []
    for word in text.split():
        rest = word
        while len(rest) > 1 and width_mm(rest, size, weight) > width:
            fits = [n for n in range(2, len(rest)) if width_mm(rest[:n], size, weight) <= width]
            cut = fits[-1] if fits else 1
            found.append(rest[:cut])
            rest = rest[cut:]
        found.append(rest)
    return found


def write(axes: Axes, x: float, y: float, text: str, size: float = PLAIN, **how: Any) -> Text:
    """Text at a place of axes measured in millimetres; a dollar in it is a dollar."""
    styled = {"color": INK, **how}
    put = axes.text(x, y, text, fontsize=size, parse_math=False, linespacing=LEADING, **styled)
    if hasattr(put, "set_fontfeatures"):  # where letters are joined, a PDF cannot be searched
        put.set_fontfeatures(("-liga",))
    return put


def write_lines(axes: Axes, x: float, y: float, lines: Sequence[str], **how: Any) -> list[Text]:
    """Lines one below the other from a top edge, each on its foot whatever letters are in it."""
    size = float(how.pop("size", PLAIN))
    foot = y - ASCENT * line_mm(size)
    return [
        write(axes, x, foot - i * line_mm(size), line, size, va="baseline", **how)
        for i, line in enumerate(lines)
    ]


def rows_of(labels: Sequence[tuple[float, float]], gap: float = 1.5) -> tuple[int, ...]:
    """A row for each label (its left end and width [mm], rising), so that none meets another."""
    free: list[float] = []
    rows = []
    for start, width in labels:
        row = next((i for i, end in enumerate(free) if start >= end), len(free))
        if row == len(free):
            free.append(0.0)
        free[row] = start + width + gap
        rows.append(row)
    return tuple(rows)
