"""From a TOML or CSV file of measurements to readings."""

import csv
import re
import tomllib
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from sim.scenario.measured_rolls import MeasuredRoll
from sim.scenario.measurements import (
    ENTRIES,
    TABLES,
    TOLERANCE,
    MeasurementError,
    Reading,
    Written,
    build_reading,
)
from sim.scenario.problems import Problem, near, shown
from sim.scenario.roll_files import ROLL, ROLL_NAMES, build_roll

LARGEST_FILE = 256 * 1024
MOST_READINGS = 500
EVERY_TABLE = (ROLL, *TABLES)
TEXTS = (*(name for name in ROLL_NAMES if name not in ENTRIES and name != "note"), "direction",
         "note")  # fmt: skip
"""Columns of words."""
Rows = tuple[list[Written], list[Problem]]


def read_measurements(path: Path) -> tuple[Reading | MeasuredRoll, ...]:
    """Every reading and roll of a file.

    Parameters
    ----------
    path
        ending in .toml or .csv.

    Raises
    ------
    MeasurementError
        With every mistake found. Nothing else is raised for bad input.

    """
    readers = {".toml": _from_toml, ".csv": _from_csv}
    reader = readers.get(path.suffix.lower())
    if reader is None:
        raise _refused(path, shown(path.name), "a file of measurements ending in .toml or .csv")
    rows, problems = reader(path, _text(path))
    if not problems and not 1 <= len(rows) <= MOST_READINGS:
        raise _refused(path, f"{len(rows)} readings", f"from 1 to {MOST_READINGS} readings")
    readings: list[Reading | MeasuredRoll] = []
    for written in rows:
        build = build_roll if written.table == ROLL else build_reading
        reading, wrong = build(replace(written, folder=path.parent))
        problems += wrong
        readings += [reading] if reading else []
    if problems:
        raise MeasurementError(p if p.source else replace(p, source=str(path)) for p in problems)
    return tuple(readings)


def _refused(path: Path, given: str, allowed: str, line: int | None = None) -> MeasurementError:
    return MeasurementError([Problem("file", given, allowed, line=line, source=str(path))])


def _text(path: Path) -> str:
    wanted = "a file of measurements, text in UTF-8 of at most 256 kB"
    try:
        with open(path, "rb") as file:
            content = file.read(LARGEST_FILE + 1)
        if len(content) > LARGEST_FILE:
            raise _refused(path, "more than 256 kB", wanted)
        return content.decode("utf-8-sig")
    except (OSError, ValueError) as wrong:
        reason = (getattr(wrong, "strerror", None) or "not text in UTF-8").lower()
        raise _refused(path, f"{shown(path.name)} ({reason})", wanted) from None


def _from_toml(path: Path, text: str) -> Rows:
    try:
        data = tomllib.loads(text)
    except (ValueError, RecursionError) as wrong:
        reason = "".join(c if c.isprintable() else "?" for c in str(wrong)[:120])
        wanted = 'readings in TOML, such as [[tow]] and below it pull = "4.1 N"'
        raise _refused(path, f"text that is not TOML ({reason})", wanted) from None
    problems, rows = [], []
    for name, value in data.items():
        if name not in EVERY_TABLE:
            words = " and ".join(f"[[{table}]]" for table in EVERY_TABLE)
            problems.append(Problem(name, shown(value), f"only {words}", near(name, EVERY_TABLE)))
        elif not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
            problems.append(Problem(name, shown(value), f"readings, each under [[{name}]]"))
        else:
            rows += list(_tables(name, value, text))
    return rows, problems


def _tables(name: str, tables: list[dict[str, Any]], text: str) -> Iterator[Written]:
    """Readings under one heading, with the lines their headings stand on."""
    heading = re.compile(rf"\s*\[\[\s*{name}\s*\]\]")
    lines = [i for i, line in enumerate(text.split("\n"), 1) if heading.match(line)]
    for i, values in enumerate(tables):
        line = lines[i] if len(lines) == len(tables) else None
        yield Written(name, f"{name}[{i + 1}]", dict(values), {}, line)


