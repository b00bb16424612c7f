"""Speeds, trials, rotation and stance as small tables."""

from math import inf, isnan
from typing import TYPE_CHECKING

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from sim.checks.scaling import scaled_rate
from sim.checks.stance import Limit, Stance, StanceItem
from sim.show.terminal_events import plain_table
from sim.show.units import formatter, number_text, quantity, unit_of
from sim.show.words import advice_text, lifts_off

if TYPE_CHECKING:
    from sim.report import Report

KIND_OF_UNIT = {"rad": "angle", "m": "length", "-": "share"}


LIGHT_SPAN = 11.0
"""Span of a light aircraft, to which pitch rates are scaled up for comparison [m]."""


def figures_table() -> Table:
    """Name, value, remark."""
    table = plain_table()
    table.add_column("", ratio=None)
    table.add_column("", justify="right", no_wrap=True)
    table.add_column("")
    table.show_header = False
    return table


def speed_table(report: "Report", system: str) -> Table:
    """Speed needed against speed reachable, and the stall speeds."""
    o = report.outlook
    table = figures_table()
    needed = quantity(o.needed, "speed", system)
    never = f"none does: {quantity(o.least_nose_load, 'force', system)} stay on it at best"
    table.add_row(
        "needed to unload the nose wheel",
        needed,
        never if isnan(o.needed) else "with the full pull",
    )
    reach = quantity(o.reachable, "speed", system)
    free = "it flies before thrust and resistance balance"
    table.add_row(
        "reachable on three wheels", reach, free if isnan(o.reachable) else _margin(report, system)
    )
    p = report.result.setup.parameters
    if p.flap_start == p.flap_dropped:
        flaps = "flaps up" if p.flap_start == 0.0 else "flaps as set"
        table.add_row(f"stall, {flaps}", quantity(o.stall_start, "speed", system), "level flight")
        if p.flap_start != 0.0:
            table.add_row("stall, flaps up", quantity(o.stall_flaps_up, "speed", system), "")
        return table
    table.add_row("stall, flaps as at the start", quantity(o.stall_start, "speed", system), "")
    table.add_row("stall, flaps dropped", quantity(o.stall_dropped, "speed", system), "")
    return table


def _margin(report: "Report", system: str) -> str:
    spare = report.outlook.reachable - report.outlook.needed
    if isnan(spare):
        return ""
    words = "to spare" if spare >= 0.0 else "too little"
    return f"{quantity(abs(spare), 'speed', system)} {words} with the full pull"


def trial_table(report: "Report", system: str) -> Table:
    """Every change tried, what it brings or costs, and what comes of it."""
    lifts = lifts_off(report)
    table = plain_table()
    table.show_header = False
    for advice in report.advice:
        words = advice_text(advice, report.result.verdict, lifts, system)
        table.add_row(f"{advice.change.text(formatter(system))}:", words)
    return table


def rotation_table(report: "Report", system: str) -> Table:
    """Pitch acceleration, pitch rates and stall margin, beside full-size figures scaled down."""
    r = report.rotation
    table = figures_table()

    def row(name: str, value: float, kind: str, remark: str = "") -> None:
        table.add_row(name, quantity(value, kind, system), "" if isnan(value) else remark)

    down = "nose stays down" if r.available <= 0.0 else "full up elevator"
    row("pitch acceleration at the pull's speed", r.available, "angular_acceleration", down)
    row("pitch acceleration at lift-off", r.at_lift_off, "angular_acceleration")
    row("pitch rate at lift-off", r.rate_at_lift_off, "angular_rate")
    row("peak pitch rate, first second airborne", r.peak_rate, "angular_rate")
    if report.prepared.span:
        large = scaled_rate(r.peak_rate, report.prepared.span, LIGHT_SPAN)
        row("  as it would be on an 11 m span", large, "angular_rate", "with 1/root of the span")
    row("stall margin in that second", r.stall_margin, "share", _margin_words(r.stall_margin))
    unit = unit_of("angular_acceleration", system)
    for figure in r.typical:
        span = f"{number_text(figure.low, 0)}-{number_text(figure.high, 0)} {unit.symbol}"
        table.add_row(f"typical of {figure.name}, scaled", span, "")
    return table


def _margin_words(margin: float) -> str:
    return "wing passes its stall" if margin <= 0.0 else "maximum lift unused"


def stance_list(stance: Stance, system: str) -> Group:
    """Every figure of the stance, and below it the limits of every source."""
    width = max(len(item.name) for item in stance.items)
    lines: list[RenderableType] = []
    for item in stance.items:
        value = _stance_value(item.value, item.unit, system)
        lines.append(Text(f"{item.name:{width}} {value:>9}"))
        notes = [limit_text(limit, item) for limit in item.limits] + list(item.remarks)
        lines += [Padding(Text(note), (0, 0, 0, 4)) for note in notes]
    return Group(*lines)


def _stance_value(value: float, unit: str, system: str) -> str:
    decimals = 1 if unit == "-" else None
    return quantity(value, KIND_OF_UNIT.get(unit, unit), system, decimals)


def limit_text(limit: Limit, item: StanceItem) -> str:
    """Such as "8 to 15 % (Raymer ...; from memory): above"."""
    unit = unit_of(KIND_OF_UNIT.get(item.unit, item.unit))
    low, high = (number_text(unit.shown(end), unit.decimals) for end in (limit.low, limit.high))
    if limit.high == inf:
        span = f"at least {low}"
    elif limit.low in (0.0, -inf):
        span = f"at most {high}"
    else:
        span = f"{low} to {high}"
    return f"{span} {unit.symbol} ({limit.source}; {limit.mark}): {limit.verdict(item.value)}"
