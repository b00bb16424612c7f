"""What stands along an axis, in the units people read."""

import numpy as np

from sim.roll.aero_table import Array
from sim.study.axis import Axis
from sim.study.knobs import SURFACE_KEY, Knob

SURFACE_UNIT = "-1 low, 0 typical, 1 high"


def knob_unit(knob: Knob, system: str = "si") -> str:
    """Unit in which a knob is read; "-" for plain numbers."""
    if knob.key == SURFACE_KEY:
        return SURFACE_UNIT
    return knob.display(1.0, _metric(system)).unit or "-"


def knob_values(knob: Knob, values: Array, system: str = "si") -> Array:
    """SI values in the unit they are read in; every unit is a factor and an offset."""
    nothing, one = (knob.display(value, _metric(system)).value for value in (0.0, 1.0))
    return np.asarray(np.asarray(values) * (one - nothing) + nothing)


def axis_label(axis: Axis, system: str = "si") -> str:
    """Key and unit, such as "power.static_thrust [N]"."""
    return axis.key if axis.knob is None else f"{axis.key} [{knob_unit(axis.knob, system)}]"


def axis_values(axis: Axis, values: Array, system: str = "si") -> Array:
    """Values as shown; places 0, 1, ... of words stay what they are."""
    if axis.knob is None:
        return np.asarray(values, dtype=float)
    return knob_values(axis.knob, values, system)


def _metric(system: str) -> str:
    return "imperial" if system == "imperial" else "metric"
