"""A logger's or video's table of speeds: any CSV, with a map from our names to its headings.

    [[roll]]
    log     = "flight-3.csv"
    columns = { time = "Time [s]", speed = "GNSS speed [km/h]" }    # or airspeed
    start   = "12.4 s"        # time in the log at which it was let go
    until   = "18.0 s"        # left out: lift_off_time after the start

A unit stands in brackets in the heading, or in `units = { time = "ms", speed = "km/h" }`. A log
with gaps, with times that fall, or without units is refused: a fit would believe it.

Left out, `start` is when the speed first rises past 1 m/s, +/- 0.5 s.
"""

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from sim.scenario.problems import Problem, ScenarioError, fail, near, shorten, shown
from sim.scenario.units import parse_quantity
from sim.strip.reading import Measured

Array = NDArray[np.float64]

LARGEST_LOG = 4 * 1024 * 1024
FEWEST = 5
WIDEST_GAP = 4.0
"""Times the usual step above which a step is a gap; judgement."""
LONGEST_STEP = 1.05
"""Seconds above which any step is a gap: a roll lasts five."""
MOVING = 1.0
"""Speed from which it counts as let go, when nobody says when that was [m/s]."""
START_DEVIATION = 0.5
"""How well that tells the moment [s]; judgement: thrust takes as long to build up."""
HEADINGS_WITHIN = 50
"""Rows among which the headings are looked for."""
SPEEDS = ("speed", "airspeed")
DIMENSIONS = {"time": "time", "speed": "speed", "airspeed": "speed"}


@dataclass(frozen=True)
class LogTable:
    """Columns of a log, SI.

    Attributes
    ----------
    path: of the file.
    times, speeds: shape (n,), rising times [s], [m/s].
    airspeed: whether they are through the air, not over the ground.
    lines: of the file, one for each row.

    """

    path: Path
    times: Array
    speeds: Array
    airspeed: bool
    lines: tuple[int, ...]


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
    names = _names(columns, units)
    wanted = [str(heading).strip() for heading in columns.values()]
    rows = _rows(path, wanted)
    headings, first = _headings(rows, wanted)
    picks = [headings.index(str(columns[name]).strip()) for name in names]
    factors = [_factor(name, str(columns[name]), units) for name in names]
    lines = tuple(line for line, _ in rows[first:])
    if len(lines) < FEWEST:
        raise fail("log", f"{len(lines)} rows", f"at least {FEWEST}")
    try:
        table = np.array([_numbers(line, cells, picks, names) for line, cells in rows[first:]])
        values = table * factors
        _refuse_falling(values[:, 0], lines)
    except ScenarioError as wrong:
        raise ScenarioError(replace(p, source=str(path)) for p in wrong.problems) from None
    return LogTable(path, values[:, 0], values[:, 1], names[1] == "airspeed", lines)


def let_go(table: LogTable) -> Measured:
    """When the speed first rises past 1 m/s [s].

    Raises
    ------
    ScenarioError
        When it never does, is beyond it from the first row on, or is an airspeed: wind shows there.

    """
    wanted = 'time in the log at which it was let go, such as "12.4 s +/- 0.2 s"'
    if table.airspeed:
        raise fail("start", "nothing", f"{wanted}: an airspeed shows the wind before that")
    beyond = table.speeds > MOVING
    if not beyond.any():
        given = f"{table.speeds.max():.2g} m/s at most in {table.path.name}"
        raise fail("log", given, f"speeds above {MOVING:g} m/s: is the unit right?")
    i = int(np.argmax(beyond))
    if i == 0:
        raise fail("start", f"nothing, and {table.path.name} begins rolling", wanted)
    pair = slice(i - 1, i + 1)
    time = float(np.interp(MOVING, table.speeds[pair], table.times[pair]))
    return Measured(time, START_DEVIATION)


def part_of(table: LogTable, first: float, last: float) -> LogTable:
    """The rows between two times [s].

    Raises
    ------
    ScenarioError
        When they are few, or have a gap.

    """
    keep = np.flatnonzero((table.times >= first) & (table.times <= last))
    if len(keep) < FEWEST:
        span = f"{table.times[0]:g} s to {table.times[-1]:g} s"
        given = f"{len(keep)} rows between {first:.4g} s and {last:.4g} s"
        raise fail("log", given, f"at least {FEWEST} between start and until; it has {span}")
    times, lines = table.times[keep], tuple(table.lines[i] for i in keep)
    _refuse_gaps(times, lines, str(table.path))
    return replace(table, times=times, speeds=table.speeds[keep], lines=lines)


