"""Propeller coefficients from the text of a table, every fault told at once.

Two layouts are read. Open wind-tunnel data (UIUC Propeller Data Site: Brandt, Deters, Ananda,
Dantsker, Selig): one line of headings, then columns apart by blanks, `J CT CP eta` for a propeller
in a stream and `RPM CT CP` for one at rest. And the same headings apart by commas. Order of
columns is free, others are passed over, lines starting with # and empty lines too.
"""

from dataclasses import dataclass, field
from math import isfinite

import numpy as np

from sim.power.propeller_curves import ideal_power_coefficient
from sim.roll.aero_table import Array

LEAST_ROWS = 3
ROUNDING = 1.01
"""Allowance for rounded coefficients before an efficiency is called impossible [-]."""


@dataclass(frozen=True)
class PropellerPoints:
    """Coefficients ready for use.

    Attributes
    ----------
    advance_ratio: shape (k,), rising [-].
    thrust_coefficient: shape (k,) [-].
    power_coefficient: shape (k,) [-].
    notes: what a reader should know.

    """

    advance_ratio: Array
    thrust_coefficient: Array
    power_coefficient: Array
    notes: tuple[str, ...] = field(default=())


@dataclass(frozen=True)
class _Rows:
    """Numbers under one heading line, and the line each came from; shape (k, 3)."""

    values: Array
    lines: tuple[int, ...]
    faults: tuple[str, ...]


def table_faults(text: str, static_text: str | None = None) -> tuple[str, ...]:
    """Everything that keeps the texts from being a propeller, empty when usable."""
    moving = _read(text, "J")
    faults = [*moving.faults]
    if not faults:
        faults += _moving_faults(moving)
    if static_text is not None:
        still = _read(static_text, "RPM")
        faults += [f"static table: {fault}" for fault in (*still.faults, *_still_faults(still))]
    return tuple(faults)


def propeller_points(text: str, static_text: str | None = None) -> PropellerPoints:
    """Points of a propeller; of static ones, the fastest stands for advance ratio zero.

    Raises
    ------
    ValueError
        With every fault of `table_faults`, in one message.

    """
    faults = table_faults(text, static_text)
    if faults:
        raise ValueError("; ".join(faults))
    notes: tuple[str, ...] = ()
    values = _read(text, "J").values
    if static_text is not None and values[0, 0] > 0.0:
        row, notes = _static_row(_read(static_text, "RPM").values)
        values = np.vstack([row, values])
    elif static_text is not None:
        notes = ("the static table is not used: the other one has a row at advance ratio 0",)
    return PropellerPoints(values[:, 0], values[:, 1], values[:, 2], notes)


def _static_row(values: Array) -> tuple[Array, tuple[str, ...]]:
    """Row of the fastest static reading; coefficients grow with Reynolds number, so say how far."""
    fastest = values[np.argmax(values[:, 0])]
    spread = float(np.ptp(values[:, 1]) / fastest[1])
    note = (
        f"static coefficients from {fastest[0]:,.0f} rpm; thrust coefficients read at rest differ"
        f" by {spread:.0%} with rotation"
    )
    return np.array([0.0, fastest[1], fastest[2]]), (note,) if spread > 0.05 else ()


def _cells(line: str) -> list[str]:
    return [cell.strip() for cell in line.split(",")] if "," in line else line.split()


def _read(text: str, first: str) -> _Rows:
    """Read columns `first`, CT, CP."""
    numbered = [(i, line.strip()) for i, line in enumerate(text.splitlines(), 1)]
    lines = [(i, line) for i, line in numbered if line and not line.startswith("#")]
    if not lines:
        return _Rows(np.empty((0, 3)), (), ("the table is empty",))
    headings = [cell.strip('"').lower() for cell in _cells(lines[0][1].lstrip("\ufeff"))]
    missing = [name for name in (first, "CT", "CP") if name.lower() not in headings]
    if missing:
        fault = f"line {lines[0][0]} has no heading {' and no '.join(missing)}"
        return _Rows(np.empty((0, 3)), (), (fault,))
    columns = [headings.index(name.lower()) for name in (first, "CT", "CP")]
    rows, used, faults = [], [], []
    for i, line in lines[1:]:
        row, fault = _numbers(_cells(line), columns, len(headings))
        if fault:
            faults.append(f"line {i}: {fault}")
        else:
            rows.append(row)
            used.append(i)
    return _Rows(np.array(rows, dtype=float).reshape(-1, 3), tuple(used), tuple(faults))


def _numbers(cells: list[str], columns: list[int], width: int) -> tuple[list[float], str]:
    if len(cells) != width:
        return [], f"{len(cells)} columns under {width} headings"
    row = []
    for column in columns:
        try:
            value = float(cells[column])
        except ValueError:
            return [], f"'{cells[column]}' is not a number"
        if not isfinite(value):
            return [], f"'{cells[column]}' is not a finite number"
        row.append(value)
    return row, ""


def _moving_faults(rows: _Rows) -> list[str]:
    if len(rows.lines) < LEAST_ROWS:
        return [f"at least {LEAST_ROWS} rows are needed, there are {len(rows.lines)}"]
    j, thrust, power = rows.values.T
    faults = []
    if j[0] < 0.0:
        faults.append(f"line {rows.lines[0]}: advance ratio {j[0]:g} is negative")
    if thrust[0] <= 0.0:
        faults.append(f"line {rows.lines[0]}: thrust coefficient {thrust[0]:g} is not positive")
    for i in np.flatnonzero(np.diff(j) <= 0.0):
        faults.append(f"line {rows.lines[i + 1]}: advance ratio {j[i + 1]:g} after {j[i]:g}")
    for i in np.flatnonzero(thrust < -np.pi * j**2 / 9.0):
        faults.append(
            f"line {rows.lines[i]}: thrust coefficient {thrust[i]:g} brakes more than a disc can"
        )
    return faults + _power_faults(rows, np.maximum(j, 0.0), thrust, power)


def _still_faults(rows: _Rows) -> list[str]:
    if rows.faults:
        return []
    if not rows.lines:
        return ["at least one row is needed"]
    speed, thrust, power = rows.values.T
    faults = []
    for i, line in enumerate(rows.lines):
        if speed[i] <= 0.0 or thrust[i] <= 0.0:
            faults.append(f"line {line}: rotation and thrust coefficient must be positive")
    return faults + _power_faults(rows, np.zeros_like(speed), thrust, power)


def _power_faults(rows: _Rows, j: Array, thrust: Array, power: Array) -> list[str]:
    faults = []
    least = ideal_power_coefficient(j, np.maximum(thrust, 0.0))
    for i, line in enumerate(rows.lines):
        if power[i] <= 0.0:
            faults.append(f"line {line}: power coefficient {power[i]:g} is not positive")
        elif power[i] * ROUNDING < least[i]:
            faults.append(
                f"line {line}: power coefficient {power[i]:g} is below {least[i]:.4g}, what an"
                " ideal propeller needs for that thrust"
            )
    return faults
