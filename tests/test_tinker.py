"""The live page without a server: state -> scenario -> answer, files saved, the newest first."""

import asyncio
import json
import multiprocessing
import threading
import time
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sim.prepare import prepare
from sim.report import Report, build_report
from sim.roll.block import batch_of
from sim.roll.quasi_static import one_block, search_speeds
from sim.roll.result import simulate_many, simulate_setup
from sim.roll.trace import build_trace
from sim.scenario import ScenarioError, load_scenario, with_changes, with_overrides
from sim.scenario.problems import Problem
from sim.show.compare import Named
from sim.show.compare_words import lines
from sim.show.files import OutputError
from sim.show.replay.story import story
from sim.show.tinker.answer import answer, make_bench, opening
from sim.show.tinker.newest import Newest
from sim.show.tinker.quick import LIVE, quick_report
from sim.show.tinker.saving import save_state
from sim.show.tinker.sliders import WORDS, places, sliders_of
from sim.show.tinker.state import Question, State
from sim.show.tinker.window import WindowMaker
from sim.show.units import formatter
from sim.study.knobs import knob_of
from sim.study.usual_range import usual_range
from tests.tinker import STATION, THRUST, bench, scenario_file

ROLLS = ("meadow-jet", "long-grass", "mains-far-aft", "tail-strike", "workshop", "small-tail")


def careful(name: str) -> Report:
    return build_report(prepare(load_scenario(name)), with_advice=False)


@pytest.mark.parametrize("name", ROLLS)
def test_a_quick_report_shows_the_digits_of_any_other(name: str) -> None:
    slow = careful(name)
    quick = quick_report(slow.prepared)
    assert quick.result.verdict == slow.result.verdict
    assert quick.reason.text(formatter("si")) == slow.reason.text(formatter("si"))
    rows = lines(Named("careful", slow), Named("quick", quick))
    assert len(rows) > 8
    assert [row.after for row in rows] == [row.before for row in rows]
    one, other = story(quick), story(slow)
    columns, same = one.pop("columns"), other.pop("columns")
    assert columns.keys() == same.keys()
    for key in columns:  # at most a digit rounded the other way
        np.testing.assert_allclose(columns[key], same[key], atol=1.01e-3, err_msg=key)
    parts, alike = one.pop("balance"), other.pop("balance")
    assert [part["name"] for part in parts] == [part["name"] for part in alike]
    for part, twin in zip(parts, alike, strict=True):
        np.testing.assert_allclose(part["moment"], twin["moment"], atol=1.01e-4)
    assert one == other


@pytest.mark.parametrize("name", ["mains-far-aft", "small-tail-flaps", "wheelbarrow"])
def test_verdicts_along_the_sliders_are_those_of_any_other_roll(name: str) -> None:
    of = bench(name)
    setups = []
    for slider in of.sliders:
        if slider.knob.key.startswith("aeroplane.gear"):
            continue  # each place a lattice of its own: what differs is the same kind of roll
        for place in np.linspace(slider.low, slider.high, 9):
            text = f"{place:.{slider.decimals}f} {slider.unit}".strip()
            setups.append(prepare(of.altered(State(values={slider.knob.key: text}))).setup)
    quick, slow = simulate_many(setups, LIVE), simulate_many(setups)
    assert len(set(slow.verdicts)) >= 3
    assert quick.verdicts == slow.verdicts


def test_steps_sampled_together_give_the_rows_of_steps_sampled_alone() -> None:
    setup = prepare(load_scenario("meadow-jet")).setup
    many = simulate_many([setup], keep=(0,))
    rows = simulate_setup(setup).trace
    assert rows is not None
    steps = [step for step in many.outcome.kept[0] if step.size > 0.0]
    alone = [build_trace(many.batch, 0, [step]) for step in steps]
    assert np.array_equal(rows.phase, np.concatenate([one.phase for one in alone]))
    for name in rows.columns:
        column = np.concatenate([one[name] for one in alone])
        np.testing.assert_allclose(rows[name], column, rtol=1e-12, atol=1e-12, err_msg=name)


@pytest.mark.parametrize("lanes", [1, 3, 2500])
def test_speeds_are_the_same_however_many_lanes_are_searched(lanes: int) -> None:
    """More lanes are worked on with fewer speeds at once; no digit depends on it."""
    names = ["meadow-jet", "wheelbarrow", "tail-stall", "small-tail-flaps", "textbook-rotation"]
    batch = batch_of([prepare(load_scenario(name)).setup for name in names])
    which = np.arange(lanes) % len(names)
    dropped = which % 2 == 0
    found = search_speeds(one_block(batch, which), dropped)
    for i in range(min(lanes, len(names))):
        alone = search_speeds(one_block(batch, which[i : i + 1]), dropped[i : i + 1])
        for name, speed in vars(alone).items():
            alike = getattr(found, name)[i :: len(names)]
            np.testing.assert_array_equal(alike, np.broadcast_to(speed, alike.shape))


