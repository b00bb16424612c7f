"""A spread as text for the terminal: the chance first, then what decides it."""

from collections.abc import Iterator
from math import isinf, isnan

from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from sim.show.terminal_assumptions import bullets
from sim.show.terminal_events import plain_table
from sim.show.units import number, unit_of
from sim.show.words_spread import (
    basis_lines,
    chance_text,
    lead_text,
    matters_text,
    roll_text,
    sorted_influences,
    varied_line,
)
from sim.study.rows import REFUSED_WORD, interruption
from sim.study.spread import QUANTILES, ROLL, Spread

BAR = 20
ROWS = (
    ("ground roll", ROLL, "distance", True),
    ("lift-off airspeed", "lift-off.airspeed", "speed", False),
    ("nose wheel off at", "nose-wheel-off.airspeed", "speed", False),
    ("peak pitch rate in 1 s", "peak_pitch_rate_deg_per_s", "angular_rate", False),
)
"""Words, column, kind, whether rolls in which it did not happen count as beyond everything."""


def print_spread(spread: Spread, console: Console, system: str = "si") -> None:
    """Print a spread to a console, lengths and speeds in a system of units."""
    parts: list[RenderableType] = [*_head(spread, system)]
    for heading, content in _sections(spread, system):
        parts += [Text(), Text(heading, style="bold"), Padding(content, (0, 0, 0, 2))]
    console.print(Group(*parts), highlight=False)


def _head(spread: Spread, system: str) -> Iterator[RenderableType]:
    yield Text(spread.plan.prepared.title, style="bold")
    if not spread.rows.complete:
        yield Text(interruption(len(spread.rows), spread.asked))
    if not spread.counted:
        yield Text("No draw makes a scenario that can be rolled.")
        return
    yield Text(lead_text(spread), style="bold")
    yield Text(roll_text(spread, system))
    if matters_text(spread):
        yield Text(matters_text(spread))


def _sections(spread: Spread, system: str) -> Iterator[tuple[str, RenderableType]]:
    if spread.counted:
        yield "How they end", verdict_table(spread)
        yield "How far and how fast", quantile_table(spread, system)
        yield "What matters most", influence_table(spread)
    yield "What is uncertain", bullets(varied_line(one) for one in spread.plan.varied)
    yield "What the numbers rest on", bullets(basis_lines(spread))


def verdict_table(spread: Spread) -> Table:
    """Share of every verdict that came up, with its interval and a bar."""
    table = plain_table()
    table.show_header = False
    table.add_column("", no_wrap=True)
    table.add_column("", justify="right", no_wrap=True)
    table.add_column("", no_wrap=True)
    counts = spread.rows.counts()
    for word in sorted(counts, key=lambda w: -counts[w]):
        if word == REFUSED_WORD:
            continue
        chance = spread.chance(word)
        table.add_row(word, chance_text(chance), "=" * max(round(BAR * chance.share), 1))
    return table


def quantile_table(spread: Spread, system: str) -> Table:
    """Values that one of twenty, a quarter, half, three quarters, 19 of 20 stay below."""
    table = plain_table()
    table.add_column("", no_wrap=True)
    for share in QUANTILES:
        table.add_column(f"{100.0 * share:.0f} %", justify="right", no_wrap=True)
    for words, column, kind, every in ROWS:
        cells = [_cell(v, kind, system) for v in spread.quantiles(column, every)]
        table.add_row(Text(f"{words} [{unit_of(kind, system).symbol}]"), *cells)
    return table


def _cell(value: float, kind: str, system: str) -> str:
    return "never" if isinf(value) else "-" if isnan(value) else number(value, kind, system)


def influence_table(spread: Spread) -> Table:
    """Share of the spread that goes with each key alone, and which way it pulls."""
    table = plain_table()
    table.add_column("\n", no_wrap=True)
    for words in ("ground roll\nshare", "\nrank", "not airborne\nshare", "\nrank"):
        table.add_column(words, justify="right", no_wrap=True)
    found = sorted_influences(spread)
    for one in found:
        table.add_row(
            one.key, _share(one.roll_share), _rank(one.roll_rank), _share(one.failure_share),
            _rank(one.failure_rank),
        )  # fmt: skip
    rolls, fails = (
        sum(v for v in (getattr(one, name) for one in found) if not isnan(v))
        for name in ("roll_share", "failure_share")
    )
    table.add_row(
        "together, the rest",
        _share(1.0 - rolls),
        "",
        _share(1.0 - fails) if fails > 0.0 else "-",
        "",
    )
    return table


def _share(value: float) -> str:
    return "-" if isnan(value) else f"{100.0 * max(value, 0.0):.0f} %"


def _rank(value: float) -> str:
    return "-" if isnan(value) else f"{value:+.2f}"
