"""A study along one key or two as text for the terminal."""

from collections.abc import Iterator
from itertools import groupby, pairwise

import numpy as np
from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from sim.show.axis_words import axis_label, axis_values
from sim.show.terminal_assumptions import bullets
from sim.show.terminal_events import plain_table
from sim.show.units import number, quantity, unit_of
from sim.show.words_limits import in_order, limit_notes
from sim.study.axis import Axis
from sim.study.rows import GOOD_WORD, REFUSED_WORD
from sim.study.vary import ROLL, Vary

MOST_LINES = 41
"""Rows of the table; of more, every second, third ... is shown."""
MOST_ACROSS, MOST_DOWN = 8, 21
COLUMNS = (
    ("rotation\nspeed", "nose-wheel-off.airspeed"),
    ("lift-off\nspeed", "lift-off.airspeed"),
    ("ground\nroll", ROLL),
    ("pitch rate\nat lift-off", "lift-off.pitch_rate"),
)
KINDS = ("speed", "speed", "distance", "angular_rate")


def print_vary(vary: Vary, console: Console, system: str = "si") -> None:
    """Print a study to a console."""
    parts: list[RenderableType] = [Text(vary.prepared.title, style="bold")]
    if vary.interruption:
        parts.append(Text(vary.interruption))
    if len(vary.rows):
        parts.append(Text(lead(vary, system)))
        table = roll_table if len(vary.axes) == 1 else map_table
        parts += [Text(), Padding(table(vary, system), (0, 0, 0, 2))]
        parts += [Text(), bullets(notes(vary, system))]
    console.print(Group(*parts), highlight=False)


def lead(vary: Vary, system: str) -> str:
    """How many rolls end how, and the shortest of the good ones."""
    counts = vary.rows.counts()
    words = ", ".join(f"{count} {word}" for word, count in counts.items())
    good = [i for i in range(len(vary.rows)) if vary.rows.verdict(i) == GOOD_WORD]
    if not good:
        return f"{len(vary.rows)} rolls: {words}. None is off in the strip and stays off."
    best = min(good, key=lambda i: float(vary.rows[ROLL][i]))
    where = place_text(vary, best, system)
    roll = quantity(float(vary.rows[ROLL][best]), "distance", system)
    return f"{len(vary.rows)} rolls: {words}. Shortest ground roll {roll}, at {where}."


def place_text(vary: Vary, row: int, system: str) -> str:
    """What stood along the axes in a row, such as "power.static_thrust 24 N"."""
    asked = vary.values[int(vary.rows.lanes[row])]
    return ", ".join(
        f"{axis.key} {axis.text(_index(axis, float(value)), system)}"
        for axis, value in zip(vary.axes, asked, strict=True)
    )


def _index(axis: Axis, value: float) -> int:
    return int(np.argmin(np.abs(axis.values - value)))


def roll_table(vary: Vary, system: str) -> Table:
    """A row for each roll, or for some of them, evenly taken."""
    table = plain_table()
    axis = vary.axes[0]
    table.add_column(Text(heading(axis, system)), justify="right", no_wrap=True)
    for (words, _), kind in zip(COLUMNS, KINDS, strict=True):
        table.add_column(Text(f"{words} [{unit_of(kind, system).symbol}]"), justify="right")
    table.add_column(Text("verdict"), no_wrap=True)
    for i in range(0, len(vary.rows), _every(vary)):
        cells = [
            number(float(vary.rows[column][i]), kind, system)
            for (_, column), kind in zip(COLUMNS, KINDS, strict=True)
        ]
        asked = float(vary.values[int(vary.rows.lanes[i]), 0])
        shown = (
            axis.words[int(asked)]
            if axis.words
            else f"{float(axis_values(axis, np.array([asked]), system)[0]) + 0.0:.5g}"
        )
        table.add_row(shown, *cells, vary.rows.verdict(i))
    return table


def heading(axis: Axis, system: str) -> str:
    """The end of the key over its unit: the whole key stands in the sentences around the table."""
    name = axis.key.split(".")[-2:]
    unit = axis_label(axis, system).removeprefix(axis.key).strip()
    unit = "" if len(unit) > 12 else unit
    return "\n".join(
        filter(None, ([".".join(name)] if len(".".join(name)) < 14 else name) + [unit])
    )


