"""What the numbers rest on: estimates, ranges and remarks."""

from collections.abc import Iterable, Iterator
from math import isfinite
from typing import TYPE_CHECKING

from rich.table import Table
from rich.text import Text

from sim.show.units import number_text, quantity
from sim.study.ranges import RangeEffect, RangeEnd

if TYPE_CHECKING:
    from sim.report import Report


def assumptions(report: "Report", system: str) -> Table:
    """Every estimate marked "estimated", the known ranges, the notes."""
    return bullets(assumption_lines(report, system))


def bullets(lines: Iterable[str]) -> Table:
    """Lines with a dash before each, the rest of a long one indented."""
    grid = Table.grid(padding=(0, 1, 0, 0))
    for line in lines:
        grid.add_row("-", Text(line))
    return grid


def range_text(effect: RangeEffect, system: str = "si") -> str:
    """What an uncertain number does to the roll at either end of its range."""
    low, high = (number_text(end.value, 3) for end in (effect.low, effect.high))
    return (
        f"uncertain: {effect.name}, from {low} to {high}. With {low}: "
        f"{_end_text(effect.low, system)}; with {high}: {_end_text(effect.high, system)}"
    )


def _end_text(end: RangeEnd, system: str) -> str:
    if isfinite(end.lift_off_place):
        return f"{end.verdict}, lift-off at {quantity(end.lift_off_place, 'distance', system)}"
    return str(end.verdict)


def assumption_lines(report: "Report", system: str = "si") -> Iterator[str]:
    """One line of plain text per assumption."""
    prepared = report.prepared
    for e in prepared.estimates:
        yield f"estimated: {e.key} = {quantity(e.value, e.kind, system)} ({e.how})"
    yield from (range_text(effect, system) for effect in report.ranges)
    for figure in report.rotation.typical:
        yield f"typical of {figure.name}: {figure.note}"
    yield from prepared.notes
    if not (prepared.estimates or prepared.notes):
        yield "nothing was estimated: every number was given"
