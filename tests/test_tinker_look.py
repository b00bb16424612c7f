"""What the live page keeps in sight and in place while sliders move, in a real browser."""

from collections.abc import Iterator
from typing import Any

import pytest

from tests.browser import PHONE, SCHEMES, axe, overhang, size
from tests.test_tinker_page import drag, field, opened, row, settled, type_in
from tests.tinker import STATION, THRUST, bench, serving

WATCH = """() => {
  window.touched = 0;
  const look = new MutationObserver((all) => { window.touched += all.length; });
  window.sides = [...document.querySelectorAll(".view:first-child, .detail:first-child")];
  for (const side of window.sides)
    look.observe(side, { subtree: true, childList: true, attributes: true, characterData: true });
}"""
"""Counts what is changed in the roll as loaded from now on."""


@pytest.fixture(scope="module")
def meadow() -> Iterator[int]:
    with serving(bench()) as port:
        yield port


def budget(page: Any) -> dict[str, float]:
    """Rows of the nose-load budget beside the verdict."""
    rows = page.locator(".decision tbody tr").all()
    return {
        one.locator("th").inner_text(): float(one.locator(".value").inner_text()) for one in rows
    }


def moment(page: Any) -> float:
    """Where the replay stands [s, shown]."""
    return float(page.input_value(".controls input[type=range]"))


def test_the_budget_stands_beside_the_verdict(page: Any, meadow: int) -> None:
    opened(page, meadow)
    report = bench().report
    at_rotation = report.budget.at(report.decisive_airspeed)
    shown = budget(page)
    assert shown["weight ahead of the mains"] == pytest.approx(at_rotation["weight"], abs=0.06)
    assert shown["left on the nose wheel"] == pytest.approx(0.0, abs=0.1)
    *parts, left = shown.values()
    assert sum(parts) == pytest.approx(left, abs=0.05 * len(parts))
    off = report.result.event("nose-wheel-off")
    assert off is not None
    words = page.locator(".decision .small").inner_text()
    assert words.startswith("as the nose wheel leaves") and f"{off.distance:.1f} m" in words
    before, after = (
        page.locator(".outcome").bounding_box(),
        page.locator(".decision").bounding_box(),
    )
    assert after["x"] >= before["x"] + before["width"] and after["y"] == pytest.approx(before["y"])
    type_in(page, THRUST, "28 N")
    assert budget(page)["thrust above the axle"] > 1.2 * shown["thrust above the axle"]


def test_the_budget_of_a_nose_that_stays_down(page: Any) -> None:
    with serving(bench("weak-elevator")) as port:
        opened(page, port)
        assert budget(page)["left on the nose wheel"] > 0.2
        told = page.locator(".decision .small")
        assert "at the fastest it is shown on its wheels" in told.inner_text()
        page.goto("about:blank")


def test_a_key_without_a_slider_is_told_beside_the_slider_that_was_moved(
    page: Any, meadow: int
) -> None:
    opened(page, meadow)
    attitude = "aeroplane.gear.ground_attitude"
    type_in(page, attitude, "15.4 deg")
    assert "scrape_point.height" in row(page, attitude).locator(".problem").inner_text()
    assert "cannot be rolled" in page.locator(".moved").inner_text()
    type_in(page, attitude, "1 deg")
    assert page.locator(".problem:visible").count() == 0
    assert "cannot be rolled" not in page.locator(".moved").inner_text()


@pytest.mark.parametrize("width", [320, 900, 1100])
def test_nothing_hangs_over_the_edge(page: Any, width: int) -> None:
    with serving(bench("workshop")) as port:
        opened(page, port)
        page.set_viewport_size({"width": width, "height": 800})
        for box in page.locator(".change input").all():
            box.check()
        settled(page)
        over = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        assert page.evaluate(over) == 0
        page.goto("about:blank")


def test_the_roll_as_loaded_is_not_drawn_again(page: Any, meadow: int) -> None:
    opened(page, meadow)
    type_in(page, THRUST, "25 N")  # from now on two stand side by side
    page.evaluate("() => new Promise((drawn) => requestAnimationFrame(() => setTimeout(drawn)))")
    page.evaluate(WATCH)
    altered = page.locator(".view:last-child .reason").inner_text()
    for text in ("25.2 N", "25.4 N", "24.6 N"):
        type_in(page, THRUST, text)
        assert page.locator(".view:last-child .reason").inner_text() != altered
    assert page.evaluate("window.touched") == 0
    assert page.evaluate("window.sides.every((side) => side.isConnected)")
    field(page, THRUST).press("Tab")
    page.locator(".controls input[type=range]").press("ArrowLeft")
    assert page.evaluate("window.touched") > 0  # the watch sees what there is to see


def test_a_replay_at_rest_stays_at_rest_and_where_it_was(page: Any, meadow: int) -> None:
    opened(page, meadow)
    here = moment(page)
    assert here > 1.0 and page.inner_text(".play") == "Play"
    type_in(page, THRUST, "0.5 N")
    assert "does not" in page.locator(".outcome .verdict").inner_text()
    type_in(page, THRUST, "21 N")
    page.wait_for_timeout(200)
    assert page.inner_text(".play") == "Play"
    assert moment(page) == pytest.approx(here)
    page.click("text=All as loaded")
    settled(page)
    assert moment(page) == pytest.approx(here)


def test_a_replay_that_plays_goes_on_with_every_answer(page: Any, meadow: int) -> None:
    opened(page, meadow)
    page.click("text=To the start")
    page.select_option(".controls select", "0.25")
    page.click(".play")
    type_in(page, THRUST, "23 N")
    first = moment(page)
    page.wait_for_timeout(200)
    assert page.inner_text(".play") == "Pause" and moment(page) > first > 0.0


@pytest.mark.parametrize("scheme", SCHEMES)
def test_on_a_phone_the_picture_comes_first_and_stays(page: Any, meadow: int, scheme: str) -> None:
    page.set_viewport_size(size(PHONE))
    page.emulate_media(color_scheme=scheme)
    opened(page, meadow)
    type_in(page, THRUST, "25 N")
    for one in page.locator(".slider input[type=range]").all():
        one.focus()
        slider, scene = one.bounding_box(), page.locator(".view:last-child .scene").bounding_box()
        assert scene["y"] >= 0.0
        assert slider["y"] >= scene["y"] + scene["height"]  # and nothing lies over it
        assert slider["y"] + slider["height"] <= PHONE[1]
        middle = slider["x"] + slider["width"] / 2, slider["y"] + slider["height"] / 2
        assert page.evaluate("([x, y]) => document.elementFromPoint(x, y).type", middle) == "range"
    drag(page, STATION, 0.3, steps=5)
    assert row(page, STATION).locator("button").is_enabled()
    assert overhang(page) == 0
    assert axe(page) == []


def test_sliders_do_not_move_under_the_finger(page: Any, meadow: int) -> None:
    """What stands above them keeps its height, whatever the reason says."""
    page.set_viewport_size(size(PHONE))
    opened(page, meadow)
    type_in(page, THRUST, "22 N")
    places = set()
    for text in ("23 N", "30 N", "12 N", "16 N"):
        type_in(page, THRUST, text)
        places.add(row(page, THRUST).evaluate("e => Math.round(e.getBoundingClientRect().top)"))
    assert max(places) - min(places) <= 24
