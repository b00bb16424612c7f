"""Keys that can be turned: how they are read, refused, written back."""

import pickle

import pytest

import sim
from sim.scenario.unit_table import DIMENSIONS
from sim.scenario.units import parse_quantity
from sim.study.knobs import SI_UNITS, current_value, knob_of, turnable


@pytest.fixture(scope="module")
def meadow() -> sim.Scenario:
    return sim.load_scenario("meadow-jet")


@pytest.mark.parametrize(
    ("key", "text", "value", "form"),
    [
        ("aeroplane.mass", "3200 g", 3.2, "number"),
        ("aeroplane.cg.station", "560 mm", 0.56, "number"),
        ("strip.slope", "2 %", 0.02, "number"),
        ("air.temperature", "18 degC", 291.15, "number"),
        ("pilot.pull", "0.8", 0.8, "number"),
        ("pilot.pull", 0.8, 0.8, "number"),
        ("pilot.pull_at", "20 m", 20.0, "place"),
        ("pilot.pull_at", "12 m/s", 12.0, "airspeed"),
        ("pilot.pull_at", "3 s", 3.0, "time"),
        ("strip.rolling_resistance", "0.13", 0.13, "resistance"),
        ("strip.surface", "high", 1.0, "surface"),
        ("strip.surface", "-0.5", -0.5, "surface"),
        ("power.battery.cells", "6", 6.0, "whole"),
    ],
)
def test_a_text_becomes_an_si_number(
    meadow: sim.Scenario, key: str, text: object, value: float, form: str
) -> None:
    knob = knob_of(meadow, key, text)
    assert knob.form == form
    assert knob.read(text) == pytest.approx(value, rel=1e-15)
    assert pickle.loads(pickle.dumps(knob)) == knob


def test_a_trigger_without_a_sample_is_of_the_kind_it_has_now(meadow: sim.Scenario) -> None:
    assert knob_of(meadow, "pilot.pull_at").form == "place"
    by_time = sim.with_overrides(meadow, ["pilot.pull_at=3 s"])
    assert knob_of(by_time, "pilot.pull_at").form == "time"
    with pytest.raises(sim.ScenarioError, match=r'"3 s".*a place like the others'):
        knob_of(meadow, "pilot.pull_at").read("3 s")
    with pytest.raises(sim.ScenarioError, match="an airspeed like the others"):
        knob_of(meadow, "pilot.pull_at", "12 m/s").read("20 m")


@pytest.mark.parametrize(
    ("key", "sample", "words"),
    [
        ("aeroplane.mas", None, "nearest: aeroplane.mass"),
        ("mass", "3 kg", "nearest: aeroplane.mass"),
        ("gear.main.station", None, "nearest: aeroplane.gear.main.station"),
        ("power.points.thrust", None, "holds one number"),
        ("power.kind", None, "holds one number"),
        ("pilot.pull_at", "3 kg", "a place"),
        ("pilot.abort_at", "3 s", "a place"),
    ],
)
def test_what_cannot_be_turned_is_refused_with_the_nearest(
    meadow: sim.Scenario, key: str, sample: object, words: str
) -> None:
    with pytest.raises(sim.ScenarioError) as caught:
        knob_of(meadow, key, sample)
    assert words in str(caught.value)


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("aeroplane.mass", "3.2"),
        ("aeroplane.mass", "3.2 N"),
        ("aeroplane.mass", "1 g"),
        ("strip.surface", "highest"),
        ("strip.surface", "2"),
        ("power.battery.cells", "6.5"),
        ("strip.rolling_resistance", "3"),
    ],
)
def test_a_value_the_key_does_not_take_is_refused(
    meadow: sim.Scenario, key: str, text: str
) -> None:
    knob = knob_of(meadow, key)
    with pytest.raises(sim.ScenarioError, match=key):
        knob.read(text)


def test_bounds_are_those_of_the_key_and_ends_are_allowed(meadow: sim.Scenario) -> None:
    knob = knob_of(meadow, "aeroplane.mass")
    assert knob.checked(0.005) == 0.005
    for value in (0.00499, 2.1e5, float("nan"), float("inf")):
        with pytest.raises(sim.ScenarioError, match="from 5 g to 200000 kg"):
            knob.checked(value)
    with pytest.raises(sim.ScenarioError, match="whole"):
        knob_of(meadow, "power.battery.cells").checked(5.5)


def test_every_kind_of_quantity_can_be_written_back() -> None:
    assert set(SI_UNITS) == set(DIMENSIONS)
    for name, unit in SI_UNITS.items():
        if name == "bare":
            continue
        value = 0.37 if name == "fraction" else 290.7
        number = 100.0 * value if name == "fraction" else value
        assert parse_quantity(f"{number!r} {unit}", name) == pytest.approx(value, rel=1e-15), name


def test_a_value_written_back_is_read_as_the_same(meadow: sim.Scenario) -> None:
    for key in turnable():
        knob = knob_of(meadow, key, "12 m" if key.endswith((".at", "_at")) else None)
        value = 0.3 * knob.low + 0.7 * min(knob.high, knob.low + 3.7)
        if knob.form == "whole":
            value = 3.0
        assert knob.read(knob.text(value)) == pytest.approx(value, rel=1e-14), key


def test_the_present_value(meadow: sim.Scenario) -> None:
    found = {
        key: current_value(meadow, knob_of(meadow, key))
        for key in ("aeroplane.mass", "pilot.pull_at", "strip.surface", "pilot.gain")
    }
    assert found["aeroplane.mass"] == meadow.aeroplane.mass
    assert found["pilot.pull_at"] == meadow.pilot.pull_at.value
    assert found["strip.surface"] == 0.0 and found["pilot.gain"] is None
    other = knob_of(meadow, "pilot.pull_at", "3 s")
    assert current_value(meadow, other) is None


def test_values_are_shown_in_the_units_people_read(meadow: sim.Scenario) -> None:
    knob = knob_of(meadow, "air.temperature")
    assert knob.display(291.15).unit == "degC"
    assert knob.display(291.15).value == pytest.approx(18.0)
    station = knob_of(meadow, "aeroplane.cg.station")
    assert station.display(0.56).value == pytest.approx(560.0)
