"""What the numbers rest on: estimates, ranges and remarks."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from rich.table import Table
from rich.text import Text

from sim.show.units import number_text, quantity

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


def assumption_lines(report: "Report", system: str = "si") -> Iterator[str]:
    """One line of plain text per assumption."""
    prepared = report.prepared
    for e in prepared.estimates:
        yield f"estimated: {e.key} = {quantity(e.value, e.kind, system)} ({e.how})"
    if prepared.resistance_range:
        low, high = (number_text(v, 2) for v in prepared.resistance_range)
        yield f"rolling resistance may be anything from {low} to {high} on this surface"
    if prepared.tail_limit_range:
        low, high = (number_text(v, 3) for v in prepared.tail_limit_range)
        yield f"the tail's maximum lift, on the wing's area, may be from {low} to {high}"
    for figure in report.rotation.typical:
        yield f"typical of {figure.name}: {figure.note}"
    yield from prepared.notes
    if not (prepared.estimates or prepared.notes):
        yield "nothing was estimated: every number was given"
