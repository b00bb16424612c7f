"""The blank field log: the columns that `fit` reads, no other."""

from sim.scenario.measurements import COMMON, ENTRIES
from sim.show.units import unit_of

KIND_OF_DIMENSION = {"fraction": "share"}
"""Kinds of `sim.show.units` for dimensions of a scenario that are called otherwise there."""


def log_columns() -> tuple[str, ...]:
    """Names of the columns of a CSV file of measurements, in order, as `fit` knows them."""
    return ("kind", *ENTRIES, *(name for name in COMMON if name not in ENTRIES))


def log_headings(system: str) -> tuple[str, ...]:
    """Headings as they may stand in the file, such as "distance to stop [m]"."""
    return tuple(_heading(name, system) for name in log_columns())


def _heading(name: str, system: str) -> str:
    words, entry = name.replace("_", " "), ENTRIES.get(name)
    if entry is None:
        return words
    # of a weight the kilograms or pounds that the scale shows
    dimension = entry.dimensions[0]
    symbol = unit_of(KIND_OF_DIMENSION.get(dimension, dimension), system).symbol
    return f"{words} [{symbol}]"