def test_a_slider_for_every_key_a_builder_changes() -> None:
    keys = bench().keys
    asked = {
        STATION, THRUST, "aeroplane.gear.ground_attitude", "aeroplane.wing.flaps.deflection",
        "aeroplane.tail.throw.up", "strip.rolling_resistance", "aeroplane.cg.station",
        "pilot.pull_at", "air.headwind",
    }  # fmt: skip
    assert set(keys) == asked
    assert [key for key in WORDS if key in keys] == list(keys)


def test_sliders_go_where_find_would_look() -> None:
    scenario = load_scenario("meadow-jet")
    for slider in bench().sliders:
        if slider.knob.key in (STATION, THRUST, "air.headwind", "pilot.pull_at"):
            ends = usual_range(scenario, slider.knob)
            shown = [slider.knob.display(end).value for end in ends]
            assert [slider.low, slider.high] == pytest.approx(shown, abs=1.01 * slider.step)


def test_sliders_of_an_aeroplane_of_given_coefficients_and_of_electric_power() -> None:
    given, electric = bench("textbook-rotation").keys, bench("workshop").keys
    assert STATION in given and "aeroplane.wing.flaps.deflection" not in given
    assert "power.bench.thrust" in electric and THRUST not in electric


def test_places_follow_what_is_altered() -> None:
    scenario = with_overrides(load_scenario("meadow-jet"), ["aeroplane.gear.ground_attitude=2 deg"])
    prepared = prepare(scenario)
    found = places(bench().sliders, scenario, prepared)
    assert found["aeroplane.gear.ground_attitude"] == pytest.approx(2.0)
    again = sliders_of(scenario, prepared)
    assert len(again) == len(bench().sliders)


def test_an_answer_is_the_roll_of_the_altered_scenario() -> None:
    found = answer(bench(), State(values={THRUST: "28 N", STATION: "64 cm"}))
    scenario = with_overrides(load_scenario("meadow-jet"), [f"{THRUST}=28 N", f"{STATION}=64 cm"])
    told = story(quick_report(prepare(scenario)))
    assert found["story"] == told | {"title": "As altered"}
    assert {row["key"]: (row["before"], row["after"]) for row in found["keys"]} == {
        STATION: ("655 mm", "640 mm"), THRUST: ("21 N", "28 N"),
    }  # fmt: skip
    assert found["places"][THRUST] == pytest.approx(28.0)
    assert "earlier" in found["headline"]
    json.dumps(found, allow_nan=False)


def test_ticked_changes_lie_under_the_keys() -> None:
    workshop = bench("workshop")
    names = [change["name"] for change in opening(workshop)["changes"]]
    assert len(names) == 8
    state = State(values={"air.headwind": "2 m/s"}, changes=names[:1])
    found = workshop.altered(state)
    wanted = with_changes(load_scenario("workshop"), names[:1])
    assert found == with_overrides(wanted, ["air.headwind=2 m/s"])


@pytest.mark.parametrize("text", ["", "wide", "655", "12 kg", "-9 km", "1e999 mm", "6,5 mm"])
def test_a_bad_value_is_told_as_a_file_would_be(text: str, tmp_path: Path) -> None:
    found = answer(bench(), State(values={STATION: text}))
    path = tmp_path / "bad.toml"
    path.write_text(
        f'extends = "meadow-jet"\n[aeroplane.gear.main]\nstation = {json.dumps(text)}\n'
    )
    with pytest.raises(ScenarioError) as wrong:
        load_scenario(path)
    if text in ("", "655"):  # a bare number is one on a command line and here
        assert [p["key"] for p in found["problems"]] == [STATION]
        return
    told = [Problem(p.key, p.given, p.allowed, p.nearest).text() for p in wrong.value.problems]
    assert [p["text"] for p in found["problems"]] == told
    assert [p["key"] for p in found["problems"]] == [STATION]


@pytest.mark.parametrize(
    "state",
    [
        State(values={"power.propeller.table": "/etc/passwd"}),
        State(values={"title": "x"}),
        State(values={"extends": "long-grass"}),
        State(changes=["workshop:longer-leg"]),
        State(changes=["/etc/passwd:root"]),
    ],
)
def test_a_page_can_name_no_file_and_no_other_key(state: State) -> None:
    found = answer(bench(), state)
    assert len(found["problems"]) == 1
    assert (
        "slider" in found["problems"][0]["text"] or "this scenario" in found["problems"][0]["text"]
    )


def test_messages_are_strict() -> None:
    good = {"tab": "a1", "number": 1, "state": {"values": {THRUST: "21 N"}, "changes": []}}
    assert Question.model_validate_json(json.dumps(good), strict=True).number == 1
    bad: list[dict[str, Any]] = [
        good | {"number": "1"}, good | {"number": -1}, good | {"number": 1.5}, good | {"more": 1},
        good | {"tab": "A/.."}, good | {"tab": "a" * 33}, good | {"state": {"values": {"k": 1}}},
        good | {"state": {"values": {"k": "v" * 201}}}, good | {"state": None},
        good | {"state": {"values": {f"k{i}": "" for i in range(41)}}},
        good | {"state": {"changes": "abc"}}, good | {"state": {"changes": ["x"] * 61}},
    ]  # fmt: skip
    for message in bad:
        with pytest.raises(ValueError):
            Question.model_validate_json(json.dumps(message), strict=True)


