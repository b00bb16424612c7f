"""The bench reading as a table beside two predictions of the parts as described."""

from collections.abc import Callable

from rich.console import Group, RenderableType
from rich.text import Text

from sim.power.bench_check import BenchCheck
from sim.power.operating import OperatingPoint
from sim.show.bench_words import bench_lines
from sim.show.power_words import figure
from sim.show.terminal_assumptions import bullets
from sim.show.terminal_events import plain_table
from sim.show.units import unit_of

ROWS: tuple[tuple[str, str, Callable[[BenchCheck], float | None], str], ...] = (
    ("voltage at the controller", "voltage", lambda c: c.reading.voltage, "battery_voltage"),
    ("current", "current", lambda c: c.reading.current, "current"),
    ("thrust", "force", lambda c: c.reading.thrust, "thrust"),
    ("rotation", "rotation", lambda c: c.reading.rotation, "rotation"),
)
"""Words, kind of quantity, value read, name of the value in an operating point."""
HEADS = ("\nread", "the parts at\nthose volts", "on the battery\nas described")


def bench_section(check: BenchCheck, rotor: str, system: str) -> RenderableType:
    """Reading, predictions at its volts and on the battery described, and what they tell."""
    table = plain_table()
    table.add_column("", no_wrap=True)
    for head in HEADS:
        table.add_column(head, justify="right", no_wrap=True)
    points: tuple[OperatingPoint, ...] = (check.at_bench_volts, check.with_battery)
    for words, kind, read, name in ROWS:
        values = [read(check), *(getattr(point, name) for point in points)]
        cells = ["-" if v is None else figure(v, kind, system) for v in values]
        table.add_row(Text(f"{words} [{unit_of(kind, system).symbol}]"), *cells)
    heading = "The bench reading and the parts as described, at rest, in the air of the bench"
    return Group(
        Text(heading, style="bold"), table, Text(), bullets(bench_lines(check, rotor, system))
    )
