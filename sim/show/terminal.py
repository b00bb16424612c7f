"""A report as text for the terminal, 80 columns wide, the verdict first."""

from collections.abc import Iterator
from io import StringIO
from typing import TYPE_CHECKING

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from sim.roll.verdict import Verdict
from sim.show.power_words import passed_limits
from sim.show.terminal_assumptions import assumptions, bullets
from sim.show.terminal_budget import budget_bars
from sim.show.terminal_events import also_lines, event_lines
from sim.show.terminal_figures import rotation_table, speed_table, stance_list, trial_table
from sim.show.terminal_ledger import change_table, ledger_table
from sim.show.terminal_power import power_section
from sim.show.units import formatter
from sim.show.words import VERDICTS, help_lines, no_help_line
from sim.study.advice import GOOD

if TYPE_CHECKING:
    from sim.report import Report

WIDTH = 80
STANDING = (Verdict.SITS_ON_TAIL, Verdict.DOES_NOT_MOVE)
"""Speeds of a roll that never begins would only mislead."""


def report_text(report: "Report", width: int = WIDTH, system: str = "si") -> str:
    """The whole report as plain text without colour, no line longer than `width`."""
    console = Console(
        file=StringIO(), width=width, color_system=None, force_terminal=False, legacy_windows=False
    )
    print_report(report, console, system)
    assert isinstance(console.file, StringIO)
    return trimmed(console.file.getvalue())


def trimmed(text: str) -> str:
    """Without the blanks that fill up lines of a table."""
    return "\n".join(line.rstrip() for line in text.split("\n"))


def print_report(report: "Report", console: Console, system: str = "si") -> None:
    """Print the report to a console; its width, colours and encoding are the console's."""
    console.print(report_group(report, system), highlight=False)


def report_group(report: "Report", system: str = "si") -> Group:
    """The report as one rich renderable."""
    parts: list[RenderableType] = [*head(report, system)]
    for heading, content in sections(report, system):
        parts += [Text(), Text(heading, style="bold"), Padding(content, (0, 0, 0, 2))]
    return Group(*parts)


def head(report: "Report", system: str) -> Iterator[RenderableType]:
    """Title, verdict, reason and what would help most."""
    verdict = report.result.verdict
    yield Text(report.prepared.title, style="bold")
    yield Text.assemble(
        "Verdict: ", (str(verdict), verdict_style(verdict)), f" ({VERDICTS[verdict]})"
    )
    yield Text(report.reason.text(formatter(system)))
    for line in passed_limits(report.prepared.power, system):
        yield Text(line, style="bold red")
    lines = help_lines(report, system)
    if lines:
        yield Text("What would help most, each change alone:")
        yield Padding(bullets(lines), (0, 0, 0, 2))
    elif report.advice:
        yield Text(no_help_line(report))


def verdict_style(verdict: Verdict) -> str:
    """Bold, and green only for the one that is as wanted."""
    if verdict == Verdict.AIRBORNE:
        return "bold green"
    return "bold yellow" if verdict in GOOD else "bold red"


def sections(report: "Report", system: str) -> Iterator[tuple[str, RenderableType]]:
    """Heading and content of every section that has something to say, in order."""
    if report.result.events:
        yield "What happened", event_lines(report.result.events, system)
    if report.result.also:
        yield "Also", also_lines(report.result.also, system)
    moves = report.result.verdict not in STANDING
    if moves:
        yield "Speeds", speed_table(report, system)
    if report.advice:
        yield "Small changes tried beside it, each alone", trial_table(report, system)
    if moves:
        yield "Nose-load budget: who holds the nose wheel down", budget_bars(report, system)
    if report.result.event("pull") is not None:
        yield "How hard it rotates", rotation_table(report, system)
    yield from power_section(report, system)
    yield "How it stands", stance_list(report.stance, system)
    yield from change_sections(report, system)
    yield "What the numbers assume", assumptions(report, system)
    yield "Mind", bullets(report.cautions)


def change_sections(report: "Report", system: str) -> Iterator[tuple[str, RenderableType]]:
    """What was changed, and what that does to mass and balance; nothing without changes."""
    prepared = report.prepared
    if prepared.changes:
        yield "Changes", change_table(prepared.changes)
    if prepared.masses is not None and prepared.masses.rows:
        yield "Mass ledger", ledger_table(prepared.masses, system)