def test_what_is_saved_is_what_was_seen(tmp_path: Path) -> None:
    mine = make_bench(str(scenario_file(tmp_path, title="Mine")))
    state = State(values={THRUST: "26.5 N", "aeroplane.gear.ground_attitude": "1.5 deg",
                          "strip.rolling_resistance": "0.11", "pilot.pull_at": "22 m"})  # fmt: skip
    target = save_state(mine, state, "better.toml")
    assert target == tmp_path / "better.toml"
    assert 'extends = "mine.toml"' in target.read_text()
    saved, seen = load_scenario(target), mine.altered(state)
    assert prepare(saved).setup.parameters == prepare(seen).setup.parameters
    assert saved.title == "Mine, altered"


def test_ticked_changes_are_saved_with_their_masses(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    workshop = bench("workshop")
    for number, name in enumerate(workshop.loaded.changes):
        state = State(changes=[name], values={"air.headwind": "1 m/s"})
        target = save_state(workshop, state, f"with-{number}.toml")
        again = quick_report(prepare(load_scenario(target)))
        seen = quick_report(prepare(workshop.altered(state)))
        assert story(again)["columns"] == story(seen)["columns"]


@pytest.mark.parametrize(
    "name",
    ["../up.toml", "/tmp/x.toml", "a/b.toml", "a\\b.toml", ".hidden.toml", "x", "x.toml.txt", "",
     "x.toml\n", "nul\0.toml", "C:x.toml", "-x.toml", "ä.toml", f"{'x' * 80}.toml"],
)  # fmt: skip
def test_only_a_plain_name_is_written(name: str, tmp_path: Path) -> None:
    mine = make_bench(str(scenario_file(tmp_path)))
    before = sorted(tmp_path.rglob("*"))
    with pytest.raises(OutputError, match="plain name"):
        save_state(mine, State(values={THRUST: "22 N"}), name)
    assert sorted(tmp_path.rglob("*")) == before


def test_nothing_is_ever_replaced(tmp_path: Path) -> None:
    path = scenario_file(tmp_path)
    mine = make_bench(str(path))
    (tmp_path / "link.toml").symlink_to(tmp_path / "elsewhere.toml")
    before = path.read_bytes()
    for name in ("mine.toml", "link.toml"):
        with pytest.raises(OutputError, match="there already"):
            save_state(mine, State(values={THRUST: "22 N"}), name)
    assert path.read_bytes() == before and not (tmp_path / "elsewhere.toml").exists()


def test_a_burst_of_questions_gets_few_answers_the_last_one_right() -> None:
    done: list[int] = []

    def work(job: int) -> int:
        time.sleep(0.002)
        done.append(job)
        return 10 * job

    async def burst() -> list[int | None]:
        line: Newest[int, int] = Newest(work)
        asked = []
        for number in range(500):
            asked.append(asyncio.create_task(line.ask("a", number, number)))
            if number % 50 == 0:
                await asyncio.sleep(0.003)
        found = await asyncio.gather(*asked)
        assert not line._waiting
        line.close()
        return list(found)

    found = asyncio.run(burst())
    assert found[-1] == 4990
    answered = [answer for answer in found if answer is not None]
    assert len(answered) == len(done) < 30
    assert answered == sorted(answered)


def test_no_page_starves_another_and_late_numbers_are_dropped() -> None:
    order: list[str] = []
    gate = threading.Event()

    def work(job: str) -> str:
        gate.wait(5.0)
        order.append(job)
        return job

    async def two_pages() -> None:
        line: Newest[str, str] = Newest(work)
        first = [asyncio.create_task(line.ask("a", n, f"a{n}")) for n in range(3)]
        await asyncio.sleep(0.01)
        other = asyncio.create_task(line.ask("b", 0, "b0"))
        await asyncio.sleep(0.01)
        more = [asyncio.create_task(line.ask("a", n, f"a{n}")) for n in (5, 4)]
        await asyncio.sleep(0.01)
        gate.set()
        assert await other == "b0"
        assert [await task for task in more] == ["a5", None]
        assert [await task for task in first][:2] == [None, None]
        line.close()

    asyncio.run(two_pages())
    assert order.index("b0") < order.index("a5")


def test_a_question_that_fails_does_not_stop_the_line() -> None:
    def work(job: int) -> int:
        return 1 // job

    async def ask() -> None:
        line: Newest[int, int] = Newest(work)
        with pytest.raises(ZeroDivisionError):
            await line.ask("a", 1, 0)
        assert await line.ask("a", 2, 1) == 1
        line.close()

    asyncio.run(ask())


def test_pages_long_gone_are_forgotten() -> None:
    async def ask() -> None:
        line: Newest[int, int] = Newest(lambda job: job)
        for page in range(600):
            await line.ask(str(page), 1, page)
        assert len(line._numbers) <= 256
        line.close()

    asyncio.run(ask())


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


def test_the_knobs_of_all_sliders_are_keys_of_a_scenario() -> None:
    scenario = load_scenario("meadow-jet")
    assert all(knob_of(scenario, key).key == key for key in WORDS)


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
