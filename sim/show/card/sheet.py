"""The card on one sheet of paper: a figure whose every place is counted in millimetres."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from sim.show.card.content import Card
from sim.show.card.drawing import bare, draw_aeroplane
from sim.show.card.field_log import LOGGER
from sim.show.card.log_sheet import draw_log, log_head
from sim.show.card.measures import Group
from sim.show.card.setting import HEAD, PLAIN, line_mm, width_mm, wrapped, write_lines
from sim.show.card.strip import draw_strip, strip_ground, strip_marks
from sim.show.figures.style import FAINT, LIMIT, PAPER

PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height [mm]; ISO 216 and the North American size."""
MARGIN, GAP = 7.0, 2.4
TABLE = 84.0
NAME = 11.5
"""Width of the measurements' column, and of the parts' names in it [mm]."""
TITLE = 11.0  # [pt]
TITLE_LINES = 3
LEAST_ROWS, ROW, APART = 6, 5.0, 1.2
"""Rows of the field log that are made room for, their height, and between its tables [mm]."""
LOWEST = 3.6
"""Lowest row somebody can write in [mm]."""
LEAST_DRAWING = 62.0


@dataclass(frozen=True)
class Page:
    """A sheet being filled: the figure, axes over all of it, its size [mm]."""

    figure: Figure
    axes: Axes
    width: float
    height: float

    @property
    def inner(self) -> float:
        """Width between the margins [mm]."""
        return self.width - 2 * MARGIN

    def part(self, left: float, top: float, size: tuple[float, float]) -> Axes:
        """Axes of their own whose upper left corner is at a place [mm], counted from below."""
        whole = self.width, self.height
        low = top - size[1]
        return self.figure.add_axes(
            (left / whole[0], low / whole[1], size[0] / whole[0], size[1] / whole[1])
        )


def new_page(paper: str) -> Page:
    """An empty sheet; ValueError for a paper that is none of `PAPERS`."""
    if paper not in PAPERS:
        raise ValueError(f"paper {paper!r}: allowed are {' and '.join(PAPERS)}")
    width, height = PAPERS[paper]
    figure = Figure(figsize=(width / 25.4, height / 25.4), facecolor=PAPER)
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    bare(axes, (width, height))
    return Page(figure, axes, width, height)


def sheet_figure(card: Card, paper: str = "a4") -> Figure:
    """Lay the whole card out on one sheet.

    Raises
    ------
    ValueError
        For a paper that is none of `PAPERS`.

    """
    page = new_page(paper)
    y = _head(page, card)
    below = _strip_height(page, card) + _columns_height(page, card)
    log = _log_room(page, card, LEAST_ROWS)
    tall = max(_table_height(card), LEAST_DRAWING)
    spare = y - MARGIN - below - log - tall - 3 * GAP
    grown = min(max(0.5 * spare, 0.0), 20.0)
    y = _aeroplane(page, card, y, tall + grown) - GAP
    y = _strip(page, card, y) - GAP
    y = _columns(page, card, y) - GAP
    _log(page, card, y)
    return page.figure


def _lines(page: Page, x: float, y: float, lines: Sequence[str], **how: Any) -> float:
    """Lines set one below the other from a top edge; returns the bottom edge [mm]."""
    write_lines(page.axes, x, y, lines, **how)
    return y - len(lines) * line_mm(how.get("size", PLAIN))


def _head(page: Page, card: Card) -> float:
    top = page.height - MARGIN
    title = list(wrapped(card.title, page.inner - 34.0, TITLE, "bold"))
    if len(title) > TITLE_LINES:
        title[TITLE_LINES - 1 :] = [f"{title[TITLE_LINES - 1]} ..."]
    _lines(page, page.width - MARGIN, top, ["take-off card"], size=HEAD, ha="right", color=FAINT)
    y = _lines(page, MARGIN, top, title, size=TITLE, weight="bold")
    return _lines(page, MARGIN, y, wrapped(card.reason, page.inner)) - 1.5


def _table_rows(group: Group) -> list[tuple[tuple[str, ...], str]]:
    """Label, wrapped where the value leaves too little room, and value."""
    room = TABLE - NAME
    return [(wrapped(label, room - width_mm(value) - 2.0), value) for label, value in group.rows]


def _table_height(card: Card) -> float:
    rows = sum(len(label) for g in card.groups for label, _ in _table_rows(g))
    notes = sum(len(wrapped(note, TABLE)) for note in card.notes)
    return (rows + notes) * line_mm() + 0.8 * len(card.groups) + 1.0


