"""The card for the browser: one file, text as text, the two drawings inside it, no script."""

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from sim.show.card.content import Card
from sim.show.card.drawing import draw_aeroplane
from sim.show.card.field_log import LOGGER
from sim.show.card.measures import Group
from sim.show.card.strip import draw_strip, strip_ground, strip_marks
from sim.show.figures.save import picture_bytes
from sim.show.figures.style import LIMIT, PAPER
from sim.show.page.shell import bullets, picture, shell, tag, text

WIDE, TALL = 98.0, 88.0
"""Drawings are made for the width of a phone, so that their type is read on it [mm]."""
LOG_ROWS = 4
STYLE = f"""
.mark {{ color: {LIMIT}; }}
@media (prefers-color-scheme: dark) {{ .mark {{ color: inherit; }} }}
caption {{ font-weight: bold; padding-top: .5rem; }}
td.value {{ text-align: right; white-space: nowrap; }}
.log {{ overflow-x: auto; margin-bottom: .8rem; }}
.log th, .log td {{ border: 1px solid var(--faint); min-width: 3rem; height: 1.6rem; }}
@media (min-width: 50rem) {{
  .side {{ display: grid; grid-template-columns: 1fr 1fr; gap: 1.2rem; }} }}
"""
PRINTED = {"a4": "A4", "letter": "letter"}
"""Paper as the style sheet names it."""


def card_page(card: Card, paper: str = "a4") -> bytes:
    """The whole document, for printing on a paper of `sim.show.card.sheet.PAPERS`."""
    body = (
        f"{tag('h1', card.title)}{tag('p', card.reason)}"
        f"{_aeroplane(card)}{_strip(card)}{_words(card)}{_log(card)}"
    )
    printed = f"@page {{ size: {PRINTED[paper]}; margin: 9mm; }}\n"
    return shell(f"{card.title}: take-off card", body, STYLE + printed)


def _canvas(size: tuple[float, float]) -> Figure:
    figure = Figure(figsize=(size[0] / 25.4, size[1] / 25.4), facecolor=PAPER)
    FigureCanvasAgg(figure)
    return figure


def _aeroplane(card: Card) -> str:
    figure = _canvas((WIDE, TALL))
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    draw_aeroplane(axes, (WIDE, TALL), (card.scenario, card.report.prepared), card.system)
    words = "Side view and half a top view with the dimensions of the tables"
    image = picture(picture_bytes(figure), words, "Side view, and half of the top view")
    tables = "".join(_table(group) for group in card.groups)
    notes = "".join(tag("p", note, "small") for note in card.notes)
    return _beside(image, tables + notes)


def _beside(left: str, right: str) -> str:
    """Two parts, beside each other where there is room."""
    return f'<section class="side">\n<div>{left}</div>\n<div>{right}</div>\n</section>\n'


def _table(group: Group) -> str:
    rows = "".join(
        f'<tr><th scope="row">{text(label)}</th><td class="value">{text(value)}</td></tr>\n'
        for label, value in group.rows
    )
    return f"<table>\n<caption>{text(group.name)}</caption>\n{rows}</table>\n"


def _strip(card: Card) -> str:
    marks = strip_marks(card.abort, card.pull, card.system)
    figure = _canvas(strip_ground(WIDE, marks, card.abort.length, card.system).size)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    draw_strip(axes, WIDE, card.abort, card.pull, card.system)
    places = "; ".join(mark.text.replace("\n", ", ") for mark in marks)
    why = "".join(tag("p", line) for line in card.why)
    image = picture(
        picture_bytes(figure), f"The strip from its start: {places}", "The strip from above"
    )
    heading = tag("h2", card.heading, "mark")
    return f'<section class="whole">\n{heading}{why}{image}</section>\n'


def _words(card: Card) -> str:
    left = tag("h2", "Limits") + bullets(card.limits) + tag("h2", "Mind") + bullets(card.cautions)
    days = "".join(tag("li", line) for line in card.days)
    right = f"{tag('h2', 'First day, in this order')}<ol>\n{days}</ol>\n"
    return _beside(left, right + tag("p", card.practice, "small"))


def _log(card: Card) -> str:
    words = "The columns of a CSV file for wheelsoff fit; leave blank what does not apply."
    tables = "".join(_log_table(headings) for headings in card.logs)
    heading = tag("h2", "Field log") + tag("p", words, "small")
    below = tag("p", LOGGER, "small")
    return f'<section class="whole">\n{heading}{tables}{below}</section>\n'


def _log_table(headings: tuple[str, ...]) -> str:
    heads = "".join(f'<th scope="col">{text(heading)}</th>' for heading in headings)
    blank = f"<tr>{'<td></td>' * len(headings)}</tr>\n" * LOG_ROWS
    return f'<div class="log"><table>\n<tr>{heads}</tr>\n{blank}</table></div>\n'
