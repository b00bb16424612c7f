"""The checks of the parts as one table, what is passed below it, and what could not be checked."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from sim.checks.finding import Finding, Standing
from sim.show.strength_words import (
    change_texts,
    limit_text,
    missing_text,
    verdict_text,
    verdict_word,
)
from sim.show.terminal_assumptions import bullets
from sim.show.terminal_events import plain_table
from sim.show.units import quantity
from sim.study.strength import findings

if TYPE_CHECKING:
    from sim.report import Report

EXPLAINED = (
    "max, min: the limit. spare: what is left to it. close: a load within a factor of 1.5 of its"
    " limit. Numbers after the verdict name the source below."
)


def strength_check(report: "Report", before: "Report | None", system: str) -> RenderableType:
    """Everything a check tells of the parts."""
    found = findings(report)
    made = [finding for finding in found if finding.value == finding.value]
    sources = list(dict.fromkeys(finding.source for finding in made if finding.source))
    parts: list[RenderableType] = [Text(_summary(found)), Text(), table(made, sources, system)]
    parts += [Text(), Text(EXPLAINED)]
    parts.append(bullets(f"[{i}] {source}" for i, source in enumerate(sources, 1)))
    parts += _lists(found, system)
    if before is not None:
        lines = change_texts(findings(before), found, system)
        parts += _list("What was laid over it does to these checks", lines or ("nothing",))
    return Group(*parts)


def _summary(found: Iterable[Finding]) -> str:
    every = list(found)
    counts = {standing: sum(f.standing == standing for f in every) for standing in Standing}
    held = counts[Standing.HOLDS] + counts[Standing.CLOSE] + counts[Standing.FAILS]
    return (
        f"{held} checks against a limit: {counts[Standing.FAILS]} past it,"
        f" {counts[Standing.CLOSE]} close to it, {counts[Standing.HOLDS]} well within."
        f" {counts[Standing.NOT_KNOWN]} wait for a key."
    )


def table(found: Iterable[Finding], sources: list[str], system: str) -> Table:
    """A row per check under the matter it belongs to."""
    grid = plain_table()
    grid.add_column("", ratio=None)
    for head in ("value", "limit", "spare"):
        grid.add_column(head, justify="right", no_wrap=True)
    grid.add_column("verdict", no_wrap=True)
    grid.add_column("", no_wrap=True, justify="right")
    matter = ""
    for finding in found:
        if finding.matter != matter:
            matter = finding.matter
            grid.add_row(Text(matter.capitalize(), style="bold"))
        grid.add_row(*_cells(finding, sources, system))
    return grid


def _cells(finding: Finding, sources: list[str], system: str) -> Iterator[RenderableType]:
    yield Text(f"  {finding.name}")
    yield quantity(finding.value, finding.kind, system)
    yield limit_text(finding, system)
    yield quantity(finding.spare, finding.kind, system) if finding.use == finding.use else "-"
    yield verdict_word(finding)
    yield Text(f"[{sources.index(finding.source) + 1}]" if finding.source else "")


def _lists(found: tuple[Finding, ...], system: str) -> Iterator[RenderableType]:
    """What is passed, what is close, what else there is to say, and what waits for a key."""
    for standing, heading in ((Standing.FAILS, "Past its limit"), (Standing.CLOSE, "Close to it")):
        lines = [verdict_text(f, system) for f in found if f.standing == standing]
        yield from _list(heading, lines)
    quiet = (Standing.HOLDS, Standing.TOLD)
    notes = [verdict_text(f, system) for f in found if f.standing in quiet and f.note]
    yield from _list("To know", notes)
    yield from _list("Not checked yet", [missing_text(f, system) for f in found if f.missing])


def _list(heading: str, lines: Iterable[str]) -> list[RenderableType]:
    texts = list(lines)
    return [Text(), Text(heading, style="bold"), bullets(texts)] if texts else []
