"""A logger's or video's table of speeds: any CSV, with a map from our names to its headings.

    [[roll]]
    log     = "flight-3.csv"
    columns = { time = "Time [s]", speed = "GNSS speed [km/h]" }    # or airspeed
    start   = "12.4 s"        # time in the log at which it was let go
    until   = "18.0 s"        # left out: lift_off_time after the start

A unit stands in brackets in the heading, or in `units = { time = "ms", speed = "km/h" }`. A log
with gaps, with times that fall, or without units is refused: a fit would believe it.
"""

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sim.scenario.problems import Problem, ScenarioError, fail, near, shown
from sim.scenario.units import parse_quantity

Array = NDArray[np.float64]

LARGEST_LOG = 4 * 1024 * 1024
FEWEST = 5
WIDEST_GAP = 4.0
"""Times the usual step above which a step is a gap; judgement."""
LONGEST_STEP = 1.0
"""Seconds above which any step is a gap: a roll lasts five."""
SPEEDS = ("speed", "airspeed")
DIMENSIONS = {"time": "time", "speed": "speed", "airspeed": "speed"}


@dataclass(frozen=True)
class LogTable:
    """Columns of a log, SI: times rising, shape (n,), speeds, and whether through the air."""

    times: Array
    speeds: Array
    airspeed: bool


def read_log(path: Path, columns: Mapping[str, object], units: Mapping[str, object]) -> LogTable:
    """The times and speeds of a log.

    Parameters
    ----------
    path
        a CSV file; anything above its headings is passed over.
    columns
        our name ("time", and "speed" or "airspeed") -> its heading.
    units
        our name -> unit, for headings without one.

    Raises
    ------
    ScenarioError
        With what is wrong and the line it stands on.

    """
    which = [name for name in SPEEDS if name in columns]
    unknown = [name for name in columns if name not in DIMENSIONS]
    if "time" not in columns or len(which) != 1 or unknown:
        allowed = '{ time = "HEADING", speed = "HEADING" }, or airspeed instead of speed'
        raise fail("columns", shown(dict(columns)), allowed)
    rows = _rows(path)
    headings, first = _headings(rows, columns)
    names = ("time", which[0])
    picks = [headings.index(str(columns[name]).strip()) for name in names]
    factors = [_factor(name, str(columns[name]), units) for name in names]
    table = np.array([_numbers(line, cells, picks, names) for line, cells in rows[first:]])
    if len(table) < FEWEST:
        raise fail("log", f"{len(table)} rows", f"at least {FEWEST}")
    values = table * factors
    _check_times(values[:, 0], [line for line, _ in rows[first:]])
    return LogTable(values[:, 0], values[:, 1], which[0] == "airspeed")


Row = tuple[int, list[str]]


def _rows(path: Path) -> list[Row]:
    try:
        if path.stat().st_size > LARGEST_LOG:
            raise fail(
                "log", "more than 4 MB", "a CSV file of at most 4 MB: cut the roll out of it"
            )
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, ValueError) as wrong:
        reason = (getattr(wrong, "strerror", None) or "not text in UTF-8").lower()
        raise fail("log", f"{shown(path.name)} ({reason})", "a CSV file beside this one") from None
    lines = text.splitlines()
    delimiter = max(",;\t", key=lambda c: max((line.count(c) for line in lines[:50]), default=0))
    try:
        reader = csv.reader(lines, delimiter=delimiter)
        return [(reader.line_num, [c.strip() for c in row]) for row in reader if any(row)]
    except csv.Error as wrong:
        raise fail("log", f"text that is not CSV ({wrong})", "rows of cells") from None


def _headings(rows: list[Row], columns: Mapping[str, object]) -> tuple[list[str], int]:
    """The row that has all the headings, and the number of the row after it."""
    wanted = [str(heading).strip() for heading in columns.values()]
    for i, (_, cells) in enumerate(rows[:50]):
        if all(heading in cells for heading in wanted):
            return cells, i + 1
    cells = max((cells for _, cells in rows[:50]), key=len, default=[])
    missing = next((h for h in wanted if h not in cells), wanted[0])
    allowed = f"headings of the log: {', '.join(cells[:12]) or 'it has none'}"
    raise fail("columns", shown(missing), allowed, near(missing, cells))


def _factor(name: str, heading: str, units: Mapping[str, object]) -> float:
    """SI value of one unit of a column."""
    found = re.search(r"[\[(]([^\])]+)[\])]\s*$", heading)
    unit = units.get(name, found.group(1) if found else None)
    if unit is None:
        allowed = f'its unit in brackets, or units = {{ {name} = "..." }}'
        raise fail(f"columns.{name}", f"{shown(heading)} without a unit", allowed)
    try:
        return parse_quantity(f"1 {unit}", DIMENSIONS[name])
    except ScenarioError as wrong:
        why = wrong.problems[0]
        raise fail(f"units.{name}", shown(str(unit)), why.allowed, why.nearest) from None


def _numbers(line: int, cells: list[str], picks: list[int], names: tuple[str, str]) -> list[float]:
    found = []
    for pick, name in zip(picks, names, strict=True):
        cell = cells[pick] if pick < len(cells) else ""
        try:
            value = float(cell)
        except ValueError:
            value = np.nan
        if not np.isfinite(value):
            raise fail(f"log {name}", shown(cell), "a plain number in every row", line=line)
        found.append(value)
    return found


def _check_times(times: Array, lines: list[int]) -> None:
    """Times rise, without gaps."""
    steps = np.diff(times)
    problems = []
    if (steps <= 0.0).any():
        i = int(np.argmax(steps <= 0.0))
        given = f"{times[i + 1]:g} s after {times[i]:g} s"
        problems.append(Problem("log time", given, "times that rise", line=lines[i + 1]))
    usual = float(np.median(steps))
    gaps = (steps > max(WIDEST_GAP * usual, 0.0)) | (steps > LONGEST_STEP)
    if not problems and gaps.any():
        i = int(np.argmax(gaps))
        given = f"nothing for {steps[i]:.3g} s, from {times[i]:g} s on"
        allowed = f"a log without gaps, as between its other rows ({usual:.3g} s)"
        problems.append(Problem("log time", given, allowed, line=lines[i + 1]))
    if problems:
        raise ScenarioError(problems)
