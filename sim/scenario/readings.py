"""A reading belongs to the parts it was taken with, when one scenario is laid over another.

With a reading of the base left standing and one of its parts replaced, the part as it was is
copied beside the reading: the new part is then predicted, not taken for the one on the bench. A
whole new reading in the overlay drops the old one and its copies.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

Tree = dict[str, Any]
Lookup = Callable[[Mapping[str, Any], str], Any]


@dataclass(frozen=True)
class Reading:
    """One part of one reading.

    Attributes
    ----------
    reading: path of the reading.
    part: path of the part it was taken with.
    copy: where the part as it was goes.
    renewed_by: keys that together make a whole new reading.
    drops: what goes with the old reading then.
    missing: what is copied when the base leaves the part out; None for nothing.

    """

    reading: str
    part: str
    copy: str
    renewed_by: tuple[tuple[str, ...], ...]
    drops: str
    missing: Any = None


_BENCH = (("power.bench.voltage", "power.bench.current", "power.bench.thrust"),)
_READ_WITH = "power.read_with"
_AT_REST = (("power.static_thrust", "power.rotation", "power.shaft_power"),)
_SWUNG = (
    (
        "aeroplane.swing.string_separation",
        "aeroplane.swing.string_length",
        "aeroplane.swing.period",
    ),
)
_SCALES = "aeroplane.weighing"
_WEIGHED = (
    (f"{_SCALES}.nose", f"{_SCALES}.mains"),
    (f"{_SCALES}.nose", f"{_SCALES}.main_left", f"{_SCALES}.main_right"),
)
_ROLLING = (("strip.rolling_resistance",), ("strip.surface",))

READINGS: tuple[Reading, ...] = (
    Reading("power.bench", "power.motor", "power.bench.motor", _BENCH, "power.bench"),
    Reading("power.bench", "power.fan", "power.bench.fan", _BENCH, "power.bench"),
    Reading("power.bench", "power.propeller", "power.bench.propeller", _BENCH, "power.bench"),
    Reading("power.bench", "power.controller", "power.bench.controller", _BENCH, "power.bench", {}),
    Reading("power.static_thrust", "power.propeller", _READ_WITH, _AT_REST, _READ_WITH),
    Reading(_SCALES, "aeroplane.gear", f"{_SCALES}.gear", _WEIGHED, _SCALES),
    Reading("aeroplane.swing", "aeroplane.mass", "aeroplane.swing.mass", _SWUNG, "aeroplane.swing"),
    Reading(
        "strip.rolling_resistance",
        "aeroplane.gear.main.wheel_diameter",
        "strip.measured_with",
        _ROLLING,
        "strip.measured_with",
    ),
)
"""Every reading that outlives a change of its parts."""


def outdated(overlay: Tree, value_at: Lookup) -> set[str]:
    """Paths of the base that a whole new reading in the overlay takes the place of."""
    return {row.drops for row in READINGS if _renewed(row, overlay, value_at)}


def _renewed(row: Reading, overlay: Tree, value_at: Lookup) -> bool:
    return any(all(value_at(overlay, path) is not None for path in keys) for keys in row.renewed_by)


def with_copies(base: Tree, kept: Tree, overlay: Tree, value_at: Lookup) -> Tree:
    """What is kept of the base, with the parts an overlay replaces copied to their readings."""
    for row in READINGS:
        part = value_at(base, row.part)
        part = row.missing if part is None else part
        stands = value_at(kept, row.reading) is not None and value_at(base, row.copy) is None
        replaced = value_at(overlay, row.part) is not None and value_at(overlay, row.copy) is None
        if stands and replaced and part is not None and not _renewed(row, overlay, value_at):
            kept = _with(kept, row.copy.split("."), part)
    return kept


def _with(tree: Tree, path: list[str], value: Any) -> Tree:
    """The tree with one value more; a table that is none is left for the models to refuse."""
    name, *rest = path
    if not rest:
        return {**tree, name: value}
    inner = tree.get(name, {})
    return {**tree, name: _with(inner, rest, value)} if isinstance(inner, dict) else tree
