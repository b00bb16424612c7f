"""Vary: the same roll along one key or over two, every roll a row whatever became of it."""

import itertools
from collections.abc import Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace

import numpy as np

from sim.prepare import prepare
from sim.prepare.prepared import Prepared
from sim.roll.aero_table import Array
from sim.scenario import Scenario, ScenarioError, with_overrides
from sim.scenario.problems import fail
from sim.study.axis import Axis, axis_of
from sim.study.batch import Progress, roll_rows
from sim.study.knobs import current_value
from sim.study.outcome_columns import USUAL
from sim.study.passed_limits import STANCE_COLUMNS, Passed, passed_limits
from sim.study.rows import Rows, interruption
from sim.study.sources import Lane, Scenarios, Source, Task, reason_of, variants_of

MOST_KEYS = 2
MOST_ROLLS = 100_000
ROLL = "lift-off.distance"
COLUMNS = (*USUAL, "stall_speed_m_per_s", *STANCE_COLUMNS)


@dataclass(frozen=True)
class Vary:
    """What came of a scenario along one or two keys.

    Attributes
    ----------
    prepared: the scenario itself, made ready.
    axes: one or two; the first runs slowest.
    values: of each row asked for along each axis, shape (n, axes) [SI, or place of a word].
    rows: one for each combination that was computed.
    present: what the scenario itself has on each axis [SI, or place of a word]; None if nothing.
    strip_length: of the scenario itself [m].
    geometry: how the lattice was answered, one sentence or "".
    passed: limits that some rolls pass.

    """

    prepared: Prepared
    axes: tuple[Axis, ...]
    values: Array
    rows: Rows
    present: tuple[float | None, ...]
    strip_length: float
    geometry: str
    passed: tuple[Passed, ...] = ()

    @property
    def interruption(self) -> str:
        """A sentence about rolls that are missing; "" for a whole study."""
        return "" if self.rows.complete else interruption(len(self.rows), self.rows.asked)


@dataclass(frozen=True)
class Refused:
    """Lanes that make no scenario, all for one reason; also its own task."""

    count: int
    reason: str

    def __len__(self) -> int:
        return self.count

    @property
    def quick(self) -> bool:
        """True: nothing is computed."""
        return True

    def task(self, first: int, last: int) -> "Refused":
        """Some of them."""
        return Refused(last - first, self.reason)

    def lanes(self) -> Iterator[Lane | str]:
        """The reason, once for each."""
        return itertools.repeat(self.reason, self.count)


@dataclass(frozen=True)
class Chain:
    """Sources one after the other."""

    sources: tuple[Source, ...]

    def __len__(self) -> int:
        return sum(len(source) for source in self.sources)

    @property
    def quick(self) -> bool:
        """Whether every one of them is."""
        return all(source.quick for source in self.sources)

    def task(self, first: int, last: int) -> "ChainTask":
        """Lanes from `first` up to `last`, whichever source they come from."""
        tasks: list[Task] = []
        start = 0
        for source in self.sources:
            low, high = max(first - start, 0), min(last - start, len(source))
            if low < high:
                tasks.append(source.task(low, high))
            start += len(source)
        return ChainTask(tuple(tasks))


@dataclass(frozen=True)
class ChainTask:
    """Tasks one after the other."""

    tasks: tuple[Task, ...]

    def lanes(self) -> Iterator[Lane | str]:
        """Lanes of all of them."""
        return itertools.chain.from_iterable(task.lanes() for task in self.tasks)


def axes_of(scenario: Scenario, texts: Sequence[str]) -> tuple[Axis, ...]:
    """Read one axis or two.

    Raises
    ------
    ScenarioError
        For mistakes in them, the same key twice, too many keys or rolls.

    """
    if not 1 <= len(texts) <= MOST_KEYS:
        raise fail("vary", f"{len(texts)} keys", "one key, or two for a map")
    axes = tuple(axis_of(scenario, text) for text in texts)
    if len({axis.key for axis in axes}) < len(axes):
        raise fail(axes[0].key, "twice", "two different keys")
    count = int(np.prod([len(axis) for axis in axes]))
    if count > MOST_ROLLS:
        raise fail("vary", f"{count} rolls", f"{MOST_ROLLS} at most: smaller counts")
    return axes


