"""Models back to plain numbers for JSON: SI, the unit in the name of the key."""

from typing import Any

from sim.scenario.fields import Part, Quantity, Trigger
from sim.scenario.keys import Key, keys_of
from sim.scenario.strip import Resistance
from sim.scenario.table_files import TableFile
from sim.scenario.unit_table import DIMENSIONS

TRIGGER_SUFFIX = {"place": "place_m", "airspeed": "airspeed_m_per_s", "time": "time_s"}


def resolved(part: Part) -> dict[str, Any]:
    """A table as a dictionary; keys that are estimated later are there with None."""
    return {
        resolved_name(key): _plain(getattr(part, name)) for name, key in keys_of(type(part)).items()
    }


def resolved_name(key: Key) -> str:
    """Name of a key with the SI unit of its value."""
    if not isinstance(key.note, Quantity):
        return key.name
    suffix = DIMENSIONS[key.note.dimension].suffix
    return f"{key.name}_{suffix}" if suffix else key.name


def _plain(value: Any) -> Any:
    if isinstance(value, Part):
        return resolved(value)
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, Trigger):
        return {TRIGGER_SUFFIX[value.kind]: value.value}
    if isinstance(value, Resistance):
        return {"low": value.low, "typical": value.typical, "high": value.high}
    if isinstance(value, TableFile):
        return value.name
    return value
