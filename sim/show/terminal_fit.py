"""A fit of field measurements as text for the terminal, the result first."""

from collections.abc import Iterator

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from sim.show.terminal_assumptions import bullets
from sim.show.terminal_events import plain_table
from sim.show.units import number_text, quantity
from sim.show.words_fit import (
    ADVICE,
    FINE,
    agreement_text,
    as_read,
    assumption_texts,
    is_odd,
    slope_known,
    slope_text,
)
from sim.strip.reading import Measured
from sim.study.fit import GripFit, written_range

DIGITS = 4


def print_fit(fit: GripFit, title: str, source: str, console: Console, system: str = "si") -> None:
    """Print the fit to a console.

    Parameters
    ----------
    fit, title, source
        the result, the scenario's title, the file of measurements.
    console, system
        where to, and in which units lengths are shown.

    """
    parts: list[RenderableType] = [*_head(fit, title, source, system)]
    for heading, content in _sections(fit, system):
        parts += [Text(), Text(heading, style="bold"), Padding(content, (0, 0, 0, 2))]
    console.print(Group(*parts), highlight=False)


def with_spread(value: Measured, digits: int = DIGITS) -> str:
    """A number and its uncertainty, such as "0.1320 +/- 0.0040"."""
    return f"{number_text(value.value, digits)} +/- {number_text(value.deviation, digits)}"


def _head(fit: GripFit, title: str, source: str, system: str) -> Iterator[RenderableType]:
    yield Text(title, style="bold")
    count = f"{len(fit.readings)} reading{'s' if len(fit.readings) > 1 else ''}"
    yield Text.assemble(
        "Rolling resistance: ",
        (with_spread(fit.resistance), "bold"),
        f" (one standard deviation; {count}, {source})",
    )
    low, _, high = written_range(fit)
    wheel = quantity(fit.measured_with, "length", system, FINE[system])
    yield Text(
        f"Two standard deviations either way: {low:.3f} to {high:.3f}, on wheels of {wheel}."
    )
    if fit.main and fit.nose:
        yield Text(f"Mains {with_spread(fit.main)}, nose wheel {with_spread(fit.nose)}.")
    if fit.slope:
        chance = "" if slope_known(fit) else " That is no more than chance."
        yield Text(
            f"Both directions averaged: beyond the scenario the strip slopes"
            f" {slope_text(fit.slope)}, uphill as it takes off.{chance}"
        )
    yield Text(agreement_text(fit))


def _sections(fit: GripFit, system: str) -> Iterator[tuple[str, RenderableType]]:
    yield "Readings", _reading_table(fit)
    yield "Uncertainty", bullets(_uncertainty(fit))
    yield "What the numbers assume", bullets(assumption_texts(fit, system))
    yield "Measuring", bullets(ADVICE.values())


def _uncertainty(fit: GripFit) -> Iterator[str]:
    """Reading uncertainty and scatter, both told."""
    yield f"from the uncertainty of the readings alone: {number_text(fit.reading_deviation, 4)}"
    for kind, scatter in fit.scatter.items():
        yield f"scatter of a single {kind} about the fit: {number_text(scatter, 4)}"
    if not fit.scatter:
        yield "scatter: unknown, nothing was repeated"


def _reading_table(fit: GripFit) -> Table:
    """Each reading's own value beside what the fit says of it."""
    table = plain_table()
    table.add_column("reading", no_wrap=True)
    table.add_column("what was read")
    for heading in ("alone", "+/-", "fit", "residual"):
        table.add_column(heading, justify="right", no_wrap=True)
    for r in fit.readings:
        read = "; ".join(
            f"{name.replace('_', ' ')} {as_read(text)}" for name, text in r.label.parts.items()
        )
        mark = " !" if is_odd(r, fit) else ""
        table.add_row(
            r.label.name,
            Text(read),
            number_text(r.own.value, DIGITS),
            number_text(r.own.deviation, DIGITS),
            number_text(r.fitted, DIGITS),
            f"{number_text(r.residual, 1)}{mark}",
        )
    return table