def roll_vary(
    scenario: Scenario,
    texts: Sequence[str],
    executor: Executor | None = None,
    progress: Progress | None = None,
) -> Vary:
    """Roll a scenario along one or two keys.

    Parameters
    ----------
    scenario
        what is varied.
    texts
        `KEY=FROM:TO:COUNT` or `KEY=a,b,c`, one or two.
    executor, progress
        as of `sim.study.batch.roll_rows`.

    Raises
    ------
    ScenarioError
        For mistakes in the texts, or a scenario that cannot be rolled itself.

    """
    return roll_along(scenario, axes_of(scenario, texts), executor, progress)


def roll_along(
    scenario: Scenario,
    axes: tuple[Axis, ...],
    executor: Executor | None = None,
    progress: Progress | None = None,
) -> Vary:
    """The same along axes that were read already, by `axes_of`."""
    prepared = prepare(scenario)
    values = np.array(list(itertools.product(*(axis.values for axis in axes))))
    source, geometry = _source(scenario, axes)
    rows = roll_rows(source, COLUMNS, executor=executor, progress=progress)
    rows = _in_order(rows, axes)
    return Vary(
        prepared, axes, values, rows, tuple(_present(scenario, axis) for axis in axes),
        float(prepared.setup.parameters.strip_length), geometry,
        passed_limits(scenario, axes, values, rows),
    )  # fmt: skip


def _present(scenario: Scenario, axis: Axis) -> float | None:
    """What the scenario has now; for words their place, if it is among them."""
    if axis.knob is not None:
        return current_value(scenario, axis.knob)
    here: object = scenario
    for name in axis.key.split("."):
        here = getattr(here, name, None)
    return float(axis.words.index(here)) if here in axis.words else None


def _source(scenario: Scenario, axes: tuple[Axis, ...]) -> tuple[Source, str]:
    """All lanes, words slowest, and how geometry was answered."""
    worded = [axis for axis in axes if axis.knob is None]
    if not worded:
        knobs = [axis.knob for axis in axes if axis.knob is not None]
        values = np.array(list(itertools.product(*(axis.values for axis in axes))))
        variants = variants_of(scenario, knobs, values)
        return variants, variants.lattices.words()
    first = worded[0]
    others = tuple(axis for axis in axes if axis is not first)
    return Chain(tuple(_with_word(scenario, first.key, w, others) for w in first.words)), ""


def _in_order(rows: Rows, axes: tuple[Axis, ...]) -> Rows:
    """Rows in the order of the axes, where words ran slowest but stand second."""
    if len(axes) < 2 or axes[0].knob is None or axes[1].knob is not None:
        return rows
    word, place = np.divmod(rows.lanes, len(axes[0]))
    lanes = place * len(axes[1]) + word
    order = np.argsort(lanes)
    moved = dict(zip(rows.lanes.tolist(), lanes.tolist(), strict=True))
    return replace(
        rows,
        lanes=lanes[order],
        values=rows.values[:, order],
        verdicts=rows.verdicts[order],
        refused={moved[lane]: why for lane, why in rows.refused.items()},
    )


def _with_word(scenario: Scenario, key: str, word: str, others: tuple[Axis, ...]) -> Source:
    """One word laid over the scenario, and the other axis, if any, run along on it.

    A word the rest of the scenario contradicts is refused lane by lane.
    """
    try:
        laid = with_overrides(scenario, [f"{key}={word}"])
        if not others:
            return Scenarios((laid,))
        axis = others[0]
        if axis.knob is not None:
            return variants_of(laid, [axis.knob], axis.values[:, None])
        return Chain(tuple(_with_word(laid, axis.key, inner, ()) for inner in axis.words))
    except ScenarioError as wrong:
        return Refused(len(others[0]) if others else 1, reason_of(wrong))
