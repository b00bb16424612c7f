"""The card for the browser: one file, text as text, the two drawings inside it, no script."""

from base64 import b64encode
from html import escape

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from sim.show.card.content import Card
from sim.show.card.drawing import draw_aeroplane
from sim.show.card.measures import Group
from sim.show.card.strip import draw_strip, strip_ground, strip_marks
from sim.show.figures.save import picture_bytes
from sim.show.figures.style import FAINT, INK, LIMIT, PAPER

WIDE, TALL = 98.0, 88.0
"""Drawings are made for the width of a phone, so that their type is read on it [mm]."""
LOG_ROWS = 6
POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
STYLE = f"""
:root {{ color-scheme: light; }}
body {{ margin: 0 auto; max-width: 62rem; padding: 0.8rem; color: {INK}; background: {PAPER};
  font: 1rem/1.4 system-ui, sans-serif; }}
h1 {{ font-size: 1.4rem; margin: 0 0 0.3rem; }}
h2 {{ font-size: 1.1rem; margin: 1.2rem 0 0.3rem; }}
.mark {{ color: {LIMIT}; }}
.small {{ color: {FAINT}; font-size: 0.9rem; }}
img {{ width: 100%; max-width: 40rem; height: auto; display: block; }}
table {{ border-collapse: collapse; width: 100%; }}
caption {{ text-align: left; font-weight: bold; padding-top: 0.5rem; }}
th, td {{ border-bottom: 1px solid #c3cad2; padding: 0.15rem 0.3rem; text-align: left;
  vertical-align: top; font-weight: normal; }}
td.value {{ text-align: right; white-space: nowrap; }}
.log {{ overflow-x: auto; }}
.log th, .log td {{ border: 1px solid {FAINT}; min-width: 3rem; height: 1.6rem; }}
@media (min-width: 50rem) {{
  .side {{ display: grid; grid-template-columns: 1fr 1fr; gap: 1.2rem; }} }}
@media print {{ body {{ font-size: 9pt; max-width: none; padding: 0; }}
  img, section, table {{ break-inside: avoid; }} }}
"""
PRINTED = {"a4": "A4", "letter": "letter"}
"""Paper as the style sheet names it."""


def card_page(card: Card, paper: str = "a4") -> str:
    """The whole document, for printing on a paper of `sim.show.card.sheet.PAPERS`."""
    title = escape(card.title)
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{title}: take-off card</title>\n"
        f"<style>{STYLE}@page {{ size: {PRINTED[paper]}; margin: 9mm; }}</style>\n</head>\n<body>\n"
        f"<h1>{title}</h1>\n<p>{escape(card.reason)}</p>\n"
        f"{_aeroplane(card)}{_strip(card)}{_words(card)}{_log(card)}</body>\n</html>\n"
    )


def _image(figure: Figure, words: str) -> str:
    data = b64encode(picture_bytes(figure, "svg")).decode("ascii")
    return f'<img alt="{escape(words)}" src="data:image/svg+xml;base64,{data}">\n'


def _canvas(size: tuple[float, float]) -> Figure:
    figure = Figure(figsize=(size[0] / 25.4, size[1] / 25.4), facecolor=PAPER)
    FigureCanvasAgg(figure)
    return figure


def _aeroplane(card: Card) -> str:
    figure = _canvas((WIDE, TALL))
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    draw_aeroplane(axes, (WIDE, TALL), (card.scenario, card.report.prepared), card.system)
    image = _image(figure, "Side view and half a top view with the dimensions of the tables below")
    tables = "".join(_table(group) for group in card.groups)
    return _beside(image, f"{tables}{_notes(card)}")


def _beside(left: str, right: str) -> str:
    """Two parts, beside each other where there is room."""
    return f'<section class="side">\n<div>{left}</div>\n<div>{right}</div>\n</section>\n'


def _notes(card: Card) -> str:
    return "".join(f'<p class="small">{escape(note)}</p>\n' for note in card.notes)


def _table(group: Group) -> str:
    rows = "".join(
        f'<tr><th scope="row">{escape(label)}</th><td class="value">{escape(value)}</td></tr>\n'
        for label, value in group.rows
    )
    return f"<table>\n<caption>{escape(group.name)}</caption>\n{rows}</table>\n"


def _strip(card: Card) -> str:
    marks = strip_marks(card.abort, card.pull, card.system)
    figure = _canvas(strip_ground(WIDE, marks, card.abort.length).size)
    axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
    draw_strip(axes, WIDE, card.abort, card.pull, card.system)
    places = "; ".join(mark.text.replace("\n", ", ") for mark in marks)
    why = "".join(f"<p>{escape(line)}</p>\n" for line in card.why)
    return (
        f'<section>\n<h2 class="mark">{escape(card.heading)}</h2>\n{why}'
        f"{_image(figure, f'The strip from its start: {places}')}</section>\n"
    )


def _words(card: Card) -> str:
    def part(heading: str, lines: tuple[str, ...], kind: str) -> str:
        items = "".join(f"<li>{escape(line)}</li>\n" for line in lines)
        return f"<h2>{heading}</h2>\n<{kind}>\n{items}</{kind}>\n"

    left = part("Limits", card.limits, "ul") + part("Mind", card.cautions, "ul")
    right = part("First day, in this order", card.days, "ol")
    practice = f'<p class="small">{escape(card.practice)}</p>\n'
    return _beside(left, f"{right}{practice}")


def _log(card: Card) -> str:
    heads = "".join(f'<th scope="col">{escape(heading)}</th>' for heading in card.log)
    blank = f"<tr>{'<td></td>' * len(card.log)}</tr>\n" * LOG_ROWS
    return (
        "<section>\n<h2>Field log</h2>\n"
        '<p class="small">The columns of a CSV file for wheelsoff fit; leave blank what does not'
        ' apply.</p>\n<div class="log"><table>\n'
        f"<tr>{heads}</tr>\n{blank}</table></div>\n</section>\n"
    )
