"""The CG of a scenario that has a weighing in its place: a slider all the same, told as it is."""

from pathlib import Path

import pytest

from sim.prepare import prepare
from sim.scenario import load_scenario
from sim.show.tinker.answer import Bench, answer, make_bench, opening
from sim.show.tinker.balance import STATION
from sim.show.tinker.saving import save_state
from sim.show.tinker.state import State
from tests.tinker import STATION as MAINS

LEVEL = '[aeroplane.weighing]\nnose = "0.45 kg"\nmains = "2.9 kg"\n'
TILTED = LEVEL + 'tilted = { nose = "0.36 kg", angle = "12 deg" }\n'


def weighed(folder: Path, weighing: str = LEVEL) -> Bench:
    path = folder / "weighed.toml"
    path.write_text(f'extends = "meadow-jet"\n{weighing}', encoding="utf-8")
    return make_bench(str(path))


def station_of(bench: Bench) -> float:
    masses = bench.report.prepared.masses
    assert masses is not None
    return masses.base.station


def test_the_slider_says_what_it_takes_the_place_of(tmp_path: Path) -> None:
    of = weighed(tmp_path)
    (slider,) = (one for one in of.sliders if one.knob.key == STATION)
    assert "in place of the weighing" in slider.words
    # the axles are 445 mm apart; 0.45 of 3.35 kg stand on the nose wheel
    assert slider.value == pytest.approx(655.0 - 445.0 * 0.45 / 3.35)
    assert opening(of)["places"][STATION] == pytest.approx(slider.value, abs=0.01)
    assert slider.low < slider.value < slider.high


@pytest.mark.parametrize("weighing", [LEVEL, TILTED])
def test_at_the_station_that_was_weighed_the_roll_is_the_same(
    tmp_path: Path, weighing: str
) -> None:
    of = weighed(tmp_path, weighing)
    found = answer(of, State(values={STATION: f"{station_of(of)!r} m"}))
    assert found["story"]["columns"] == opening(of)["story"]["columns"]
    keys = {row["key"]: row["after"] for row in found["keys"]}
    assert keys["aeroplane.weighing.nose"] == "not given"
    assert keys["aeroplane.mass"] == "3.35 kg"


def test_it_moves_and_can_be_saved(tmp_path: Path) -> None:
    of = weighed(tmp_path, TILTED)
    state = State(values={STATION: "580 mm", MAINS: "640 mm"})
    seen = prepare(of.altered(state))
    assert seen.masses is not None and of.report.prepared.masses is not None
    assert seen.masses.base.station == pytest.approx(0.58)
    assert seen.masses.base.mass == of.report.prepared.masses.base.mass
    height = of.report.prepared.masses.base.height
    assert seen.masses.base.height == height != pytest.approx(0.004)  # as in meadow-jet
    again = prepare(load_scenario(save_state(of, state, "moved.toml")))
    assert again.setup.parameters == seen.setup.parameters


def test_a_bad_station_is_told_at_its_key_alone(tmp_path: Path) -> None:
    found = answer(weighed(tmp_path), State(values={STATION: "wide"}))
    assert [problem["key"] for problem in found["problems"]] == [STATION]
