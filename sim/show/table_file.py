"""The trace as a CSV table: one row per moment, the unit in every heading."""

import csv
from io import StringIO
from math import isnan
from typing import TYPE_CHECKING

from sim.roll.columns import TRACE_COLUMNS, Column
from sim.roll.trace import PHASE_LABELS
from sim.show.units import unit_of

if TYPE_CHECKING:
    from sim.report import Report

PHASE_HEADING = "phase"
DIGITS = 9


def heading(column: Column, system: str = "si") -> str:
    """Such as "ground speed [m/s]"; plain numbers carry "[-]"."""
    symbol = unit_of(column.kind, system).symbol or "-"
    return f"{column.name.replace('_', ' ')} [{symbol}]"


def trace_csv(report: "Report", system: str = "si") -> str:
    """Every column of the registry in order, then the phase in words (RFC 4180, LF line ends).

    Both sides of every event are rows of their own, so some times stand there twice. Angles are
    in degrees; what is not a number is left empty.

    Raises
    ------
    ValueError
        If the roll was computed without its trace.

    """
    trace = report.result.trace
    if trace is None:
        raise ValueError("this roll was computed without its trace")
    text = StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([heading(column, system) for column in TRACE_COLUMNS] + [PHASE_HEADING])
    shown = [unit_of(c.kind, system).shown_array(trace[c.name]) for c in TRACE_COLUMNS]
    for row, phase in zip(zip(*shown, strict=True), trace.phase, strict=True):
        writer.writerow([_cell(float(value)) for value in row] + [PHASE_LABELS[int(phase)]])
    return text.getvalue()


def _cell(value: float) -> str:
    # + 0.0 turns a negative zero into a plain one
    return "" if isnan(value) else f"{value + 0.0:.{DIGITS}g}"