def _aeroplane(page: Page, card: Card, top: float, height: float) -> float:
    wide = page.inner - TABLE - GAP
    axes = page.part(MARGIN, top, (wide, height))
    draw_aeroplane(axes, (wide, height), (card.scenario, card.report.prepared), card.system)
    left, y = page.width - MARGIN - TABLE, top
    for group in card.groups:
        _rule(page, left, y, TABLE)
        y -= 0.6
        _lines(page, left, y, [group.name], weight="bold")
        for label, value in _table_rows(group):
            _lines(page, page.width - MARGIN, y, [value], ha="right")
            y = _lines(page, left + NAME, y, label)
        y -= 0.2
    for note in card.notes:
        y = _lines(page, left, y, wrapped(note, TABLE), color=FAINT)
    return top - height


def _rule(page: Page, x: float, y: float, width: float) -> None:
    page.axes.plot([x, x + width], [y, y], color=FAINT, linewidth=0.5, zorder=1)


def _strip_height(page: Page, card: Card) -> float:
    marks = strip_marks(card.abort, card.pull, card.system)
    drawing = strip_ground(page.inner, marks, card.abort.length, card.system).size[1]
    why = sum(len(wrapped(line, page.inner)) for line in card.why)
    head = len(wrapped(card.heading, page.inner, HEAD, "bold"))
    return drawing + why * line_mm() + head * line_mm(HEAD) + 2.0


def _strip(page: Page, card: Card, top: float) -> float:
    _rule(page, MARGIN, top + 0.5 * GAP, page.inner)
    heading = wrapped(card.heading, page.inner, HEAD, "bold")
    y = _lines(page, MARGIN, top, heading, size=HEAD, weight="bold", color=LIMIT) - 0.5
    for line in card.why:
        y = _lines(page, MARGIN, y, wrapped(line, page.inner))
    marks = strip_marks(card.abort, card.pull, card.system)
    size = strip_ground(page.inner, marks, card.abort.length, card.system).size
    axes = page.part(MARGIN, y - 1.0, size)
    draw_strip(axes, page.inner, card.abort, card.pull, card.system)
    return y - 1.0 - size[1]


Column = tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
"""Headings, and below each its lines with what stands before them."""


def _two(card: Card) -> tuple[Column, Column]:
    days = tuple((f"{i}", line) for i, line in enumerate(card.days, 1))
    left = (
        ("Limits", tuple(("-", line) for line in card.limits)),
        ("Mind", tuple(("-", line) for line in card.cautions)),
    )
    return left, (("First day, in this order", (*days, ("", card.practice))),)


def _column_height(column: Column, width: float) -> float:
    lines = sum(len(wrapped(text, width - 4.0)) for _, rows in column for _, text in rows)
    return lines * line_mm() + len(column) * (line_mm(HEAD) + 1.0)


def _columns_height(page: Page, card: Card) -> float:
    wide = 0.5 * (page.inner - GAP)
    return max(_column_height(column, wide) for column in _two(card))


def _columns(page: Page, card: Card, top: float) -> float:
    """Limits and cautions left, the first day right."""
    _rule(page, MARGIN, top + 0.5 * GAP, page.inner)
    wide = 0.5 * (page.inner - GAP)
    for left, column in zip((MARGIN, MARGIN + wide + GAP), _two(card), strict=True):
        y = top
        for heading, rows in column:
            y = _lines(page, left, y, [heading], size=HEAD, weight="bold")
            for mark, text in rows:
                _lines(page, left, y, [mark])
                y = _lines(page, left + 4.0, y, wrapped(text, wide - 4.0))
            y -= 1.0
    return top - _columns_height(page, card)


def _log_room(page: Page, card: Card, rows: int) -> float:
    """Height of all tables of the log with so many rows altogether [mm]."""
    heads = sum(log_head(headings, page.inner) for headings in card.logs)
    return line_mm(HEAD) + line_mm() + 0.5 + heads + (len(card.logs) - 1) * APART + rows * ROW


def _log(page: Page, card: Card, top: float) -> None:
    """The tables of the field log down to the margin; none where no row has room."""
    room, count = top - MARGIN - _log_room(page, card, 0), len(card.logs)
    rows = max(int(room / ROW), count)
    high = min(ROW, room / count)
    if high < LOWEST:
        return
    _rule(page, MARGIN, top + 0.5 * GAP, page.inner)
    words = "Field log (columns of a CSV file for wheelsoff fit; leave blank what does not apply)"
    y = _lines(page, MARGIN, top, [words], size=HEAD, weight="bold") - 0.5
    for i, headings in enumerate(card.logs):
        share = rows // count + (i < rows % count)
        size = (page.inner, log_head(headings, page.inner) + share * high)
        draw_log(page.part(MARGIN, y, size), size, headings, share)
        y -= size[1] + APART
    _lines(page, MARGIN, y + APART - 0.3, [LOGGER], color=FAINT)
