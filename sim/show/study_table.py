"""The rows of a study as a CSV table: what was turned, then what came of it."""

import csv
from collections.abc import Sequence
from io import StringIO
from math import isnan

import numpy as np

from sim.roll.aero_table import Array
from sim.show.units import unit_of
from sim.study.knobs import Knob
from sim.study.outcome_columns import column_of
from sim.study.rows import Rows

DIGITS = 9
INCOMPLETE = "incomplete"
_KNOB_SYSTEMS = {"si": "metric", "imperial": "imperial"}


def study_csv(knobs: Sequence[Knob], values: Array, rows: Rows, system: str = "si") -> str:
    """Inputs first, then the verdict and the columns of the rows, units in the headings.

    RFC 4180 with LF line ends. A failed roll is a row like any other; a variant that makes no
    scenario has its reason in the last column. What is not a number is left empty. A table that
    was interrupted says so in a last line.

    Parameters
    ----------
    knobs
        the keys that were turned; none for a list of scenarios.
    values
        all values asked for, shape (asked, knobs) [SI].
    rows
        what came of them.
    system
        "si" or "imperial".

    Raises
    ------
    ValueError
        For another system of units, or values that do not fit the rows.

    """
    if len(values) != rows.asked:
        raise ValueError(f"{len(values)} rows of values for {rows.asked} lanes")
    columns = [column_of(name) for name in rows.columns]
    units = [unit_of(column.kind, system) for column in columns]
    inputs = [_shown(knob, values[rows.lanes, i], system) for i, knob in enumerate(knobs)]
    outputs = [u.shown_array(rows[c.name]) for c, u in zip(columns, units, strict=True)]
    text = StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(
        ["lane", *(_knob_heading(knob, system) for knob in knobs), "verdict"]
        + [f"{c.label} [{u.symbol or '-'}]" for c, u in zip(columns, units, strict=True)]
        + ["refused because"]
    )
    for row, lane in enumerate(rows.lanes):
        writer.writerow(
            [int(lane) + 1, *(_cell(column[row]) for column in inputs), rows.verdict(row)]
            + [_cell(column[row]) for column in outputs]
            + [rows.refused.get(int(lane), "")]
        )
    if not rows.complete:
        writer.writerow([f"{INCOMPLETE}: {len(rows)} of {rows.asked} rolls, it was interrupted"])
    return text.getvalue()


def _knob_heading(knob: Knob, system: str) -> str:
    if knob.form == "surface":
        return f"{knob.key} [-1 low, 0 typical, 1 high]"
    return f"{knob.key} [{knob.display(1.0, _system(system)).unit or '-'}]"


def _shown(knob: Knob, values: Array, system: str) -> Array:
    """Values in the unit people read; every unit is a factor and an offset of the SI value."""
    nothing, one = (knob.display(value, _system(system)).value for value in (0.0, 1.0))
    return np.asarray(values * (one - nothing) + nothing)


def _system(system: str) -> str:
    unit_of("time", system)  # refuses an unknown one
    return _KNOB_SYSTEMS[system]


def _cell(value: float) -> str:
    # + 0.0 turns a negative zero into a plain one
    return "" if isnan(value) else f"{value + 0.0:.{DIGITS}g}"
