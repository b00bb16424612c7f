"""`card`: one page for the workshop wall and the field."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sim.commands.app import (
    NO_LAYERS,
    Force,
    Layers,
    Units,
    UnitSystem,
    app,
    grouped,
)

if TYPE_CHECKING:
    from sim.show.card.content import Card


class Paper(StrEnum):
    """Paper a card is laid out for."""

    A4 = "a4"
    LETTER = "letter"


@app.command()
@grouped
def card(
    scenario: Annotated[
        str, typer.Argument(help="A scenario file, or the name of one that comes with the program.")
    ],
    output: Annotated[
        Path,
        typer.Option(
            "-o", "--output", metavar="FILE", help="Where to, ending in .pdf, .png or .html."
        ),
    ],
    over: Layers = NO_LAYERS,
    paper: Annotated[Paper, typer.Option("--paper", help="Paper it is laid out for.")] = Paper.A4,
    units: Units = UnitSystem.SI,
    force: Force = False,
) -> None:
    """One page for the workshop wall and the field: what to build to, where to give up.

    \b
    wheelsoff card my-jet.toml -o my-jet.pdf
    wheelsoff card my-jet.toml --with longer-leg -o my-jet.html
    wheelsoff card my-jet.toml --units imperial --paper letter -o my-jet.png

    Side and top view with measurements, throws in degrees and at the trailing edge, the strip
    with its places in paces, the abort mark and why it is there, limits, the order of a first day,
    and a blank log with the columns that fit reads. The page for the browser suits a phone.
    """  # noqa: D301
    from sim.commands.tasks import loaded, save, show
    from sim.show.card.content import card_of
    from sim.show.card.output import card_bytes, kind_of
    from sim.show.files import OutputError, check_targets, keep_sources

    kind = kind_of(output)
    if kind is None:
        raise OutputError(f"{output} ends in none of .pdf, .png and .html")
    check_targets([output], force)
    whole = loaded(scenario, over)
    keep_sources(output, whole.ground.files)
    made = card_of(whole, units.value)
    save({output: card_bytes(made, kind, paper.value)}, force)
    show(lambda console: console.print("\n".join(told(made)), highlight=False, markup=False))


def told(made: "Card") -> tuple[str, ...]:
    """The abort mark and what the drawing lacks, for those who do not open the file at once."""
    return (made.title, made.heading, *(f"  {line}" for line in (*made.why, *made.notes)))
