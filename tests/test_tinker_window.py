"""The gear window of the live page: found in a process of its own, given up when overtaken."""

import multiprocessing
import threading
import time

import pytest

from sim.show.tinker.state import State
from sim.show.tinker.window import WindowMaker, stations_of
from tests.tinker import STATION, bench


def test_the_gear_window_comes_from_a_process_of_its_own() -> None:
    """As `find --gear-window` has it; a question that is overtaken is given up."""
    maker = WindowMaker(bench("textbook-rotation"))
    try:
        assert maker.find(State(values={"air.headwind": "1 m/s"}), lambda: True) is None
        found = maker.find(State(), lambda: False)
        assert found is not None
        low, high = found["cases"][0]["stations"][0]
        assert found["now"] == pytest.approx(0.05) and low < 0.05 < high
        wrong = maker.find(State(values={STATION: "wide"}), lambda: False)
        assert wrong is not None and wrong["problems"][0]["key"] == STATION
    finally:
        maker.close()


def test_it_is_looked_for_at_the_same_stations_while_the_wheels_move() -> None:
    of = bench()
    (slider,) = (one for one in of.sliders if one.knob.key == STATION)
    ends = [stations_of(of.loaded, of.altered(State(values={STATION: text}))) for text in
            ("600 mm", "700 mm", "1100 mm")]  # fmt: skip
    assert ends[0] == ends[1] and ends[2] == (ends[0][0], 1.1)
    assert [1e3 * end for end in ends[0]] == pytest.approx([slider.low, slider.high], abs=2.0)


def test_a_process_half_started_is_closed_when_it_can_be(monkeypatch: pytest.MonkeyPatch) -> None:
    maker, starting, told = WindowMaker(bench()), threading.Event(), list[str]()

    class Process:
        """Takes its time to start, and cannot be ended before it has."""

        def __init__(self, **_given: object) -> None:
            self.started = False

        def start(self) -> None:
            starting.set()
            time.sleep(0.2)
            self.started = True

        def terminate(self) -> None:
            assert self.started
            told.append("ended")

        def join(self, _seconds: float) -> None:
            pass

    context = multiprocessing.get_context("spawn")
    monkeypatch.setattr(type(context), "Process", Process)
    asking = threading.Thread(target=maker.find, args=(State(), lambda: True), daemon=True)
    asking.start()
    assert starting.wait(5.0)
    maker.close()
    asking.join(5.0)
    assert told == ["ended"] and not asking.is_alive()


def test_nothing_is_started_once_it_is_closed() -> None:
    maker = WindowMaker(bench())
    maker.close()
    assert maker.find(State(), lambda: False) is None