def _every(vary: Vary) -> int:
    return -(-len(vary.rows) // MOST_LINES)


def map_table(vary: Vary, system: str) -> Table:
    """Ground rolls with the first key down and the second across; a letter where it fails."""
    down, across = vary.axes
    letters = letters_of(vary)
    table = plain_table()
    table.add_column(Text(""), justify="right")
    columns = _spread(len(across), MOST_ACROSS)
    for j in columns:
        table.add_column(Text(_bare(across, j, system)), justify="right")
    of_lane = {int(lane): i for i, lane in enumerate(vary.rows.lanes)}
    for k in _spread(len(down), MOST_DOWN):
        cells = []
        for j in columns:
            row = of_lane.get(k * len(across) + j)
            cells.append("" if row is None else _map_cell(vary, row, letters, system))
        table.add_row(_bare(down, k, system), *cells)
    return table


def _map_cell(vary: Vary, row: int, letters: dict[str, str], system: str) -> str:
    word, roll = vary.rows.verdict(row), float(vary.rows[ROLL][row])
    text = number(roll, "distance", system) if np.isfinite(roll) else ""
    return f"{text} {letters[word]}".strip() if word != GOOD_WORD else text


def letters_of(vary: Vary) -> dict[str, str]:
    """A letter for each verdict that is not as wanted."""
    words = [word for word in vary.rows.counts() if word != GOOD_WORD]
    return dict(zip(words, "ABCDEFGHIJKL", strict=False))


def _bare(axis: Axis, index: int, system: str) -> str:
    if axis.words:
        return axis.words[index]
    return f"{float(axis_values(axis, axis.values[index : index + 1], system)[0]) + 0.0:.5g}"


def _spread(count: int, most: int) -> list[int]:
    """At most so many of the places, evenly, first and last among them."""
    if count <= most:
        return list(range(count))
    return [round(i * (count - 1) / (most - 1)) for i in range(most)]


def notes(vary: Vary, system: str) -> Iterator[str]:
    """Where the verdict changes, what the letters mean, what was left out, and what it rests on."""
    if len(vary.axes) == 1:
        yield from _changes(vary, system)
        if _every(vary) > 1:
            yield f"1 of {_every(vary)} rolls is shown; all of them are in a table (--csv)"
    else:
        yield from _map_notes(vary, system)
    yield from limit_notes(vary, system)
    if vary.rows.refused:
        lane, why = next(iter(vary.rows.refused.items()))
        row = int(np.flatnonzero(vary.rows.lanes == lane)[0])
        yield f"refused, first {place_text(vary, row, system)}: {why}"
    if vary.geometry:
        yield vary.geometry


def _changes(vary: Vary, system: str) -> Iterator[str]:
    """Runs of the same verdict along the axis."""
    axis = vary.axes[0]
    if axis.words:
        return
    runs = [
        (word, [int(i) for i in rows])
        for word, rows in groupby(in_order(vary), key=vary.rows.verdict)
    ]
    if len(runs) > 6:
        yield f"the verdict changes {len(runs) - 1} times along {axis.key}"
        return
    for (word, rows), (other, following) in pairwise(runs):
        ends = (int(vary.rows.lanes[i]) for i in (rows[-1], following[0]))
        low, high = (axis.text(i, system) for i in ends)
        yield f"{word} up to {low}, {other} from {high}"


def _map_notes(vary: Vary, system: str) -> Iterator[str]:
    down, across = vary.axes
    unit = unit_of("distance", system).symbol
    yield (
        f"ground roll [{unit}]; down: {axis_label(down, system)}, across:"
        f" {axis_label(across, system)}"
    )
    for word, letter in letters_of(vary).items():
        told = "makes no scenario" if word == REFUSED_WORD else word
        yield f"{letter}: {told}"
    if len(down) > MOST_DOWN or len(across) > MOST_ACROSS:
        yield "not every roll is shown; all of them are in a table (--csv)"
