"""The moving side view measured in the browser: what is drawn stands where the story says."""

from math import cos, sin
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sim.show.replay.page.build import COMPONENT, bundle, component_style, data_block
from tests.replay_stories import stories

PIXEL = 1.5  # a line's own width and rounding [px]
DRAWN = """selector => [...document.querySelectorAll(selector)].map(shape => {
  const {left, right, top, bottom} = shape.getBoundingClientRect();
  return {left, right, top, bottom};
})"""
LINE = """selector => {
  const line = document.querySelector(selector);
  const matrix = line.getScreenCTM();
  const from = [line.getAttribute('x1'), line.getAttribute('y1')];
  const start = new DOMPoint(...from).matrixTransform(matrix);
  const head = line.nextSibling.getAttribute('points').split(' ')[0].split(',');
  const tip = new DOMPoint(...head).matrixTransform(matrix);
  return [start.x, start.y, tip.x, tip.y];
}"""

TRAILING_EDGE = """(() => {
  const tail = document.querySelector('.part.elevator');
  const corners = tail.getAttribute('points').split(' ').map(pair => pair.split(',').map(Number));
  const rearmost = corners.reduce((a, b) => (b[0] < a[0] ? b : a));
  return new DOMPoint(...rearmost).matrixTransform(tail.getScreenCTM()).y;
})()"""


@pytest.fixture
def mounted(page: Any, tmp_path: Path) -> Any:
    """The component alone with the working roll, held by `replay`."""
    return mount(page, tmp_path, stories()["works"])


def mount(page: Any, folder: Path, *stories: dict[str, Any]) -> Any:
    """Put the component into a page as another page would."""
    path = folder / "component.html"
    path.write_text(
        f"<!DOCTYPE html><style>{component_style()}</style><div id=here></div><script type=module>"
        f"{bundle(COMPONENT)}"
        "window.replay = mountReplay(document.getElementById('here'), "
        f"{data_block(stories)}, {{autoplay: false}});</script>",
        encoding="utf-8",
    )
    page.goto(path.as_uri())
    page.wait_for_selector(".aeroplane[transform]")
    return page


def seek(page: Any, time: float) -> None:
    """Go to a moment of the roll."""
    page.evaluate("time => replay.seek(time)", time)


def boxes(page: Any, selector: str) -> list[dict[str, float]]:
    """Where shapes are on the screen [px]."""
    found: list[dict[str, float]] = page.evaluate(DRAWN, selector)
    assert found
    return found


def arrow(page: Any, force: str) -> np.ndarray[Any, Any]:
    """From tail to tip, to the right and up [px]."""
    x1, y1, x2, y2 = page.evaluate(LINE, f".arrow.{force} line")
    return np.array([x2 - x1, y1 - y2])


def middle(box: dict[str, float]) -> np.ndarray[Any, Any]:
    """Middle of a box, to the right and up [px]."""
    return np.array([box["left"] + box["right"], -box["top"] - box["bottom"]]) / 2.0


def at(story: dict[str, Any], name: str, time: float) -> float:
    """A column at a moment, by numpy."""
    return float(np.interp(time, story["columns"]["time"], story["columns"][name]))


def event(story: dict[str, Any], name: str) -> float:
    """When something happens [s]."""
    return next(float(e["time"]) for e in story["events"] if e["name"] == name)


def test_the_wheels_stand_on_the_ground_until_they_leave_it(mounted: Any) -> None:
    story = stories()["works"]
    for time in (0.0, 1.0, event(story, "pull")):
        seek(mounted, time)
        ground = boxes(mounted, ".scene .ground")[0]["bottom"]
        for tyre in boxes(mounted, ".tyre"):
            assert tyre["bottom"] == pytest.approx(ground, abs=2 * PIXEL)
    seek(mounted, event(story, "lift-off"))
    main, nose = boxes(mounted, ".tyre")
    ground = boxes(mounted, ".scene .ground")[0]["bottom"]
    assert main["bottom"] == pytest.approx(ground, abs=2 * PIXEL)
    assert nose["bottom"] < ground - 10.0
    seek(mounted, story["columns"]["time"][-1])
    assert (
        boxes(mounted, ".tyre")[0]["bottom"] < boxes(mounted, ".scene .ground")[0]["bottom"] - 10.0
    )


def test_arrows_are_to_the_scale_that_is_drawn(mounted: Any) -> None:
    """The bar beside the picture turns every arrow into newtons again."""
    story = stories()["works"]
    seek(mounted, event(story, "pull") + 0.3)
    words = mounted.text_content(".ruler text")
    newtons = float(words.split()[0]) / story["units"]["force"]["factor"]
    bar = boxes(mounted, ".ruler path")[0]
    per_newton = (bar["right"] - bar["left"] - 1.0) / newtons
    time = event(story, "pull") + 0.3
    for force in ("weight", "wing_lift", "tail_lift", "thrust", "main_load"):
        length = float(np.hypot(*arrow(mounted, force)))
        assert length == pytest.approx(
            abs(at(story, force, time)) * per_newton, rel=0.06, abs=PIXEL
        )


