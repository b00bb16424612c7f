"""The gear window of what is on the page, worked out beside it in a process of its own.

It takes a few hundred rolls, each with a lattice of its own: seconds, in which the sliders must
not wait. The process gives up on a question when another comes, or when the page goes on.
"""

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable
from contextlib import suppress
from multiprocessing.connection import Connection
from typing import Any

from sim.scenario import Scenario, ScenarioError
from sim.show.tinker.answer import Bench, problem_records
from sim.show.tinker.state import State
from sim.show.words_gear_window import case_words, wanted_words
from sim.study.gear_window import STATION, GearWindow, gear_window
from sim.study.knobs import knob_of
from sim.study.usual_range import usual_range

Found = dict[str, Any] | None
LOOK = 0.1
"""The process is asked so often whether it is done, and the page whether it still wants it [s]."""


DIED = "The process that looks for it has ended; the next change starts another."


class _GivenUpError(Exception):
    """Nobody wants the answer any more."""


class WindowMaker:
    """Hands states to a process that finds their gear windows."""

    def __init__(self, bench: Bench) -> None:
        self._bench = bench
        self._process: multiprocessing.process.BaseProcess | None = None
        self._line: Connection | None = None
        self._closed = False
        self._changing = threading.Lock()  # a process half started can be neither asked nor ended

    def find(self, state: State, overtaken: Callable[[], bool]) -> Found:
        """The window of a state, or what is wrong with it; None once it is overtaken."""
        try:
            return _asked(self._connected(), (self._bench, state), overtaken)
        except (EOFError, OSError):  # it was ended, or died
            return None if self._closed else {"problems": [{"key": "", "text": DIED}]}

    def close(self) -> None:
        """End the process for good."""
        with self._changing:
            self._closed = True
            self._end()

    def _end(self) -> None:
        if self._process is not None:
            self._process.terminate()
            self._process.join(2.0)
        self._process = None

    def _connected(self) -> Connection:
        with self._changing:
            if self._closed:
                raise EOFError
            if self._line is None or self._process is None or not self._process.is_alive():
                self._end()
                # started afresh and not split off: this process runs threads
                context = multiprocessing.get_context("spawn")
                self._line, other = context.Pipe()
                self._process = context.Process(target=_find_windows, args=(other,), daemon=True)
                self._process.start()
                other.close()
            return self._line


def _asked(line: Connection, question: Any, overtaken: Callable[[], bool]) -> Found:
    """The process's answer; it is told once when nobody wants it any more."""
    line.send(question)
    told = False
    while not line.poll(LOOK):
        if not told and overtaken():
            line.send(None)
            told = True
    found: Found = line.recv()
    return found


def _find_windows(line: Connection) -> None:
    """Answer one question after the other, until the line goes dead."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # whoever asks ends this process
    if hasattr(os, "nice"):
        os.nice(10)  # the sliders go first
    with suppress(EOFError, OSError):
        while True:
            asked = line.recv()
            if asked is not None:
                line.send(_found(line, *asked))


def _found(line: Connection, bench: Bench, state: State) -> Found:
    def give_way(_done: int, _total: int) -> None:
        if line.poll():
            raise _GivenUpError

    try:
        scenario = bench.altered(state)
        between = stations_of(bench.loaded, scenario)
        return window_record(scenario, between, bench.system, give_way)
    except ScenarioError as wrong:
        return {"problems": problem_records(wrong)}
    except _GivenUpError:
        return None


def stations_of(loaded: Scenario, scenario: Scenario) -> tuple[float, float]:
    """Where to look [m]: where the slider goes, and further if the wheels stand outside.

    The same while they are moved about, so that the window does not seem to move with them.
    """
    low, high = usual_range(loaded, knob_of(loaded, STATION))
    now = scenario.aeroplane.gear.main.station
    return min(low, now), max(high, now)


def window_record(
    scenario: Scenario,
    between: tuple[float, float],
    system: str,
    progress: Callable[[int, int], None] | None = None,
) -> dict[str, Any]:
    """The gear window of a scenario between two stations [m] in words, and its stations [m].

    Raises
    ------
    ScenarioError
        When it cannot be rolled.

    """
    window = gear_window(scenario, between, progress=progress)
    return {
        "between": list(between),
        "now": scenario.aeroplane.gear.main.station,
        "wanted": wanted_words(window, system),
        "cases": _cases(window, system),
    }


def _cases(window: GearWindow, system: str) -> list[dict[str, Any]]:
    return [
        {
            "name": case.name,
            "words": case_words(case, system),
            "stations": [[one.low.value, one.high.value] for one in case.windows],
        }
        for case in window.cases
    ]
