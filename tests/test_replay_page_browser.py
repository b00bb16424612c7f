"""The replay as somebody uses it: a real browser plays, scrubs, steps and reads the page."""

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sim.show.replay.page.build import replay_page
from tests.browser import DESKTOP, PHONE, SCHEMES, axe, forgive, overhang, size
from tests.replay_stories import hostile, stories

RANGE = "input[type=range]"
Open = Callable[..., Any]


@pytest.fixture
def opened(page: Any, tmp_path: Path) -> Open:
    """Open stories as a page from the disk, still; whatever it says or asks for is kept.

    `page` itself fails the test on errors and on requests to elsewhere; here warnings count too.
    """

    def open_page(*stories: dict[str, Any], motion: str = "reduce", **media: str) -> Any:
        path = tmp_path / "replay.html"
        path.write_text(replay_page(stories), encoding="utf-8")
        page.said, page.asked = [], []
        page.on("console", lambda m: page.said.append(m.text))
        page.on("request", lambda r: page.asked.append(r.url))
        page.emulate_media(reduced_motion=motion, **media)
        page.goto(path.as_uri())
        page.wait_for_selector(".aeroplane[transform]")
        return page

    return open_page


@pytest.fixture
def still(opened: Open) -> Any:
    """The working roll, not playing."""
    return opened(stories()["works"])


def moment(page: Any) -> float:
    """Where the scrubber stands [s, shown]."""
    return float(page.input_value(RANGE))


def until(page: Any, holds: Callable[[], bool]) -> None:
    """Wait for something; the page's policy forbids the browser to evaluate a condition itself."""
    for _ in range(500):
        if holds():
            return
        page.wait_for_timeout(20)
    pytest.fail("waited for ten seconds in vain")


