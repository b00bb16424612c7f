"""The table of events, and the list of everything else that happened."""

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from sim.roll.columns import BY_NAME, EVENT_COLUMNS
from sim.roll.result import Event
from sim.show.repeats import tell
from sim.show.units import number, quantity, unit_of
from sim.show.words import HAPPENINGS

HEADINGS = {
    "time": "time",
    "distance": "place",
    "ground_speed": "ground\nspeed",
    "airspeed": "air-\nspeed",
    "pitch": "pitch",
    "pitch_rate": "pitch\nrate",
    "main_load": "mains\nload",
    "nose_load": "nose\nload",
    "tail_load": "tail\nload",
}
"""Short headings; the glossary of the columns stands in `sim.roll.columns`."""


def plain_table() -> Table:
    """A table without lines, one blank between columns."""
    return Table(box=None, padding=(0, 1, 0, 0), pad_edge=False, header_style="", expand=False)


def event_lines(events: tuple[Event, ...], system: str) -> Group:
    """The table of events; what repeats itself is counted below it."""
    told = tell(events)
    parts: list[RenderableType] = [event_table(told.events, system)]
    if told.more:
        parts.append(Text(told.words(quantity(told.until, "time", system))))
    return Group(*parts)


def event_table(events: tuple[Event, ...], system: str) -> Table:
    """One row per event: time, place, speeds, pitch, pitch rate, wheel loads."""
    table = plain_table()
    table.add_column("\n\nevent", no_wrap=True)
    for name in EVENT_COLUMNS:
        symbol = unit_of(BY_NAME[name].kind, system).symbol
        title = HEADINGS[name] if "\n" in HEADINGS[name] else "\n" + HEADINGS[name]
        table.add_column(f"{title}\n{symbol}", justify="right", no_wrap=True)
    for event in events:
        cells = [number(getattr(event, name), BY_NAME[name].kind, system) for name in EVENT_COLUMNS]
        table.add_row(event.name, *cells)
    return table


def also_lines(happenings: tuple[Event, ...], system: str) -> Group:
    """One line in plain words per happening."""
    told = tell(happenings)
    lines = [Text(happening_text(event, system)) for event in told.events]
    if told.more:
        lines.append(Text(told.words(quantity(told.until, "time", system))))
    return Group(*lines)


def happening_text(event: Event, system: str = "si") -> str:
    """Such as "at 5.30 s, 55.9 m: the wing passes its stall"."""
    time = quantity(event.time, "time", system)
    place = quantity(event.distance, "distance", system)
    return f"at {time}, {place}: {HAPPENINGS.get(event.name, event.name)}"
