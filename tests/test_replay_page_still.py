"""The replay page where a quantity has nothing to span or lies about zero: rolls of no seconds,
numbers on the axes, the sign of the elevator.
"""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sim.prepare import prepare
from sim.report import build_report
from sim.scenario import load_scenario
from sim.show.replay.page.build import replay_page
from sim.show.replay.story import story as told_of
from tests.browser import axe
from tests.replay_stories import report_of, stories

RANGE = "input[type=range]"
Open = Callable[..., Any]


@pytest.fixture
def opened(page: Any, tmp_path: Path) -> Open:
    """Open stories as a page from the disk; whatever it says is kept."""

    def open_page(*stories: dict[str, Any], motion: str = "reduce") -> Any:
        path = tmp_path / "replay.html"
        path.write_text(replay_page(stories), encoding="utf-8")
        page.said = []
        page.on("console", lambda m: page.said.append(m.text))
        page.emulate_media(reduced_motion=motion)
        page.goto(path.as_uri())
        page.wait_for_selector(".aeroplane[transform]")
        return page

    return open_page


def jet_with(change: str) -> dict[str, Any]:
    """The story of the shipped jet with one value changed."""
    return told_of(build_report(prepare(load_scenario("meadow-jet", [change])), with_advice=False))


@pytest.mark.parametrize(
    ("change", "verdict"),
    [
        ("power.static_thrust=0.5 N", "it does not move"),
        ("aeroplane.gear.main.station=500 mm", "it sits on its tail"),
    ],
)
@pytest.mark.parametrize("motion", ["reduce", "no-preference"])
def test_what_never_rolls_is_a_still_picture(
    opened: Open, change: str, verdict: str, motion: str
) -> None:
    """A roll of no seconds: the page stands, tells the verdict and has nothing to play."""
    page = opened(jet_with(change), motion=motion)
    assert verdict in page.inner_text(".verdict")
    assert page.inner_text(".caption") == "nothing rolls" == page.inner_text(".pace")
    assert page.locator("button:enabled, select:enabled, input:enabled").count() == 0
    for key in ("Space", "End", "ArrowRight", "Home"):
        page.keyboard.press(key)
    page.locator(".trace").first.click()
    assert float(page.input_value(RANGE)) == 0.0 and page.inner_text(".play") == "Play"
    assert not re.search("NaN|Infinity|undefined", page.locator("main").inner_html())
    assert page.said == [] and axe(page) == []


def test_beside_one_that_rolls_the_controls_work(opened: Open) -> None:
    page = opened(jet_with("power.static_thrust=0.5 N"), stories()["works"])
    page.keyboard.press("End")
    assert float(page.input_value(RANGE)) == float(page.get_attribute(RANGE, "max")) > 1.0
    assert page.locator(".controls :disabled").count() == 0
    assert not re.search("NaN|Infinity|undefined", page.locator("main").inner_html())


def elevator_plot(page: Any) -> Any:
    """The figure of the elevator's trace."""
    return page.locator(".traces figure", has_text="elevator").first


def test_the_elevator_is_plotted_up_positive(opened: Open) -> None:
    """As in the CSV: the trace of the roll itself, not the story's angle of the drawing."""
    page = opened(stories()["works"])
    trace = report_of("meadow-jet").result.trace
    page.keyboard.press("End")
    said = elevator_plot(page).locator(".key").inner_text()
    assert said.startswith("elevator, up positive")
    at_end = float(np.degrees(trace["elevator"][-1]))
    assert at_end > 0.5  # it is pulled
    assert float(said.split()[-2].rstrip("°")) == pytest.approx(at_end, abs=0.06)
    drawn = elevator_plot(page).locator("svg.trace path.line0").get_attribute("d")
    heights = [float(y) for y in re.findall(r"[ML][-\d.]+ ([-\d.]+)", drawn)]
    assert trace["elevator"].min() > -1e-9  # never pushed: all of it above where it starts
    assert max(heights) == heights[0] > min(heights) + 20.0  # pixels grow downwards


def test_zero_reads_zero_on_every_axis(opened: Open) -> None:
    for told in stories().values():
        page = opened(told)
        for plot in page.locator("svg.trace").all():
            words = plot.locator("text[text-anchor=end]").all_text_contents()
            assert "0" in words and not [w for w in words if "e" in w or w == "-0"]
