"""Roll the lanes of a study, here or in workers, and keep only rows of numbers.

Results depend neither on the executor nor on how the work is cut: a lane of the core does not
depend on its company, and all decisions that look at the whole study are made before it is cut.
"""

from collections.abc import Callable, Sequence
from concurrent.futures import Executor, Future, as_completed
from functools import partial
from time import perf_counter

import numpy as np

from sim.roll.outcome import DEFAULTS, Settings
from sim.roll.result import simulate_many
from sim.study.evidence import Evidence
from sim.study.outcome_columns import USUAL, column_of
from sim.study.rows import REFUSED, VERDICTS, Chunk, Rows, joined
from sim.study.sources import Lane, Source, Task

CHUNK_HERE = 4096
"""Lanes computed together in this process at most: the core is fastest with thousands, memory
grows."""
CHUNK_FIRST = 512
"""Lanes of the first task here, which shows how long a lane takes."""
TASK_TIME = 1.0
"""Later tasks here take about so long [s]: the bar moves, and Ctrl-C loses little."""
CHUNK_SENT = 4096
"""Lanes of one task for a worker, at most."""
CHUNK_SLOW = 64
"""Lanes of one task when each needs a lattice solution, some 18 ms."""

Progress = Callable[[int, int], None]
"""Called with lanes done and lanes asked for."""


def roll_rows(
    source: Source,
    columns: Sequence[str] = USUAL,
    *,
    executor: Executor | None = None,
    chunk: int | None = None,
    progress: Progress | None = None,
    settings: Settings = DEFAULTS,
) -> Rows:
    """Compute all lanes of a source.

    Parameters
    ----------
    source
        from `sim.study.sources`.
    columns
        names in `sim.study.outcome_columns`.
    executor
        any executor of `concurrent.futures`; without one the lanes are computed here.
    chunk
        lanes of one task; results do not depend on it.
    progress
        called as tasks are finished.
    settings
        of the core.

    Returns
    -------
    One row for each lane; on Ctrl-C the rows of the tasks that are finished.

    Raises
    ------
    ValueError
        For a column nobody knows, or a chunk that is not positive.

    """
    names = tuple(dict.fromkeys(column_of(name).name for name in columns))
    if chunk is not None and chunk < 1:
        raise ValueError(f"chunk {chunk}: at least one lane at a time")
    work = partial(roll_chunk, columns=names, settings=settings)
    finished: list[tuple[int, Chunk]] = []
    told = _teller(len(source), progress)
    try:
        if executor is None:
            _here(work, source, chunk, finished, told)
        else:
            size = chunk or (_lanes_sent(len(source)) if source.quick else CHUNK_SLOW)
            _sent(executor, work, source, size, finished, told)
    except KeyboardInterrupt:
        pass  # what is finished is kept; the caller sees that it is not complete
    return joined(len(source), names, finished)


def _here(
    work: Callable[[Task], Chunk],
    source: Source,
    chunk: int | None,
    finished: list[tuple[int, Chunk]],
    told: Callable[[list[tuple[int, Chunk]]], None],
) -> None:
    """Every task in its turn; where their size is not said, each of about a second's work."""
    first, size = 0, chunk or (CHUNK_FIRST if source.quick else CHUNK_SLOW)
    while first < len(source):
        last = min(first + size, len(source))
        start = perf_counter()
        finished.append((first, work(source.task(first, last))))
        told(finished)
        if chunk is None:
            pace = (last - first) / max(perf_counter() - start, 1e-6)
            size = max(1, min(CHUNK_HERE, int(pace * TASK_TIME)))
        first = last


def _lanes_sent(lanes: int) -> int:
    """Lanes of one task for a worker: 2, 4 and 8 workers have the same number of tasks each."""
    least = -(-lanes // CHUNK_SENT)
    tasks = 1 << max(least - 1, 0).bit_length()
    return max(-(-lanes // tasks), 1)


def _teller(asked: int, progress: Progress | None) -> Callable[[list[tuple[int, Chunk]]], None]:
    def tell(finished: list[tuple[int, Chunk]]) -> None:
        if progress is not None:
            progress(sum(len(chunk.verdicts) for _, chunk in finished), asked)

    return tell


def _sent(
    executor: Executor,
    work: Callable[[Task], Chunk],
    source: Source,
    size: int,
    finished: list[tuple[int, Chunk]],
    told: Callable[[list[tuple[int, Chunk]]], None],
) -> None:
    """Send every task, gather what comes back; what has not begun is called off on Ctrl-C."""
    waiting: dict[Future[Chunk], int] = {}
    try:
        for first in range(0, len(source), size):
            task = source.task(first, min(first + size, len(source)))
            waiting[executor.submit(work, task)] = first
        for future in as_completed(waiting):
            finished.append((waiting[future], future.result()))
            told(finished)
    finally:
        for future in waiting:
            future.cancel()
        _gather_rest(waiting, finished)


def _gather_rest(waiting: dict[Future[Chunk], int], finished: list[tuple[int, Chunk]]) -> None:
    """What was finished while nobody looked."""
    known = {first for first, _ in finished}
    for future, first in waiting.items():
        done = future.done() and not future.cancelled() and first not in known
        if done and future.exception() is None:
            finished.append((first, future.result()))


def roll_chunk(task: Task, columns: tuple[str, ...], settings: Settings) -> Chunk:
    """Make the lanes of one task ready, roll them and read off the columns."""
    lanes: list[Lane] = []
    places: list[int] = []
    refused: dict[int, str] = {}
    count = 0
    for count, lane in enumerate(task.lanes(), start=1):
        if isinstance(lane, str):
            refused[count - 1] = lane
        else:
            lanes.append(lane)
            places.append(count - 1)
    values = np.full((len(columns), count), np.nan)
    verdicts = np.full(count, REFUSED, dtype=np.int8)
    if lanes:
        many = simulate_many([lane.setup for lane in lanes], settings)
        evidence = Evidence(many, np.array([lane.max_lift_flaps_up for lane in lanes]))
        for row, name in enumerate(columns):
            values[row, places] = evidence.column(name)
        verdicts[places] = [VERDICTS.index(verdict) for verdict in many.verdicts]
    return Chunk(values, verdicts, refused)