def test_arrows_point_where_the_forces_do(mounted: Any) -> None:
    story = stories()["works"]
    time = event(story, "pull") + 0.3
    seek(mounted, time)
    pitch = at(story, "pitch", time)
    for force, way in {
        "weight": (0.0, -1.0),
        "wing_lift": (0.0, 1.0),
        "tail_lift": (0.0, -1.0),  # the tail holds itself down to lift the nose
        "thrust": (cos(pitch), sin(pitch)),
        "main_load": (0.0, 1.0),
    }.items():
        drawn = arrow(mounted, force)
        assert drawn / np.hypot(*drawn) == pytest.approx(way, abs=0.05), force


def test_pulling_moves_the_elevator_s_trailing_edge_up(mounted: Any) -> None:
    """Stick back lifts the trailing edge, at the left, for the nose is at the right."""
    story = stories()["works"]
    seek(mounted, event(story, "pull") - 0.05)
    before = mounted.evaluate(TRAILING_EDGE)
    seek(mounted, event(story, "pull") + 0.5)
    assert mounted.evaluate(TRAILING_EDGE) < before - PIXEL


def test_the_nose_comes_up_as_the_story_says(mounted: Any) -> None:
    story = stories()["works"]
    angles = []
    for time in (1.0, story["columns"]["time"][-1]):
        seek(mounted, time)
        main, nose = (middle(box) for box in boxes(mounted, ".tyre"))
        angles.append(np.arctan2(nose[1] - main[1], nose[0] - main[0]))
    rise = at(story, "pitch", story["columns"]["time"][-1]) - at(story, "pitch", 1.0)
    assert angles[1] - angles[0] == pytest.approx(rise, abs=0.02)


def test_the_ground_passes_below(mounted: Any) -> None:
    """A distance mark stays on its place of the strip: its pixels move as the CG's metres do."""
    story = stories()["works"]
    scale = float(mounted.get_attribute(".flipped", "transform").split("scale(")[1].split()[0])
    places = []
    for time in (2.0, 2.02):
        seek(mounted, time)
        marks = mounted.locator(".marks g:not([visibility])").all()
        places.append({m.text_content(): m.locator("path").bounding_box()["x"] for m in marks})
    common = places[0].keys() & places[1].keys()
    moved = at(story, "distance", 2.02) - at(story, "distance", 2.0)
    assert common
    for words in common:
        assert places[0][words] - places[1][words] == pytest.approx(moved * scale, abs=PIXEL)


def test_the_strip_s_end_and_the_obstacle_stand_in_their_places(page: Any, tmp_path: Path) -> None:
    story = stories()["works"]
    half = at(story, "distance", 3.0)
    strip = {
        **story["scene"]["strip"],
        "length": half,
        "obstacle": {"place": half + 0.3, "height": 0.4},
    }
    mount(page, tmp_path, story | {"scene": {**story["scene"], "strip": strip}})
    seek(page, 3.0)
    scale = float(page.get_attribute(".flipped", "transform").split("scale(")[1].split()[0])
    cg, end, hedge = (boxes(page, s)[0] for s in (".cg", ".post.end path", ".post.obstacle path"))
    assert end["left"] == pytest.approx(0.5 * (cg["left"] + cg["right"]), abs=2 * PIXEL)
    assert hedge["left"] - end["left"] == pytest.approx(0.3 * scale, abs=2 * PIXEL)
    assert hedge["bottom"] - hedge["top"] == pytest.approx(0.4 * scale, abs=2 * PIXEL)


def test_an_uphill_strip_rises_to_the_right_and_weight_stays_upright(
    page: Any, tmp_path: Path
) -> None:
    story = stories()["works"]
    strip = {**story["scene"]["strip"], "slope": 0.05}
    mount(page, tmp_path, story | {"scene": {**story["scene"], "strip": strip}})
    matrix = page.evaluate(
        "(m => [m.a, m.b])(document.querySelector('.scene .ground').getScreenCTM())"
    )
    assert -matrix[1] / matrix[0] == pytest.approx(np.tan(0.05), rel=1e-3)
    weight = arrow(page, "weight")
    assert weight[0] == pytest.approx(0.0, abs=PIXEL) and weight[1] < -20.0


def test_other_stories_keep_place_and_play_state(mounted: Any) -> None:
    """The live page changes stories while they play."""
    seek(mounted, 1.5)
    assert mounted.inner_text(".readout dd").startswith("1.50")
    mounted.focus("input[type=range]")
    mounted.evaluate("stories => replay.update(stories)", [stories()["fails"]])
    assert stories()["fails"]["verdict_words"] in mounted.inner_text(".verdict")
    assert mounted.evaluate("document.activeElement.type") == "range"
    assert mounted.inner_text(".play") == "Play"
    assert mounted.inner_text(".readout dd").startswith("1.50")
    mounted.evaluate("replay.play()")
    mounted.evaluate("stories => replay.update(stories)", [stories()["works"]])
    assert mounted.inner_text(".play") == "Pause"
    mounted.evaluate("replay.pause()")
    assert mounted.inner_text(".play") == "Play"
    mounted.evaluate("replay.remove()")
    assert mounted.inner_text("body") == ""
