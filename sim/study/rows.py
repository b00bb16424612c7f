"""The rows of a study: plain arrays, one value per lane; failed and refused lanes are rows too."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.roll.aero_table import Array
from sim.roll.verdict import Verdict

VERDICTS: tuple[Verdict, ...] = tuple(Verdict)
"""Verdicts by the index that stands in `Rows.verdicts`."""
REFUSED = -1
"""In `Rows.verdicts`: the variant makes no scenario, its reason stands in `Rows.refused`."""
REFUSED_WORD = "refused"
GOOD_WORD = str(Verdict.AIRBORNE.value)
"""What is wanted of a roll: off within the strip, and staying off."""


def interruption(rolled: int, asked: int) -> str:
    """What to say of a study that was stopped."""
    return f"Interrupted: {rolled} of {asked} rolls are in this."


@dataclass(frozen=True)
class Rows:
    """What came of the lanes that were computed.

    Attributes
    ----------
    asked: lanes there are to compute.
    lanes: which of them these rows are, rising, shape (m,).
    columns: names in `sim.study.outcome_columns`.
    values: shape (columns, m) [SI], nan where there is none.
    verdicts: index into `VERDICTS`, or `REFUSED`, shape (m,).
    refused: reason by lane.

    """

    asked: int
    lanes: NDArray[np.intp]
    columns: tuple[str, ...]
    values: Array
    verdicts: NDArray[np.int8]
    refused: dict[int, str]

    def __len__(self) -> int:
        return len(self.lanes)

    def __getitem__(self, name: str) -> Array:
        """Column of this name, shape (m,); KeyError if it was not asked for."""
        if name not in self.columns:
            raise KeyError(name)
        return np.asarray(self.values[self.columns.index(name)])

    @property
    def complete(self) -> bool:
        """Whether every lane was computed."""
        return len(self.lanes) == self.asked

    def verdict(self, row: int) -> str:
        """Verdict of a row in words; "refused" where the variant makes no scenario."""
        index = int(self.verdicts[row])
        return REFUSED_WORD if index == REFUSED else str(VERDICTS[index].value)

    def counts(self) -> dict[str, int]:
        """How many rows have each verdict, in the order of precedence; none left out are zero."""
        found = {str(v.value): int(np.sum(self.verdicts == i)) for i, v in enumerate(VERDICTS)}
        found[REFUSED_WORD] = int(np.sum(self.verdicts == REFUSED))
        return {word: count for word, count in found.items() if count}


@dataclass(frozen=True)
class Chunk:
    """Rows of one task: as in `Rows`, refusals by place in the chunk."""

    values: Array
    verdicts: NDArray[np.int8]
    refused: dict[int, str]


def joined(asked: int, columns: tuple[str, ...], chunks: Sequence[tuple[int, Chunk]]) -> Rows:
    """Chunks with their first lanes, in any order, laid one after the other."""
    chunks = sorted(chunks, key=lambda pair: pair[0])
    places: list[Any] = [first + np.arange(len(c.verdicts)) for first, c in chunks]
    empty = Chunk(np.zeros((len(columns), 0)), np.zeros(0, dtype=np.int8), {})
    parts = [empty, *(chunk for _, chunk in chunks)]
    return Rows(
        asked=asked,
        lanes=np.concatenate([np.zeros(0, dtype=np.intp), *places]),
        columns=columns,
        values=np.concatenate([part.values for part in parts], axis=1),
        verdicts=np.concatenate([part.verdicts for part in parts]),
        refused={first + i: why for first, c in chunks for i, why in c.refused.items()},
    )
