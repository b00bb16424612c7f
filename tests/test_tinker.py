"""The live page without a server: state -> scenario -> answer, files saved."""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sim.prepare import prepare
from sim.report import Report, build_report
from sim.roll.result import simulate_many
from sim.scenario import ScenarioError, load_scenario, with_changes, with_overrides
from sim.scenario.problems import Problem
from sim.show.compare import Named
from sim.show.compare_words import lines
from sim.show.files import OutputError
from sim.show.replay.story import story
from sim.show.tinker.answer import answer, make_bench, opening
from sim.show.tinker.quick import LIVE, quick_report
from sim.show.tinker.saving import save_state
from sim.show.tinker.sliders import WORDS, places, sliders_of
from sim.show.tinker.state import Question, State
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
    assert "pilot.pull_at" in electric and "pilot.pull_at" not in given  # its pull moves nothing


def test_mass_and_cg_are_told_with_what_the_changes_bring() -> None:
    of = bench("workshop")
    state = State(values={"aeroplane.cg.station": "560 mm"}, changes=["long-nose-leg"])
    told = {line["words"]: line for line in answer(of, state)["lines"]}
    masses = prepare(of.altered(state)).masses
    assert masses is not None and masses.total.station != pytest.approx(0.56, abs=1e-5)
    assert told["mass, changes included"]["after"] == f"{masses.total.mass:.2f} kg"
    assert told["CG, station, changes included"]["after"] == f"{1e3 * masses.total.station:.0f} mm"
    (cg,) = (slider for slider in of.sliders if slider.knob.key == "aeroplane.cg.station")
    assert "without the changes" in cg.words


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


def test_the_knobs_of_all_sliders_are_keys_of_a_scenario() -> None:
    scenario = load_scenario("meadow-jet")
    assert all(knob_of(scenario, key).key == key for key in WORDS)
