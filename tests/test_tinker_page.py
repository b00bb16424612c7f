"""The live page as somebody uses it, in a real browser: drag, type, tick, save, reload."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from sim.prepare import prepare
from sim.scenario import ScenarioError, load_scenario, with_overrides
from sim.scenario.problems import Problem
from sim.show.tinker.answer import make_bench
from sim.show.tinker.quick import quick_report
from sim.show.units import formatter
from tests.browser import DESKTOP, PHONE, SCHEMES, axe, forgive, overhang, size
from tests.replay_stories import BREAKS_OUT
from tests.tinker import STATION, THRUST, bench, scenario_file, serving

Open = Callable[..., Any]


@pytest.fixture(scope="module")
def meadow() -> Iterator[int]:
    with serving(bench()) as port:
        yield port


@pytest.fixture(scope="module")
def workshop() -> Iterator[int]:
    with serving(bench("workshop")) as port:
        yield port


def opened(page: Any, port: int, link: str = "") -> Any:
    """The page once it has its first answer."""
    page.emulate_media(reduced_motion="reduce")
    page.goto(f"http://127.0.0.1:{port}/{link}")
    page.wait_for_selector("html[data-answered]")
    return page


def settled(page: Any) -> None:
    """Wait until the newest question is answered."""
    for _ in range(600):
        state = page.locator("html")
        if state.get_attribute("data-asked") == state.get_attribute("data-answered"):
            return
        page.wait_for_timeout(20)
    pytest.fail("waited for an answer in vain")


def row(page: Any, key: str) -> Any:
    return page.locator(f'[data-key="{key}"]')


def field(page: Any, key: str) -> Any:
    return row(page, key).locator("input[type=text]")


def type_in(page: Any, key: str, text: str) -> None:
    field(page, key).fill(text)
    field(page, key).press("Enter")
    settled(page)


def drag(page: Any, key: str, share: float, steps: int = 8) -> None:
    """Drag a slider from where it is to a share of its way."""
    page.bring_to_front()
    slider = row(page, key).locator("input[type=range]")
    slider.scroll_into_view_if_needed()
    box = slider.bounding_box()
    low, high, now = (float(slider.get_attribute(name) or 0) for name in ("min", "max", "value"))
    now = float(slider.input_value())
    inner = box["width"] - 16

    def place(part: float) -> float:
        return float(box["x"] + 8 + part * inner)

    middle = box["y"] + box["height"] / 2
    page.mouse.move(place((now - low) / (high - low)), middle)
    page.mouse.down()
    page.mouse.move(place(share), middle, steps=steps)
    page.mouse.up()
    settled(page)


def number(page: Any, words: str, column: int = 1) -> str:
    """A cell of the table of numbers: 0 as loaded, 1 as altered."""
    found = page.locator(".numbers tr", has=page.locator(f"th:text-is('{words}')")).first
    return str(found.locator("td").nth(column).inner_text())


def reason_of(*overrides: str, name: str = "meadow-jet") -> str:
    scenario = with_overrides(load_scenario(name), list(overrides))
    return quick_report(prepare(scenario)).reason.text(formatter("si"))


def test_a_slider_that_is_dragged_takes_the_roll_along(page: Any, meadow: int) -> None:
    opened(page, meadow)
    assert page.locator(".outcome .reason").inner_text() == reason_of()
    assert page.locator(".aeroplane").count() == 1
    drag(page, THRUST, 0.6)
    text = field(page, THRUST).input_value()
    assert 27.0 < float(text.split()[0]) < 32.0
    assert page.locator(".outcome .reason").inner_text() == reason_of(f"{THRUST}={text}")
    assert page.locator(".aeroplane").count() == 2  # as loaded beside as altered
    assert "earlier" in page.locator(".moved").inner_text()
    assert number(page, "nose wheel off at", 0) == "44.0 m"
    assert float(number(page, "nose wheel off at").split()[0]) < 40.0


def test_dragged_hard_it_ends_with_the_last_place(page: Any, meadow: int) -> None:
    asked: list[str] = []
    page.on("request", lambda r: asked.append(r.url) if r.url.endswith("/answer") else None)
    opened(page, meadow)
    for share in (0.9, 0.3):
        drag(page, STATION, share, steps=50)
    text = field(page, STATION).input_value()
    assert page.locator(".outcome .reason").inner_text() == reason_of(f"{STATION}={text}")
    assert len(asked) < 60  # of a hundred moves


def test_by_keyboard_alone(page: Any, meadow: int) -> None:
    opened(page, meadow)
    field(page, THRUST).focus()
    page.keyboard.press("Tab")
    page.keyboard.press("ArrowRight")
    settled(page)
    assert field(page, THRUST).input_value() == "21.2 N"
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")  # as loaded
    settled(page)
    assert field(page, THRUST).input_value() == "21.0 N"
    assert page.evaluate("document.activeElement.type") == "range"
    assert page.locator(".aeroplane").count() == 1


def test_a_bad_value_is_told_beside_the_field_and_the_picture_stays(page: Any, meadow: int) -> None:
    opened(page, meadow)
    type_in(page, THRUST, "28 N")
    picture = page.locator("#replay").inner_html()
    type_in(page, THRUST, "28 kg")
    with pytest.raises(ScenarioError) as wrong:
        with_overrides(load_scenario("meadow-jet"), [f"{THRUST}=28 kg"])
    (problem,) = wrong.value.problems
    told = Problem(problem.key, problem.given, problem.allowed, problem.nearest).text()
    assert row(page, THRUST).locator(".problem").inner_text() == told
    assert field(page, THRUST).get_attribute("aria-invalid") == "true"
    assert page.locator("#replay").inner_html() == picture
    assert not axe(page)
    type_in(page, THRUST, "30 N")
    assert row(page, THRUST).locator(".problem").inner_text() == ""
    assert page.locator("#replay").inner_html() != picture


def test_a_link_brings_the_same_state_back(page: Any, meadow: int) -> None:
    opened(page, meadow)
    type_in(page, THRUST, "26 N")
    type_in(page, STATION, "64 cm")
    page.wait_for_timeout(400)
    link = page.url
    before = page.locator(".outcome").inner_text()
    page.reload()
    page.wait_for_selector("html[data-answered]")
    assert field(page, STATION).input_value() == "64 cm"
    assert page.locator(".outcome").inner_text() == before
    page.goto("about:blank")
    opened(page, meadow, link[link.index("#") :])
    assert page.locator(".outcome").inner_text() == before
    page.click("text=All as loaded")
    settled(page)
    assert field(page, STATION).input_value() == "655 mm"
    assert page.locator(".aeroplane").count() == 1


def test_a_link_with_a_key_that_has_no_slider_is_told(page: Any, meadow: int) -> None:
    opened(page, meadow, "#power.propeller.table=x&with=no-such-change")
    told = page.locator(".trouble").inner_text()
    assert "power.propeller.table" in told and "no-such-change" in told


def test_a_ticked_change_is_laid_over(page: Any, workshop: int) -> None:
    opened(page, workshop)
    boxes = page.locator(".change input")
    assert boxes.count() == 8
    boxes.first.focus()
    page.keyboard.press("Space")
    settled(page)
    assert page.locator(".aeroplane").count() == 2
    page.wait_for_timeout(400)
    assert "with=" in page.url
    boxes.first.uncheck()
    settled(page)
    assert page.locator(".aeroplane").count() == 1


def test_a_saved_file_is_what_was_seen(page: Any, tmp_path: Path) -> None:
    with serving(make_bench(str(scenario_file(tmp_path)))) as port:
        opened(page, port)
        type_in(page, THRUST, "27 N")
        page.fill("#name", "strong.toml")
        page.click("text=Save as scenario")
        page.wait_for_selector(".saved:has-text('Saved: strong.toml')")
        saved = load_scenario(tmp_path / "strong.toml")
        assert saved.power == load_scenario("meadow-jet", [f"{THRUST}=27 N"]).power
        page.click("text=Save as scenario")
        page.wait_for_selector(".saved:has-text('there already')")
        page.fill("#name", "../up.toml")
        page.press("#name", "Enter")
        page.wait_for_selector(".saved:has-text('plain name')")
        page.goto("about:blank")
        assert len(forgive(page)) == 2  # the browser notes refusals, and nothing else
    assert not (tmp_path.parent / "up.toml").exists()


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("window", [PHONE, DESKTOP])
def test_no_barriers_on_any_screen(
    page: Any, workshop: int, window: tuple[int, int], scheme: str
) -> None:
    page.set_viewport_size(size(window))
    page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
    opened(page, workshop, "#power.bench.thrust=30+N")
    page.wait_for_selector(".stations")
    assert axe(page) == []
    assert overhang(page) == 0


def test_without_the_program_the_picture_stays_until_it_is_back(page: Any, meadow: int) -> None:
    opened(page, meadow)
    picture = page.locator("#replay").inner_html()
    page.context.set_offline(True)
    field(page, THRUST).fill("27 N")
    field(page, THRUST).press("Enter")
    page.wait_for_selector(".trouble:has-text('still running')")
    assert page.locator("#replay").inner_html() == picture
    page.context.set_offline(False)
    forgive(page)
    type_in(page, THRUST, "28 N")
    assert page.locator(".trouble").inner_text() == ""
    assert page.locator(".outcome .reason").inner_text() == reason_of(f"{THRUST}=28 N")


def test_two_tabs_do_not_disturb_each_other(page: Any, meadow: int) -> None:
    opened(page, meadow)
    other = opened(page.context.new_page(), meadow)
    for share in (0.9, 0.7):
        drag(page, THRUST, share, steps=4)
        drag(other, STATION, 1.0 - share, steps=4)
    text, others = field(page, THRUST).input_value(), field(other, STATION).input_value()
    assert page.locator(".outcome .reason").inner_text() == reason_of(f"{THRUST}={text}")
    assert other.locator(".outcome .reason").inner_text() == reason_of(f"{STATION}={others}")


def test_words_of_a_scenario_stay_words(page: Any, tmp_path: Path) -> None:
    mine = make_bench(str(scenario_file(tmp_path)))
    bad = replace(mine, loaded=replace(mine.loaded, title=BREAKS_OUT))
    with serving(bad) as port:
        opened(page, port)
        assert page.locator("#title").inner_text().startswith("Tinkering: </script>")
        assert page.evaluate("window.broken") is None
