"""The power trail as text bars, the numbers beside it, the limits, and what changed."""

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from sim.power.bench_check import bench_check
from sim.power.margins import Margin, limit_keys
from sim.power.moments import Moment
from sim.show.bench_words import battery_remark
from sim.show.power_words import (
    GIVEN_BY,
    STREAM,
    PowerTold,
    figure,
    margin_text,
    minutes_text,
    operating_text,
    power_told,
)
from sim.show.terminal_assumptions import bullets
from sim.show.terminal_bench import bench_section
from sim.show.terminal_events import plain_table
from sim.show.units import quantity, unit_of

if TYPE_CHECKING:
    from sim.report import Report

BAR = 34
LOSS_WORDS = {
    "battery": "lost in the battery",
    "controller": "in the controller",
    "winding": "in the winding",
    "no load": "turning the motor",
}
"""Name of a loss of the chain -> what the trail calls it; what is left is the rotor's."""
ROTOR_LOSS = {"fan": "in the fan and duct", "propeller": "in the propeller"}
IDEAL_SHARE = {"fan": "fan efficiency", "propeller": "against an ideal propeller"}
"""Rotor -> what power of the air behind over shaft power is called: a propeller's efficiency is
something else, thrust times airspeed over shaft power."""

Value = Callable[[Moment], float | None]


def _of_point(name: str) -> Value:
    return lambda at: getattr(at.point, name) if at.point is not None else None


def _overall(at: Moment) -> float | None:
    if at.point is None or at.point.battery_power <= 0.0:
        return None
    return at.point.jet_power / at.point.battery_power


NUMBERS: tuple[tuple[str, str, Value], ...] = (
    ("thrust", "force", lambda at: at.thrust),
    ("current", "current", _of_point("current")),
    ("voltage at the controller", "voltage", _of_point("battery_voltage")),
    ("power at the controller", "power", _of_point("electrical_power")),
    ("rotation", "rotation", lambda at: at.rotation),
    ("shaft power", "power", lambda at: at.shaft_power),
    ("power in the {stream}", "power", lambda at: at.jet_power),
    ("velocity of the {stream}", "speed", lambda at: at.efflux_velocity),
    ("motor efficiency", "share", _of_point("motor_efficiency")),
    ("{ideal_share}", "share", _of_point("rotor_efficiency")),
    ("from the cells to the {stream}", "share", _overall),
)
"""Words, kind of quantity, value of a moment."""


def _label(words: str, rotor: str) -> str:
    """Words of `NUMBERS` for a rotor."""
    return words.format(stream=STREAM[rotor], ideal_share=IDEAL_SHARE.get(rotor, ""))


def power_section(report: "Report", system: str) -> Iterator[tuple[str, RenderableType]]:
    """Power in a roll's report, for systems that were worked out."""
    known = report.prepared.power
    if known is None or (known.electric is None and known.engine is None):
        return
    told = power_told(report)
    lines = [operating_text(at, known.rotor, system) for at in told.moments]
    lines += [margin_text(margin, system) for margin in known.margins]
    bench = bench_check(known)
    if bench is not None and battery_remark(bench, system):
        lines.append(battery_remark(bench, system))
    if minutes_text(known):
        lines.append(minutes_text(known))
    yield "Power", bullets(lines)


def power_check(report: "Report", before: "Report | None", system: str) -> RenderableType:
    """Everything a check tells of power: doubts, trail, numbers, bench, limits, minutes."""
    told = power_told(report)
    old = power_told(before, (told.moving.name, told.moving.airspeed)) if before else None
    blocks: list[RenderableType] = []
    for block in _blocks(told, old, system):
        blocks += [Text(), block] if blocks else [block]
    return Group(*blocks)


def _blocks(told: PowerTold, old: PowerTold | None, system: str) -> Iterator[RenderableType]:
    """What is told, in order; a blank line goes between them."""
    known = told.known
    if known.doubts:
        doubts = bullets(f"{_capital(text)}." for text in known.doubts)
        yield Group(Text("To be looked at first", style="bold"), doubts)
    yield from (trail(at, known.rotor, system) for at in told.moments if at.point is not None)
    yield numbers(told, old, system)
    bench = bench_check(known, old.known if old else None)
    if bench is not None:
        yield bench_section(bench, known.rotor, system)
    yield from limits(told, system)
    if minutes_text(known):
        yield Text(f"{_capital(minutes_text(known))}.")
    if known.system is None:
        yield Text(_untold(told))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def trail(at: Moment, rotor: str, system: str) -> RenderableType:
    """Watts from the cells, each loss, watts in the air behind, newtons: one bar shrinking.

    `=` is what goes on, `-` what is lost; every loss stands at the end of what was left before it.
    """
    point = at.point
    assert point is not None
    table = plain_table()
    table.show_header = False
    table.add_column("", no_wrap=True)
    table.add_column("", justify="right", no_wrap=True)
    table.add_column("", no_wrap=True)
    losses = dict(point.trail())
    jet, total = losses.pop("jet"), point.battery_power
    words, stream = LOSS_WORDS | {"rotor": ROTOR_LOSS[rotor]}, STREAM[rotor]
    scale = BAR / total if total > 0.0 else 0.0
    table.add_row("from the cells", quantity(total, "power", system), "=" * BAR)
    left = total
    for name, watts in losses.items():
        table.add_row(words[name], quantity(watts, "power", system), _loss_bar(left, watts, scale))
        left -= watts
    table.add_row(
        f"in the {stream}", quantity(jet, "power", system), "=" * round(max(jet, 0.0) * scale)
    )
    speed = quantity(at.efflux_velocity or 0.0, "speed", system)
    table.add_row("thrust", quantity(at.thrust, "force", system), f"with the {stream} at {speed}")
    return Group(Text(_heading(at, system), style="bold"), table)


