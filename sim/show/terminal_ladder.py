"""A ladder of changes as text for the terminal: what together they come to, then each by itself."""

from collections.abc import Iterator
from math import isfinite, isnan

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from sim.show.terminal_assumptions import bullets
from sim.show.terminal_events import plain_table
from sim.show.units import number, number_text, unit_of
from sim.show.words_ladder import (
    answer_lines,
    basis_lines,
    bite_lines,
    outcome_text,
    pair_lines,
    together_text,
)
from sim.study.ladder import GROUND_ROLL, ROTATION, Ladder

NAME = 24
"""Letters of a change's name in a table; the whole of it stands elsewhere."""


def print_ladder(ladder: Ladder, console: Console, system: str = "si") -> None:
    """Print a ladder to a console, lengths and speeds in a system of units."""
    parts: list[RenderableType] = [*_head(ladder, system)]
    for heading, content in _sections(ladder, system):
        parts += [Text(), Text(heading, style="bold"), Padding(content, (0, 0, 0, 2))]
    console.print(Group(*parts), highlight=False)


def _head(ladder: Ladder, system: str) -> Iterator[RenderableType]:
    yield Text(ladder.title, style="bold")
    yield Text(f"As it stands: {outcome_text(ladder, 0, system)}.")
    top = ladder.rungs[-1]
    count = len(ladder.members(top))
    all_of = "All" if count == ladder.count else f"Stacked, {count} of the"
    yield Text(f"{all_of} {ladder.count} changes: {outcome_text(ladder, top, system)}.")
    yield Text(together_text(ladder, system))
    yield from (Text(line) for line in answer_lines(ladder, system))


def _sections(ladder: Ladder, system: str) -> Iterator[tuple[str, RenderableType]]:
    yield "What each change is worth", worth_table(ladder, system)
    yield "Stacked in this order", rung_table(ladder, system)
    if ladder.count > 1:
        yield "Pairs", bullets(pair_lines(ladder, system))
    yield "What bites next", bullets(bite_lines(ladder, system))
    yield "What the numbers rest on", bullets(basis_lines(ladder, system))


def worth_table(ladder: Ladder, system: str) -> Table:
    """Each change: hours, cost, its gain alone, and its fair share of what all gain together."""
    table = plain_table()
    table.add_column("\n\nchange", no_wrap=True, max_width=NAME, overflow="ellipsis")
    for words in ("\n\nhours", "\n\ncost"):
        table.add_column(words, justify="right", no_wrap=True)
    for what, kind in (("ground roll", "distance"), ("rotation", "speed")):
        symbol = unit_of(kind, system).symbol
        word = "shorter by" if kind == "distance" else "slower by"
        table.add_column(f"{what}\n{word} {symbol}\nalone", justify="right", no_wrap=True)
        table.add_column("\n\ntogether", justify="right", no_wrap=True)
    order = sorted(range(ladder.count), key=lambda i: -ladder.ground_roll.shares[i])
    for i in order:
        change, cells = ladder.changes[i], []
        for counted, kind in ((ladder.ground_roll, "distance"), (ladder.rotation, "speed")):
            cells.append(_signed(float(counted.gains[1 << i]), kind, system))
            cells.append(_signed(float(counted.shares[i]), kind, system))
        table.add_row(change.name, _plain(change.hours), _plain(change.cost), *cells)
    sums = [_plain(ladder.hours(ladder.rungs[-1])), _plain(ladder.cost(ladder.rungs[-1]))]
    for counted, kind in ((ladder.ground_roll, "distance"), (ladder.rotation, "speed")):
        sums += [_signed(counted.parts, kind, system), _signed(counted.whole, kind, system)]
    table.add_row("added up", *sums)
    return table


def rung_table(ladder: Ladder, system: str) -> Table:
    """One row for each rung: hours so far, rotation speed, ground roll, strip left, verdict."""
    table = plain_table()
    table.add_column("\n", no_wrap=True, max_width=NAME + 2, overflow="ellipsis")
    speed, place = (unit_of(kind, system).symbol for kind in ("speed", "distance"))
    for words in ("hours\nso far", f"rotates\nat {speed}", f"lift-off\nat {place}", "strip\nleft"):
        table.add_column(words, justify="right", no_wrap=True)
    table.add_column("\nverdict", no_wrap=True)
    before = 0
    table.add_row("as it stands", *_rung(ladder, 0, system))
    for change, rung in zip(ladder.changes, ladder.rungs, strict=True):
        if rung == before:
            table.add_row(f"+ {change.name}", "", "", "", "", "left out, see below")
        else:
            table.add_row(f"+ {change.name}", *_rung(ladder, rung, system))
        before = rung
    return table


def _rung(ladder: Ladder, rung: int, system: str) -> tuple[str, ...]:
    left = ladder.strip_left(rung)
    return (
        _plain(ladder.hours(rung)),
        number(ladder.value(ROTATION, rung), "speed", system),
        number(ladder.value(GROUND_ROLL, rung), "distance", system),
        "-" if isnan(left) else f"{100.0 * left:.0f} %",
        ladder.rows.verdict(rung),
    )


def _signed(value: float, kind: str, system: str) -> str:
    """A gain with its sign; none for zero."""
    unit = unit_of(kind, system)
    text = number_text(value * unit.factor, max(unit.decimals, 1))
    return f"+{text}" if isfinite(value) and float(text) > 0.0 else text


def _plain(value: float | None) -> str:
    return "-" if value is None or isnan(value) else f"{value:g}"
