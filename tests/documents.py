"""Scenario documents for tests, as a builder would write them, and short ways to run them."""

import copy
import tomllib
from typing import Any

from sim.prepare import Prepared, prepare
from sim.roll.result import Result, simulate_setup
from sim.scenario import parse_scenario

Document = dict[str, Any]


def trolley(mass: str, thrust: str, resistance: float, pull_at: str, **aero: Any) -> Document:
    """An aeroplane that only rolls: thrust, lift and drag through its CG, no elevator.

    `aero` lays keys over the coefficients; reference area and chord are 1 m2 and 1 m.
    """
    return {
        "title": "trolley",
        "aeroplane": {
            "mass": mass,
            "pitch_inertia": "1e9 kg*m^2",
            "cg": {"station": "0 m", "height": "1 m"},
            "coefficients": {
                "reference_area": "1 m^2",
                "reference_chord": "1 m",
                "max_lift": 5.0,
                **aero,
            },
            "gear": {
                "main": {"station": "1 m", "axle_height": "0.2 m", "wheel_diameter": "0.4 m"},
                "nose": {"station": "-3 m", "axle_height": "0.2 m", "wheel_diameter": "0.4 m"},
            },
        },
        "power": {
            "kind": "measured",
            "static_thrust": thrust,
            "fall_off": "constant",
            "spool_time": "0 s",
        },
        "strip": {"rolling_resistance": resistance, "length": "5000 m"},
        "air": {"temperature": "15 degC", "pressure": "1013.25 hPa"},
        "pilot": {"pull_at": pull_at, "holds_attitude": False},
    }


def read(text: str) -> Document:
    """A document written as a file would be."""
    return tomllib.loads(text)


def laid(document: Document, **keys: Any) -> Document:
    """A copy with keys replaced: `laid(d, aeroplane__mass="3 kg")`, two underscores a dot."""
    copied = copy.deepcopy(document)
    for path, value in keys.items():
        *tables, last = path.split("__")
        place = copied
        for table in tables:
            place = place.setdefault(table, {})
        place[last] = value
    return copied


def ready(document: Document) -> Prepared:
    """The document made ready to roll, through the same doors as a file."""
    return prepare(parse_scenario(document))


def rolled(document: Document) -> Result:
    """The roll of a document."""
    return simulate_setup(ready(document).setup)