def scrub(page: Any, share: float) -> None:
    """Drag the scrubber to a share of the replay."""
    box = page.locator(RANGE).bounding_box()
    page.mouse.move(box["x"] + 8, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(
        box["x"] + 8 + share * (box["width"] - 16), box["y"] + box["height"] / 2, steps=3
    )
    page.mouse.up()


def readout(page: Any, words: str) -> float:
    """One of the running numbers."""
    pair = page.locator(".readout div", has=page.locator(f"dt:text-is('{words}')")).first
    return float(pair.locator("dd").inner_text().split()[0])


def angle(page: Any) -> float:
    """How far the aeroplane is turned in the picture, nose up [deg]."""
    transform = page.locator(".aeroplane").first.get_attribute("transform")
    return float(re.fullmatch(r"rotate\(([-\d.e]+)\)", transform)[1])


def test_it_starts_still_for_who_asks_for_less_motion(still: Any) -> None:
    still.wait_for_timeout(200)
    assert moment(still) == 0.0
    assert still.inner_text(".play") == "Play"


@pytest.fixture
def timed(page: Any, opened: Open) -> Open:
    """As `opened`, with the browser's time in the test's hands: a busy machine changes nothing."""
    page.clock.install(time=0)
    page.clock.pause_at(1)
    return opened


def test_it_plays_at_once_otherwise_and_pause_holds(timed: Open) -> None:
    page = timed(stories()["works"], motion="no-preference")
    assert page.inner_text(".play") == "Pause"
    page.clock.run_for(500)
    page.click(".play")
    held = moment(page)
    assert held == pytest.approx(0.5, abs=0.05)
    page.clock.run_for(500)
    assert moment(page) == held
    assert page.inner_text(".play") == "Play"


@pytest.mark.parametrize("speed", ["0.25", "1", "4"])
def test_play_goes_on_at_the_speed_asked_for(timed: Open, speed: str) -> None:
    page = timed(stories()["works"])
    page.select_option("select", speed)
    page.click(".play")
    page.clock.run_for(1000)
    assert moment(page) == pytest.approx(float(speed), rel=0.05)


def test_the_clock_is_the_story_s(still: Any) -> None:
    """Straight lines between the pairs of the story's clock, numpy's own."""
    shown, roll = np.array(stories()["works"]["clock"]).T
    for share in (0.2, 0.45, 0.6, 0.9):
        scrub(still, share)
        expected = float(np.interp(moment(still), shown, roll))
        assert readout(still, "time") == pytest.approx(expected, abs=0.011)


def test_slow_motion_is_told(still: Any) -> None:
    shown, roll = np.array(stories()["works"]["clock"]).T
    slowest = int(np.argmax(np.diff(shown[:-1]) / np.diff(roll[:-1])))
    scrub(
        still,
        0.5 * (shown[slowest] + shown[slowest + 1]) / float(still.get_attribute(RANGE, "max")),
    )
    pace = (shown[slowest + 1] - shown[slowest]) / (roll[slowest + 1] - roll[slowest])
    told = re.fullmatch(r"([\d.]+) times slower", still.inner_text(".pace"))
    assert told and float(told[1]) == pytest.approx(pace, abs=0.06)


def test_it_stops_at_the_end_and_starts_over(still: Any) -> None:
    still.keyboard.press("End")
    end = moment(still)
    assert end == float(still.get_attribute(RANGE, "max"))
    still.click(".play")
    until(still, lambda: moment(still) < end / 2)
    assert still.inner_text(".play") == "Pause"
    still.keyboard.press("End")
    until(still, lambda: still.inner_text(".play") == "Play")


def test_scrubbing_moves_and_turns_the_aeroplane(still: Any) -> None:
    before = readout(still, "distance"), angle(still)
    scrub(still, 0.97)
    story = stories()["works"]
    assert readout(still, "distance") > before[0] + 0.5 * story["columns"]["distance"][-1]
    assert angle(still) > before[1] + 3.0
    shown = still.evaluate("document.querySelector('.strip-map .marker').getBoundingClientRect().x")
    still.keyboard.press("Home")
    assert shown > still.evaluate(
        "document.querySelector('.strip-map .marker').getBoundingClientRect().x"
    )


def test_what_is_shown_is_what_the_story_says(still: Any) -> None:
    """Every event's row is reached by dragging a trace; numbers beside it are the story's."""
    story = stories()["works"]
    pull = next(e for e in story["events"] if e["name"] == "pull")
    still.locator(".trace").first.scroll_into_view_if_needed()
    box = still.locator(".trace").first.bounding_box()
    place = 38 + (box["width"] - 46) * pull["time"] / story["columns"]["time"][-1]
    still.mouse.click(box["x"] + place, box["y"] + 30)
    assert readout(still, "time") == pytest.approx(pull["time"], abs=0.03)
    assert readout(still, "distance") == pytest.approx(pull["distance"], abs=0.6)


def test_events_are_told_as_they_happen(still: Any) -> None:
    assert "throttle" in still.inner_text(".caption")
    story = stories()["works"]
    still.keyboard.press("End")
    assert story["events"][-1]["words"] in still.inner_text(".caption")


def test_the_elevator_moves(still: Any) -> None:
    start = still.locator(".part.elevator").first.get_attribute("transform")
    scrub(still, 0.7)
    assert still.locator(".part.elevator").first.get_attribute("transform") != start


def test_moments_sum_up_and_the_budget_leaves_the_nose_load(still: Any) -> None:
    """On three wheels what is left of the budget is the load on the nose wheel in the story."""
    scrub(still, 0.2)
    for table in still.locator(".bars").all():
        values = [float(v) for v in table.locator(".value").all_inner_texts()]
        assert sum(values[:-1]) == pytest.approx(values[-1], abs=0.06 * len(values))
    assert values[-1] == pytest.approx(readout(still, "nose wheel"), rel=0.03, abs=0.1)


def test_keyboard_alone_is_enough(still: Any) -> None:
    still.keyboard.press("ArrowRight")
    still.keyboard.press("ArrowRight")
    assert moment(still) == pytest.approx(0.2, abs=0.011)
    still.keyboard.press("ArrowLeft")
    assert moment(still) == pytest.approx(0.1, abs=0.011)
    still.keyboard.press("Shift+ArrowRight")
    assert moment(still) == pytest.approx(1.1, abs=0.011)
    still.keyboard.press("End")
    assert moment(still) == float(still.get_attribute(RANGE, "max"))
    still.keyboard.press("Home")
    assert moment(still) == 0.0
    still.keyboard.press("Space")
    until(still, lambda: moment(still) > 0.1)
    still.keyboard.press("Space")
    assert still.inner_text(".play") == "Play"


def test_space_on_the_button_counts_once_and_the_list_keeps_its_arrows(still: Any) -> None:
    still.focus(".play")
    still.keyboard.press("Space")
    assert still.inner_text(".play") == "Pause"
    still.keyboard.press("Space")
    assert still.inner_text(".play") == "Play"
    still.keyboard.press("End")
    still.focus("text=To the start")
    still.keyboard.press("Space")
    assert moment(still) == 0.0 and still.inner_text(".play") == "Play"
    here = moment(still)
    still.focus("select")
    still.keyboard.press("ArrowDown")
    assert still.input_value("select") == "2"
    assert moment(still) == here


def test_everything_is_reached_with_the_tab_key(still: Any) -> None:
    reached = []
    for _ in range(5):
        still.keyboard.press("Tab")
        reached.append(still.evaluate("document.activeElement.tagName"))
    assert reached == ["BUTTON", "BUTTON", "SELECT", "INPUT", "INPUT"]


def test_slow_motion_can_be_switched_off_without_losing_the_moment(still: Any) -> None:
    scrub(still, 0.6)
    time, slow_end = readout(still, "time"), float(still.get_attribute(RANGE, "max"))
    still.uncheck("input[type=checkbox]")
    assert readout(still, "time") == pytest.approx(time, abs=0.011)
    end = stories()["works"]["columns"]["time"][-1]
    assert float(still.get_attribute(RANGE, "max")) == pytest.approx(end) != slow_end


def test_two_rolls_run_on_one_clock(opened: Open) -> None:
    page = opened(stories()["works"], stories()["fails"])
    scrub(page, 0.3)
    times = page.locator(".readout div:first-child dd").all_inner_texts()
    assert len(times) == 2 and times[0] == times[1]
    page.keyboard.press("End")
    ends = [
        float(t.split()[0]) for t in page.locator(".readout div:first-child dd").all_inner_texts()
    ]
    both = stories()["works"], stories()["fails"]
    assert ends == pytest.approx([s["columns"]["time"][-1] for s in both], abs=0.006)


def test_hostile_words_are_shown_as_words(opened: Open) -> None:
    story = hostile(stories()["works"])
    page = opened(story)
    assert page.inner_text("h2") == story["title"]
    assert page.evaluate("window.broken === undefined")
    assert page.locator("img, b, main script").count() == 0
    assert page.said == []


def test_no_complaint_and_no_request_but_the_file(opened: Open) -> None:
    page = opened(stories()["works"], stories()["fails"], motion="no-preference")
    page.wait_for_timeout(300)
    page.keyboard.press("End")
    assert page.said == []
    assert [url.rsplit("/", 1)[1] for url in page.asked] == ["replay.html"]
    assert page.asked[0].startswith("file:")


def test_the_policy_stops_what_is_slipped_in(still: Any) -> None:
    still.evaluate(
        "document.body.append(Object.assign(document.createElement('script'),"
        " {textContent: 'window.broken = 1'}))"
    )
    assert still.evaluate("window.broken === undefined")
    assert any("script-src" in trouble for trouble in forgive(still))


@pytest.mark.parametrize("scheme", SCHEMES)
def test_no_barrier_is_found(opened: Open, scheme: str) -> None:
    page = opened(stories()["works"], stories()["fails"], color_scheme=scheme)
    scrub(page, 0.6)
    assert axe(page) == []


@pytest.mark.parametrize("count", [1, 2])
def test_a_phone_never_scrolls_sideways(opened: Open, page: Any, count: int) -> None:
    page.set_viewport_size(size(PHONE))
    opened(*list(stories().values())[:count])
    assert overhang(page) == 0
    for name in ("button", "select"):
        for box in (one.bounding_box() for one in page.locator(name).all()):
            assert box["height"] >= 44.0 and box["x"] >= 0.0 and box["x"] + box["width"] <= 360.0
    tops = [one.bounding_box()["y"] for one in page.locator(".view").all()]
    assert tops == sorted(tops) and len(set(tops)) == count


def test_a_wide_screen_has_both_side_by_side(opened: Open, page: Any) -> None:
    page.set_viewport_size(size(DESKTOP))
    opened(stories()["works"], stories()["fails"])
    one, other = (view.bounding_box() for view in page.locator(".view").all())
    assert one["y"] == other["y"] and one["x"] + one["width"] <= other["x"]


def test_dark_where_it_is_asked_for_but_print_is_light(opened: Open) -> None:
    ground = "getComputedStyle(document.body).backgroundColor"
    page = opened(stories()["works"], color_scheme="dark")
    assert sum(map(int, re.findall(r"\d+", page.evaluate(ground))[:3])) < 150
    page.emulate_media(media="print", color_scheme="dark")
    assert page.evaluate(ground) == "rgb(255, 255, 255)"
    assert page.locator(".controls").is_hidden()
    assert page.locator(".events").is_visible()


def test_a_finger_drags_a_trace(page: Any, opened: Open) -> None:
    opened(stories()["works"])
    page.locator(".trace").first.evaluate(
        """plot => {
          const box = plot.getBoundingClientRect();
          const finger = {pointerId: 1, pointerType: 'touch', bubbles: true};
          const at = x => ({...finger, clientX: box.left + x});
          plot.setPointerCapture = () => {};
          plot.hasPointerCapture = () => true;
          plot.dispatchEvent(new PointerEvent('pointerdown', at(60)));
          plot.dispatchEvent(new PointerEvent('pointermove', at(box.width / 2)));
        }"""
    )
    end = stories()["works"]["columns"]["time"][-1]
    assert 0.3 * end < readout(page, "time") < 0.7 * end
