"""Changes applied, and the mass ledger, as tables."""

from rich.table import Table
from rich.text import Text

from sim.aeroplane.ledger import Ledger, MassProperties
from sim.scenario import Change
from sim.show.terminal_events import plain_table
from sim.show.units import number, number_text, quantity, unit_of


def change_table(changes: tuple[Change, ...]) -> Table:
    """Name, what it is, hours, cost and whether it can be undone, and the sums."""
    table = plain_table()
    for heading in ("change", "what it is"):
        table.add_column(heading, no_wrap=heading == "change")
    for heading in ("hours", "cost"):
        table.add_column(heading, justify="right", no_wrap=True)
    table.add_column("", no_wrap=True)
    for change in changes:
        undone = {True: "can be undone", False: "for good", None: ""}[change.reversible]
        numbers = (_bare(change.hours), _bare(change.cost))
        table.add_row(change.name, Text(change.text), *numbers, undone)
    if len(changes) > 1:
        hours, costs = ([getattr(c, name) for c in changes] for name in ("hours", "cost"))
        table.add_row("together", "", _bare(_sum(hours)), _bare(_sum(costs)), "")
    return table


def _sum(values: list[float | None]) -> float | None:
    """Sum of what is given, None when nothing is."""
    given = [value for value in values if value is not None]
    return sum(given) if given else None


def _bare(value: float | None) -> str:
    return "-" if value is None else f"{value:g}"


def ledger_table(masses: Ledger, system: str = "si") -> Table:
    """Base, each item with its place, the total, and how far the CG moves."""
    table = plain_table()
    symbols = [unit_of(kind, system).symbol for kind in ("mass", "length", "length", "inertia")]
    for heading, symbol in zip(("mass", "station", "height", "inertia"), symbols, strict=True):
        if not table.columns:
            table.add_column("", no_wrap=False)
        table.add_column(f"{heading}\n{symbol}", justify="right", no_wrap=True)
    table.add_row("aeroplane before", *_whole(masses.base, system))
    for row in masses.rows:
        place = (number(row.station, "length", system), number(row.height, "length", system))
        table.add_row(Text(f"{row.item} ({row.change})"), _added(row.mass, system), *place, "")
    table.add_row("aeroplane after", *_whole(masses.total, system))
    table.add_row(Text(shift_text(masses, system)))
    return table


def _whole(whole: MassProperties, system: str) -> tuple[str, ...]:
    return (
        number(whole.mass, "mass", system, 3),
        number(whole.station, "length", system, _finer(system)),
        number(whole.height, "length", system, _finer(system)),
        number(whole.pitch_inertia, "inertia", system, 4),
    )


def _added(mass: float, system: str) -> str:
    text = number_text(unit_of("mass", system).shown(mass), 3)
    return text if text.startswith("-") else f"+{text}"


def _finer(system: str) -> int:
    """One decimal more than lengths usually have: a CG moves by little."""
    return unit_of("length", system).decimals + 1


def shift_text(masses: Ledger, system: str = "si") -> str:
    """Such as "CG 7.0 mm ahead, 0.4 mm lower"."""
    along = masses.total.station - masses.base.station
    up = masses.total.height - masses.base.height
    parts = [
        f"{quantity(abs(value), 'length', system, _finer(system))} {words[value > 0.0]}"
        for value, words in ((along, ("ahead", "aft")), (up, ("lower", "higher")))
    ]
    return f"CG moves {', '.join(parts)}"
