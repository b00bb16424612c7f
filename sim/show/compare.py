"""Several reports side by side: their numbers as text and as data."""

from collections.abc import Callable
from dataclasses import dataclass
from io import StringIO
from math import isfinite
from typing import TYPE_CHECKING, Any

from rich.console import Console, Group, RenderableType
from rich.table import Table
from rich.text import Text

from sim.show.document import document
from sim.show.terminal import WIDTH, trimmed
from sim.show.terminal_events import plain_table
from sim.show.units import formatter, quantity

if TYPE_CHECKING:
    from sim.report import Report

SIDE_BY_SIDE = 3
"""Columns of numbers that fit 80 characters."""
NAN = float("nan")


@dataclass(frozen=True)
class Named:
    """A report and what it is called in the comparison."""

    name: str
    report: "Report"


@dataclass(frozen=True)
class Row:
    """One number compared.

    Attributes
    ----------
    words: what it is; indented under the row it belongs to.
    kind: kind of quantity.
    value: where it is found [SI].
    better: 1 when more of it is better, -1 when less is, 0 when that depends.

    """

    words: str
    kind: str
    value: Callable[["Report"], float]
    better: int = 0


def _event(name: str, field: str) -> Callable[["Report"], float]:
    def value(report: "Report") -> float:
        event = report.result.event(name)
        return float(getattr(event, field)) if event else NAN

    return value


def _strip_left(report: "Report") -> float:
    strip = float(report.result.setup.parameters.strip_length)
    return strip - _event("lift-off", "distance")(report)


ROWS: tuple[Row, ...] = (
    Row("nose wheel off at", "distance", _event("nose-wheel-off", "distance"), -1),
    Row("  airspeed there", "speed", _event("nose-wheel-off", "airspeed")),
    Row("lift-off at", "distance", _event("lift-off", "distance"), -1),
    Row("  airspeed there", "speed", _event("lift-off", "airspeed")),
    Row("  pitch there", "angle", _event("lift-off", "pitch")),
    Row("  strip left", "distance", _strip_left, 1),
    Row("screen height at", "distance", _event("screen-height", "distance"), -1),
    Row("speed needed to rotate", "speed", lambda r: r.outlook.needed, -1),
    Row("reachable on three wheels", "speed", lambda r: r.outlook.reachable, 1),
    Row("stall, flaps up", "speed", lambda r: r.outlook.stall_flaps_up, -1),
    Row("stall, flaps as at start", "speed", lambda r: r.outlook.stall_start, -1),
    Row("stall, flaps dropped", "speed", lambda r: r.outlook.stall_dropped, -1),
    Row("pitch rate at lift-off", "angular_rate", lambda r: r.rotation.rate_at_lift_off),
    Row("peak pitch rate in 1 s", "angular_rate", lambda r: r.rotation.peak_rate),
    Row("pitch accel. at lift-off", "angular_acceleration", lambda r: r.rotation.at_lift_off),
    Row("stall margin in 1 s", "share", lambda r: r.rotation.stall_margin, 1),
    Row("nose-wheel share", "share", lambda r: r.stance.nose_share),
    Row("ground attitude", "angle", lambda r: r.stance.ground_attitude),
    Row("tip-back angle", "angle", lambda r: r.stance.tip_back),
    Row("tail-strike angle", "angle", lambda r: r.stance.tail_strike, 1),
)
"""What is compared, in order."""


def compare_text(reports: list[Named], width: int = WIDTH, system: str = "si") -> str:
    """The comparison as plain text, no line longer than `width`."""
    file = StringIO()
    print_comparison(reports, Console(file=file, width=width, color_system=None), system)
    return trimmed(file.getvalue())


def print_comparison(reports: list[Named], console: Console, system: str = "si") -> None:
    """Verdicts with their reasons, then the numbers; the first report is what others are held to.

    More than three are stacked in tables of three, the first repeated in each.
    """
    console.print(Group(*_verdicts(reports, system)), highlight=False)
    for group in grouped(reports):
        console.print(Group(Text(), number_table(group, system)), highlight=False)
    console.print(Group(Text(), *(Text(line) for line in reports[0].report.cautions)))


def grouped(reports: list[Named]) -> list[list[Named]]:
    """Reports in tables of at most three columns, the first in every one."""
    first, others = reports[0], reports[1:]
    step = SIDE_BY_SIDE - 1
    rest = [others[i : i + step] for i in range(0, len(others), step)]
    return [[first, *part] for part in rest] or [[first]]


def _verdicts(reports: list[Named], system: str) -> list[RenderableType]:
    lines: list[RenderableType] = []
    for named in reports:
        report = named.report
        lines.append(Text(f"{named.name}: {report.prepared.title}", style="bold"))
        reason = report.reason.text(formatter(system))
        lines.append(Text(f"{report.result.verdict}. {reason}"))
    return lines


def number_table(reports: list[Named], system: str) -> Table:
    """One column per report, one row per number; rows nobody has are left out."""
    table = plain_table()
    table.add_column("", no_wrap=True)
    for named in reports:
        table.add_column(named.name, justify="right")
    table.add_row("verdict", *(str(named.report.result.verdict) for named in reports))
    for row in ROWS:
        values = [row.value(named.report) for named in reports]
        if any(isfinite(value) for value in values):
            table.add_row(row.words, *(quantity(value, row.kind, system) for value in values))
        if row.words == "lift-off at" and len(reports) > 1:
            shift = [value - values[0] for value in values]
            table.add_row("  against the first", *(_shift(value, system) for value in shift))
    return table


def _shift(value: float, system: str) -> str:
    text = quantity(value, "distance", system)
    return f"+{text}" if value > 0.0 else text


def compare_document(reports: list[Named]) -> dict[str, Any]:
    """The result document of each, with its name."""
    return {"compared": [{"name": named.name, **document(named.report)} for named in reports]}