def _names(columns: Mapping[str, object], units: Mapping[str, object]) -> tuple[str, str]:
    """Our names of time and speed in this log."""
    which = [name for name in SPEEDS if name in columns]
    unknown = [name for name in columns if name not in DIMENSIONS]
    if "time" not in columns or len(which) != 1 or unknown:
        given = ", ".join(map(str, columns)) or "nothing"
        guess = near(str(unknown[0]), DIMENSIONS) if unknown else None
        allowed = '{ time = "HEADING", speed = "HEADING" }, or airspeed instead of speed'
        raise fail("columns", shorten(given), allowed, guess)
    for name in units:
        if name not in columns:
            raise fail(f"units.{name}", shown(units[name]), f"one of {', '.join(columns)}",
                       near(name, columns))  # fmt: skip
    return "time", which[0]


Row = tuple[int, list[str]]


def _rows(path: Path, wanted: list[str]) -> list[Row]:
    """Rows of cells, apart by what sets the headings apart."""
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
    try:
        tables = [_split(lines, delimiter) for delimiter in ",;\t"]
        return max(tables, key=lambda rows: (_heading_row(rows, wanted) is not None, _width(rows)))
    except csv.Error as wrong:
        raise fail("log", f"text that is not CSV ({wrong})", "rows of cells") from None


def _split(lines: list[str], delimiter: str) -> list[Row]:
    reader = csv.reader(lines, delimiter=delimiter)
    return [(reader.line_num, [c.strip() for c in row]) for row in reader if any(row)]


def _width(rows: list[Row]) -> int:
    return max((len(cells) for _, cells in rows[:HEADINGS_WITHIN]), default=0)


def _heading_row(rows: list[Row], wanted: list[str]) -> int | None:
    """Number of the first row that has all the headings."""
    top = enumerate(rows[:HEADINGS_WITHIN])
    return next((i for i, (_, cells) in top if all(h in cells for h in wanted)), None)


def _headings(rows: list[Row], wanted: list[str]) -> tuple[list[str], int]:
    """The row that has all the headings, and the number of the row after it."""
    found = _heading_row(rows, wanted)
    if found is not None:
        return rows[found][1], found + 1
    cells = max((cells for _, cells in rows[:HEADINGS_WITHIN]), key=len, default=[])
    missing = next((h for h in wanted if h not in cells), wanted[0])
    allowed = f"headings of the log: {', '.join(map(shorten, cells[:12])) or 'it has none'}"
    raise fail("columns", shown(missing), allowed, near(missing, cells))


def _factor(name: str, heading: str, units: Mapping[str, object]) -> float:
    """SI value of one unit of a column."""
    found = re.search(r"[\[(]([^\])]+)[\])]\s*$", heading)
    unit = units.get(name, found.group(1) if found else None)
    where = "units" if name in units else "columns"
    if unit is None:
        allowed = f'its unit in brackets, or units = {{ {name} = "..." }}'
        raise fail(f"columns.{name}", f"{shown(heading)} without a unit", allowed)
    try:
        return parse_quantity(f"1 {unit}", DIMENSIONS[name])
    except ScenarioError as wrong:
        why = wrong.problems[0]
        nearest = why.nearest.strip('"').removeprefix("1 ") if why.nearest else None
        raise fail(f"{where}.{name}", shown(str(unit)), why.allowed, nearest) from None


def _numbers(line: int, cells: list[str], picks: list[int], names: tuple[str, str]) -> list[float]:
    found = []
    for pick, name in zip(picks, names, strict=True):
        cell = cells[pick] if pick < len(cells) else ""
        if cell.count(",") == 1 and "." not in cell:  # decimal comma, between semicolons
            cell = cell.replace(",", ".")
        try:
            value = float(cell)
        except ValueError:
            value = np.nan
        if not np.isfinite(value):
            raise fail(f"log {name}", shown(cell), "a plain number in every row", line=line)
        found.append(value)
    return found


def _refuse_falling(times: Array, lines: tuple[int, ...]) -> None:
    falls = np.diff(times) <= 0.0
    if falls.any():
        i = int(np.argmax(falls))
        given = f"{times[i + 1]:g} s after {times[i]:g} s"
        raise fail("log time", given, "times that rise", line=lines[i + 1])


def _refuse_gaps(times: Array, lines: tuple[int, ...], source: str) -> None:
    steps = np.diff(times)
    usual = float(np.median(steps))
    gaps = steps > min(WIDEST_GAP * usual, LONGEST_STEP)
    if gaps.any():
        i = int(np.argmax(gaps))
        given = f"nothing for {steps[i]:.3g} s, from {times[i]:g} s on"
        allowed = (
            f"a log without gaps between start and until: no step above {LONGEST_STEP:g} s or"
            f" {WIDEST_GAP:g} times the usual one ({usual:.3g} s)"
        )
        raise ScenarioError([Problem("log time", given, allowed, line=lines[i + 1], source=source)])
