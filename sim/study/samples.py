"""Rolls of one scenario at places of one key, gathered in any order, kept rising."""

from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from sim.roll.aero_table import Array
from sim.scenario import Scenario
from sim.study.batch import Progress, roll_rows
from sim.study.knobs import Knob
from sim.study.rows import Rows
from sim.study.sources import variants_of


@dataclass(frozen=True)
class Samples:
    """Rolls along one key.

    Attributes
    ----------
    x: values of the key, rising, each once, shape (n,) [SI].
    rows: one for each.

    """

    x: Array
    rows: Rows


@dataclass
class Sampler:
    """Rolls a scenario at values of a key, each value once.

    Attributes
    ----------
    scenario, knob: what is turned.
    columns: names in `sim.study.outcome_columns`.
    executor, progress: as of `roll_rows`.
    rolled: rolls computed so far.
    geometry: whether the key moves the lattice, known after the first batch.

    """

    scenario: Scenario
    knob: Knob
    columns: tuple[str, ...]
    executor: Executor | None = None
    progress: Progress | None = None
    rolled: int = 0
    geometry: bool = False
    _parts: list[Samples] = field(default_factory=list)

    def roll(self, values: Sequence[float] | Array) -> Samples:
        """Roll at values not known yet; everything known afterwards.

        Raises
        ------
        KeyboardInterrupt
            When it was interrupted: a part of a batch cannot be searched.

        """
        wanted = np.unique(np.asarray(values, dtype=float))
        if self.knob.form == "whole":
            wanted = np.unique(np.round(wanted))
        known = np.concatenate([part.x for part in self._parts]) if self._parts else np.zeros(0)
        new = np.setdiff1d(wanted, known)
        if len(new):
            self._add(new)
        return self.samples()

    def _add(self, new: Array) -> None:
        source = variants_of(self.scenario, [self.knob], new[:, None])
        rows = roll_rows(source, self.columns, executor=self.executor, progress=self.progress)
        if not rows.complete:
            raise KeyboardInterrupt
        self.geometry = self.geometry or bool(source.lattices.columns)
        self.rolled += len(new)
        self._parts.append(Samples(new, rows))

    def samples(self) -> Samples:
        """Everything known, rising."""
        x = np.concatenate([part.x for part in self._parts])
        order = np.argsort(x)
        starts = np.cumsum([0, *(len(part.x) for part in self._parts[:-1])])
        refused = {
            int(start) + lane: why
            for start, part in zip(starts, self._parts, strict=True)
            for lane, why in part.rows.refused.items()
        }
        place = {int(old): new for new, old in enumerate(order)}
        first = self._parts[0].rows
        rows = Rows(
            len(x), np.arange(len(x)), first.columns,
            np.concatenate([part.rows.values for part in self._parts], axis=1)[:, order],
            np.concatenate([part.rows.verdicts for part in self._parts])[order],
            {place[old]: why for old, why in refused.items()},
        )  # fmt: skip
        return Samples(x[order], rows)


def part_of(samples: Samples, which: NDArray[np.intp]) -> Samples:
    """Some of the samples, still rising."""
    place = {int(old): new for new, old in enumerate(which)}
    rows = replace(
        samples.rows,
        asked=len(which),
        lanes=np.arange(len(which)),
        values=samples.rows.values[:, which],
        verdicts=samples.rows.verdicts[which],
        refused={place[i]: why for i, why in samples.rows.refused.items() if i in place},
    )
    return Samples(samples.x[which], rows)


def apart(samples: Samples, step: float) -> Samples:
    """Samples at least so far from each other [SI], for drawing and counting them evenly."""
    which: list[int] = []
    for i, x in enumerate(samples.x):
        if not which or x - samples.x[which[-1]] >= step:
            which.append(i)
    return part_of(samples, np.array(which, dtype=np.intp))
