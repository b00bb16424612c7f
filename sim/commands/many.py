"""What studies share on the command line: workers, a table, a bar with the time left."""

# ruff: noqa: PLC0415 - so that help and mistakes of the command line come at once

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from sim.commands.app import Force

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from sim.study.batch import Progress

MOST_PROCESSES = 256
ROLLS_EACH = 2000
"""Rolls of a process, at least, unless somebody says how many processes: about half a second's
work, more than a process costs."""


@dataclass(frozen=True)
class Study:
    """Options of many rolls."""

    processes: Annotated[
        int | None,
        typer.Option(
            "--processes", metavar="N", min=1, max=MOST_PROCESSES,
            help="Processes that share the work; the numbers are the same with any. Unless said, "
            f"one for each {ROLLS_EACH} rolls, up to one for each processor.",
        ),
    ] = None  # fmt: skip
    table: Annotated[
        Path | None,
        typer.Option("--csv", metavar="FILE", help="Save a table, one row for each roll."),
    ] = None
    force: Force = False


NO_STUDY = Study()


@contextmanager
def workers(asked: int | None, rolls: int) -> "Iterator[Executor | None]":
    """Processes to send work to; none when one does: then it is done here.

    `asked`: how many, if anybody said so; `rolls`: how many there are to share.
    """
    count = asked or max(1, min(rolls // ROLLS_EACH, processors()))
    if count == 1:
        yield None
        return
    from sim.study.executors import worker_pool

    with worker_pool(count) as pool:
        yield pool


def processors() -> int:
    """Processors this program may use."""
    mine = getattr(os, "sched_getaffinity", None)
    return len(mine(0)) if mine else os.cpu_count() or 1


@contextmanager
def watched(words: str) -> "Iterator[Progress | None]":
    """A bar with the time left on standard error, if somebody watches; else nothing."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import (
        BarColumn,
        MofNCompleteColumn,
        Progress,
        TextColumn,
        TimeRemainingColumn,
    )

    columns = (
        TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn(),
        TimeRemainingColumn(), TextColumn("left"),
    )  # fmt: skip
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(words, total=None)

        def tell(done: int, total: int) -> None:
            bar.update(task, completed=done, total=total)

        yield tell


def picture_of(plots: Path | None, scenario: str, question: str) -> Path | None:
    """File of the picture that answers a question about a scenario; None when none is wanted."""
    return plots / f"{Path(scenario).stem}-{question}.png" if plots else None