def _from_csv(path: Path, text: str) -> Rows:
    lines = text.splitlines()
    first = next((line for line in lines if line.strip()), "")
    delimiter = ";" if first.count(";") > first.count(",") else ","
    try:
        reader = csv.reader(lines, delimiter=delimiter, strict=True)
        table = [(reader.line_num, [c.strip() for c in row]) for row in reader if any(row)]
    except csv.Error as wrong:
        raise _refused(path, f"text that is not CSV ({wrong})", "rows of cells") from None
    if not table:
        return [], []
    headings = [_heading(cell) for cell in table[0][1]]
    problems = _wrong_headings(headings, table[0][0])
    rows = []
    for line, cells in table[1:]:
        written, found = _row(line, headings, cells)
        rows += [written] if written else []
        problems += found
    return rows, problems


Heading = tuple[str, str, str]
"""Name with underscores, unit, and the cell as it stands."""


def _heading(cell: str) -> Heading:
    found = re.fullmatch(r"(.*?)\s*[\[(]([^\])]*)[\])]", cell)
    name, unit = (found.group(1), found.group(2).strip()) if found else (cell, "")
    return re.sub(r"[\s-]+", "_", name.strip().lower()), unit, cell


def _wrong_headings(headings: list[Heading], line: int) -> list[Problem]:
    """Columns nobody knows or that stand there twice, and a missing column of kinds."""
    spreads = [f"{name}{TOLERANCE}" for name, entry in ENTRIES.items() if not entry.exact]
    numbers = [*ENTRIES, *spreads]
    known = ["kind", *TEXTS, *numbers]
    names = [name for name, _, _ in headings]
    plain = ", ".join(n.replace("_", " ") for n in csv_columns())
    problems = []
    for i, (name, _, cell) in enumerate(headings):
        if name not in known or name in names[:i]:
            twice = "" if name not in known else ", each once"
            problems.append(
                Problem(
                    "heading", shown(cell), f"one of {plain}, units in brackets{twice}",
                    near(name, known), line,
                )
            )  # fmt: skip
    if "kind" not in names:
        problems.append(Problem("heading", "no column kind", "a column kind", line=line))
    return problems


def csv_columns() -> tuple[str, ...]:
    """Names of the columns a CSV file may have, those of rolls first."""
    others = (name for name in (*ENTRIES, "direction") if name not in ROLL_NAMES)
    return ("kind", *(name for name in ROLL_NAMES if name != "note"), *others, "note")


def _row(
    line: int, headings: list[Heading], cells: list[str]
) -> tuple[Written | None, list[Problem]]:
    """One row as a reading; empty cells are left out."""
    if len(cells) > len(headings):
        wanted = f"at most {len(headings)} cells, as in the heading"
        return None, [Problem(f"row {line}", f"{len(cells)} cells", wanted, line=line)]
    values: dict[str, Any] = {}
    shown_as = {name: cell for name, _, cell in headings}
    kind = ""
    for (name, unit, _), cell in zip(headings, cells, strict=False):
        if name == "kind":
            kind = re.sub(r"[\s-]+", "_", cell.lower())
        elif cell:
            many = name in ENTRIES and ENTRIES[name].many
            plain = cell if name in TEXTS else _with_unit(cell, unit)
            values[name] = _cells(cell, unit) if many else plain
    if kind not in EVERY_TABLE:
        words = " or ".join(table.replace("_", "-") for table in EVERY_TABLE)
        guess = near(kind, EVERY_TABLE)
        return None, [Problem(f"row {line} kind", shown(kind), words, guess, line)]
    return Written(kind, f"row {line}", values, shown_as, line), []


def _cells(cell: str, unit: str) -> list[str]:
    """Several numbers in one cell, apart by blanks, semicolons or bars."""
    return [_with_unit(part, unit) for part in re.split(r"[;|\s]+", cell) if part]


def _with_unit(cell: str, unit: str) -> str:
    """The unit of the heading behind every number that has none of its own."""
    parts = re.split(r"(\+/-|±)", cell)
    bare = re.compile(r"\s*[+-]?[0-9.,]+(?:[eE][+-]?[0-9]+)?\s*")
    return " ".join(
        f"{p.strip()} {unit}".strip() if bare.fullmatch(p) else p.strip() for p in parts
    )