def _heading(at: Moment, system: str) -> str:
    when = at.name if at.airspeed == 0.0 else f"{at.name}, {quantity(at.airspeed, 'speed', system)}"
    return f"Power trail {when}, full throttle"


def _loss_bar(left: float, watts: float, scale: float) -> str:
    """A loss at the end of what was left [W]; the smallest is still one sign."""
    end = round(left * scale)
    width = max(round(left * scale) - round((left - watts) * scale), 1)
    return " " * max(end - width, 0) + "-" * width


def numbers(told: PowerTold, old: PowerTold | None, system: str) -> Table:
    """Both moments side by side; with an older power system before, after and by how much."""
    table = plain_table()
    speed = quantity(told.moving.airspeed, "speed", system)
    table.add_column("\n" if old else "", no_wrap=True)
    for when in (told.rest.name, speed):
        heads = ("before", "after", "change") if old else ("",)
        for head in heads:
            text = f"{when}\n{head}" if head == heads[0] and old else f"\n{head}" if old else when
            table.add_column(text, justify="right", no_wrap=True)
    for words, kind, value in NUMBERS:
        now = [value(at) for at in told.moments]
        then = [value(at) for at in old.moments] if old else [None, None]
        if all(one is None for one in now + then):
            continue
        cells: list[str] = []
        for a, b in zip(then, now, strict=True):
            after = _cell(b, kind, system)
            cells += [_cell(a, kind, system), after, _change(a, b, kind)] if old else [after]
        symbol = unit_of(kind, system).symbol
        table.add_row(Text(f"{_label(words, told.known.rotor)} [{symbol}]"), *cells)
    return table


def _cell(value: float | None, kind: str, system: str) -> str:
    return "-" if value is None else figure(value, kind, system)


def _change(a: float | None, b: float | None, kind: str) -> str:
    """In percent; of a share, which is in percent itself, the points between those shown."""
    if a is None or b is None or a <= 0.0:
        return "-"
    if kind == "share":
        points = round(100.0 * b) - round(100.0 * a)
        return f"{points:+d}" if points else "0"
    percent = round(100.0 * (b / a - 1.0))
    return f"{percent:+d} %" if percent else "0 %"


def limits(told: PowerTold, system: str) -> Iterator[RenderableType]:
    """Every limit with its margin, those passed in words below; else the keys that give them."""
    known, margins = told.known, told.known.margins
    if not margins:
        if known.system is not None or known.engine is not None:
            keys = limit_keys(known.rotor, electric=known.system is not None)
            yield Text(f"No limits were given. Keys for them: {', '.join(keys)}.")
        return
    table = plain_table()
    table.add_column(f"limit, {GIVEN_BY}", no_wrap=True)
    for head in ("limit", "at rest", "most", "margin"):
        table.add_column(head, justify="right", no_wrap=True)
    table.add_column("", no_wrap=True)
    for m in margins:
        cells = [figure(v, m.kind, system, 0) for v in (m.limit, m.at_rest, m.most, m.spare)]
        words = f"{m.part}, {m.quantity} [{unit_of(m.kind, system).symbol}]"
        table.add_row(Text(words), *cells, _standing(m, system))
    yield table
    over = [margin_text(margin, system) for margin in margins if margin.exceeded]
    if over:
        yield bullets(_capital(text) + "." for text in over)


def _standing(m: Margin, system: str) -> str:
    """Over its limit, and from where; else where it is nearest, unless that is at rest."""
    if m.exceeded:
        start = m.passed_from or 0.0
        return f"OVER from {quantity(start, 'speed', system)} up" if start else "OVER"
    return "" if m.airspeed == 0.0 else f"most at {quantity(m.airspeed, 'speed', system)}"


def _untold(told: PowerTold) -> str:
    if told.known.engine is not None:
        return "A propeller on a shaft: nothing is told of what turns it."
    if told.rest.jet_power is not None:
        return (
            "Thrust as given; jet power from thrust and exit diameter. Nothing is told of battery"
            ' and motor, so the watts before the jet are not known: kind = "electric" tells them.'
        )
    return (
        "Thrust as given. Without the exit diameter and the electric parts nothing is known of the"
        " watts behind it."
    )
