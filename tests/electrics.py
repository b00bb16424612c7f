"""An electric power system of our own, in the form of a scenario file, for tests."""

import copy
from typing import Any

from tests.documents import Document, trolley

FAN: dict[str, Any] = {
    "kind": "electric",
    "spool_time": "0 s",
    "battery": {"cells": 6, "cell_resistance": "2.5 mohm", "capacity": "4 Ah"},
    "controller": {"resistance": "2 mohm"},
    "motor": {
        "speed_constant": "1500 rpm/V",
        "resistance": "12 mohm",
        "no_load_current": "3 A",
    },
    "fan": {"diameter": "90 mm", "hub_diameter": "35 mm", "exit_diameter": "80 mm"},
    "bench": {"voltage": "21.8 V", "current": "78 A", "thrust": "26 N"},
}
"""A 90 mm fan on six cells; the numbers are invented."""

PROPELLER: dict[str, Any] = {
    "kind": "electric",
    "spool_time": "0 s",
    "battery": {"cells": 3, "cell_resistance": "5 mohm"},
    "motor": {"speed_constant": "900 rpm/V", "resistance": "35 mohm", "no_load_current": "1.4 A"},
    "propeller": {"diameter": "279 mm", "pitch": "140 mm"},
    "bench": {"voltage": "11.1 V", "current": "25 A", "thrust": "13 N"},
}
"""An open propeller on three cells; the numbers are invented."""

TABLE = """J,CT,CP
0.0,0.110,0.0450
0.2,0.098,0.0450
0.4,0.072,0.0400
0.6,0.035,0.0270
0.7,0.012,0.0150
"""
"""Coefficients of an invented propeller."""


def system(base: dict[str, Any] = FAN, **keys: Any) -> Document:
    """A trolley with that power system, keys laid over it: `motor__resistance="9 mohm"`."""
    document = trolley("3 kg", "20 N", 0.05, "50 m")
    power = copy.deepcopy(base)
    for path, value in keys.items():
        *tables, last = path.split("__")
        place = power
        for table in tables:
            place = place.setdefault(table, {})
        place.pop(last, None) if value is None else place.update({last: value})
    document["power"] = power
    return document
