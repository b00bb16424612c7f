"""The nose-load budget at the decisive moment as bars of signs: + loads, - unloads."""

from typing import TYPE_CHECKING

import numpy as np
from rich.console import Group, RenderableType
from rich.text import Text

from sim.checks.budget import PARTS
from sim.show.terminal_events import plain_table
from sim.show.units import number, quantity, unit_of

if TYPE_CHECKING:
    from sim.report import Report

BAR = 26
SMALLEST = 0.005
"""Parts below this have nothing to say [N]."""


def budget_bars(report: "Report", system: str) -> RenderableType:
    """Every part with its sign, its bar and its word; they sum to the load on the nose wheel."""
    parts = decisive_parts(report)
    scale = BAR / max(*(abs(v) for v in parts.values()), 1e-9)
    table = plain_table()
    table.add_column("part")
    table.add_column(unit_of("force", system).symbol, justify="right", no_wrap=True)
    table.add_column("", no_wrap=True)
    for name, value in parts.items():
        sign, word = ("+", "loads") if value > 0.0 else ("-", "unloads")
        bar = sign * max(round(abs(value) * scale), 1)
        table.add_row(name, _signed(value, system), f"{bar} {word}")
    total = nose_load(report)
    table.add_row("load on the nose wheel", _signed(total, system), _total_words(total))
    return Group(Text(_moment(report, system)), table)


def decisive_parts(report: "Report") -> dict[str, float]:
    """Parts at the decisive airspeed, without those that are nothing [N]."""
    parts = report.budget.at(report.decisive_airspeed)
    return {name: parts[name] for name in PARTS if abs(parts[name]) >= SMALLEST}


def nose_load(report: "Report") -> float:
    """Sum of the budget at the decisive airspeed [N]."""
    budget = report.budget
    return float(np.interp(report.decisive_airspeed, budget.airspeed, budget.nose_load))


def _moment(report: "Report", system: str) -> str:
    speed = quantity(report.decisive_airspeed, "speed", system)
    return (
        f"With the full pull, {report.decisive_name}, at {speed}."
        " Plus holds the nose wheel down, minus lifts it."
    )


def _signed(value: float, system: str) -> str:
    text = number(value, "force", system, 2)
    return text if text.startswith("-") or not text.strip("0.") else f"+{text}"


def _total_words(total: float) -> str:
    if abs(total) < 0.05:
        return "in balance: the nose wheel is free"
    return "stays on it" if total > 0.0 else "is lifted"
