"""A card as bytes, by the ending of its file: the same scenario gives the same bytes."""

import warnings
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import matplotlib

from sim.show.card.content import Card
from sim.show.card.page import card_page
from sim.show.card.sheet import sheet_figure
from sim.show.figures.save import picture_bytes


def card_bytes(card: Card, kind: str, paper: str = "a4") -> bytes:
    """The card as "pdf", "png" or "html".

    Raises
    ------
    KeyError
        For another kind.
    ValueError
        For a paper that is none of `sim.show.card.sheet.PAPERS`.

    """
    # letters as wide on the screen as they were reckoned, and kept as text in a PDF
    exact = matplotlib.rc_context({"text.hinting": "none", "pdf.fonttype": 42})
    with exact, warnings.catch_warnings():
        # a title may hold letters that the font lacks; they show as boxes
        warnings.filterwarnings("ignore", message="Glyph .* missing from")
        return WRITERS[kind](card, paper)


def _png(card: Card, paper: str) -> bytes:
    return picture_bytes(sheet_figure(card, paper))


def _pdf(card: Card, paper: str) -> bytes:
    """Without date and program name; the title is that of the card."""
    file = BytesIO()
    metadata = {"Title": card.title, "CreationDate": None, "Creator": None, "Producer": None}
    sheet_figure(card, paper).savefig(file, format="pdf", metadata=metadata)
    return file.getvalue()


WRITERS: dict[str, Callable[[Card, str], bytes]] = {"pdf": _pdf, "png": _png, "html": card_page}
"""Kinds of file."""


def kind_of(path: Path) -> str | None:
    """The kind of file a name asks for, None for none of ours."""
    kind = path.suffix.lower().lstrip(".")
    return kind if kind in WRITERS else None
