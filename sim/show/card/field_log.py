"""The blank field log: columns that `fit` reads and a hand can fill, a table for each kind."""

from sim.scenario.measurement_files import csv_columns
from sim.scenario.measurements import COMMON, ENTRIES, KINDS
from sim.scenario.roll_files import LOG_NUMBERS, LOG_TEXTS, ROLL_NAMES
from sim.show.units import unit_of

KIND_OF_DIMENSION = {"fraction": "share"}
"""Kinds of `sim.show.units` for dimensions of a scenario that are called otherwise there."""
GRIP_NAMES = {*(name for kind in KINDS for name in (*kind.needs, *kind.may)), *COMMON}
"""Everything a tow test or a coast-down may have."""

OF_A_LOGGER = {"log", *LOG_TEXTS, *LOG_NUMBERS}
"""Columns about a logger's file: nothing to write with a pencil."""
LOGGER = "A logger's file is named in the CSV, in its column log."

Headings = tuple[str, ...]
"""As they may stand in a file, such as "distance to stop [m]"."""


def log_tables(system: str) -> tuple[Headings, ...]:
    """Headings of the table of rolls, and of that of tow tests and coast-downs."""
    names = csv_columns()
    return tuple(
        tuple(_heading(name, system) for name in names if name == "kind" or name in wanted)
        for wanted in ({*ROLL_NAMES} - OF_A_LOGGER, GRIP_NAMES)
    )


def _heading(name: str, system: str) -> str:
    words, entry = name.replace("_", " "), ENTRIES.get(name)
    if entry is None:
        return words
    # of a weight the kilograms or pounds that the scale shows
    dimension = entry.dimensions[0]
    symbol = unit_of(KIND_OF_DIMENSION.get(dimension, dimension), system).symbol
    return f"{words} [{symbol}]"
