"""Wheel size: limits, signs and worked numbers of the law, and its way through a scenario."""

import inspect
import re

import pytest

from sim.prepare import prepare
from sim.range import Range
from sim.scenario import ScenarioError, load_scenario
from sim.strip import wheels
from sim.strip.surface import SURFACES, sinkage_resistance
from sim.strip.wheels import (
    FIRM,
    common_diameter,
    measured_resistance,
    resized_resistance,
    rut_resistance,
    surface_resistance,
)


def taken(*overrides: str) -> tuple[float, float, tuple[str, ...]]:
    """Friction of mains (70 mm) and nose wheel (65 mm), and the notes."""
    ready = prepare(load_scenario("meadow-jet", list(overrides)))
    p = ready.setup.parameters
    return p.main_friction, p.nose_friction, ready.notes


def test_worked_numbers() -> None:
    assert resized_resistance(0.13, 0.035, 0.075, 0.070) == pytest.approx(0.1333, abs=5e-5)
    assert resized_resistance(0.13, 0.035, 0.075, 0.6) == pytest.approx(0.0686, abs=5e-5)
    assert common_diameter(0.070, 0.065, 0.8) == pytest.approx(0.06896, abs=1e-5)


def test_a_larger_wheel_rolls_better_down_to_firm_ground_never_below() -> None:
    sizes = (0.04, 0.06, 0.075, 0.09, 0.2, 1.0, 1e6)
    found = [resized_resistance(0.13, 0.035, 0.075, size) for size in sizes]
    assert found == sorted(found, reverse=True)
    assert found[2] == 0.13
    assert found[-1] == pytest.approx(0.035, abs=1e-4) and found[-1] > 0.035


def test_what_rolls_as_on_firm_ground_has_no_rut_to_account_for() -> None:
    assert resized_resistance(0.02, 0.035, 0.075, 0.04) == 0.02
    with pytest.raises(ValueError, match="positive"):
        resized_resistance(0.1, 0.03, 0.0, 0.07)


def test_the_law_is_the_sinkage_law_with_the_same_rut() -> None:
    """A rut of 2 mm under 60 mm, taken to 100 mm, is the rut of 2 mm under 100 mm."""
    small, large = (sinkage_resistance(0.035, 0.002, d) for d in (0.06, 0.10))
    assert resized_resistance(small, 0.035, 0.06, 0.10) == pytest.approx(large, rel=1e-12)


@pytest.mark.parametrize("name", SURFACES)
@pytest.mark.parametrize("diameter", [0.02, 0.06, 0.2, 1.0])
def test_ranges_stay_in_order_and_above_pavement(name: str, diameter: float) -> None:
    span = surface_resistance(name, diameter)
    assert span.low < span.typical < span.high
    assert span.low >= FIRM.low and span.typical >= FIRM.typical and span.high >= FIRM.high


def test_pavement_is_the_same_for_every_wheel() -> None:
    assert surface_resistance("pavement", 0.03) == surface_resistance("pavement", 0.3) == FIRM


def test_measured_values_keep_their_order_where_they_straddle_firm_ground() -> None:
    span = measured_resistance(Range(0.02, 0.036, 0.05), 0.10, 0.05)
    assert span.low == 0.02 and span.low < span.typical < span.high
    assert measured_resistance(Range(0.1, 0.1, 0.1), 0.06, 0.09).low < 0.1
    assert measured_resistance(Range(0.1, 0.1, 0.1), None, 0.09).low == 0.1


def test_one_wheel_for_both_axles_carries_the_same_sum() -> None:
    main, nose, share, firm, value = 0.07, 0.05, 0.7, 0.035, 0.15
    one = common_diameter(main, nose, share)
    each = (resized_resistance(value, firm, one, d) for d in (main, nose))
    assert share * next(each) + (1 - share) * next(each) == pytest.approx(value, rel=1e-12)
    assert nose < one < main


def test_each_axle_by_its_own_wheel() -> None:
    main, nose, notes = taken()
    assert main == pytest.approx(0.035 + 0.095 * (75 / 70) ** 0.5, rel=1e-12)
    assert nose == pytest.approx(0.035 + 0.095 * (75 / 65) ** 0.5, rel=1e-12)
    (note,) = [n for n in notes if n.startswith("wheel size")]
    assert "order of magnitude" in note and "mains 0.133, nose wheel 0.137" in note


def test_wheels_alike_are_told_once() -> None:
    (note,) = [
        n
        for n in taken("aeroplane.gear.nose.wheel_diameter=70 mm")[2]
        if n.startswith("wheel size")
    ]
    assert "nose wheel" not in note and "0.133 taken" in note


def test_coefficients_tell_both_axles() -> None:
    ready = prepare(load_scenario("meadow-jet"))
    p = ready.setup.parameters
    assert ready.coefficients["rolling_resistance"] == p.main_friction
    assert ready.coefficients["rolling_resistance_nose"] == p.nose_friction


def test_a_rut_takes_the_place_of_the_surface() -> None:
    main, nose, notes = taken("strip.sinkage=2 mm")
    assert main == pytest.approx(0.035 + 0.8 * (2 / 70) ** 0.5, rel=1e-12)
    assert nose == pytest.approx(0.035 + 0.8 * (2 / 65) ** 0.5, rel=1e-12)
    assert rut_resistance(0.002, 0.07).low == pytest.approx(main - 0.035 + 0.02)
    assert any("order of magnitude" in n for n in notes)


def test_a_rut_deeper_than_the_formula_is_told_and_beyond_the_radius_refused() -> None:
    assert any("sixth" in n for n in taken("strip.sinkage=12 mm")[2])
    with pytest.raises(ScenarioError) as wrong:
        taken("strip.sinkage=33 mm")
    (problem,) = wrong.value.problems
    assert problem.key == "strip.sinkage" and "10.83 mm" in problem.allowed


def test_measured_with_these_wheels_needs_no_change() -> None:
    assert taken("strip.rolling_resistance=0.13")[:2] == (0.13, 0.13)
    main, nose, _ = taken("strip.rolling_resistance=0.13", "strip.measured_with=70 mm")
    assert main == 0.13 and nose == pytest.approx(0.035 + 0.095 * (70 / 65) ** 0.5)


def test_measured_with_smaller_wheels_was_more() -> None:
    assert taken("strip.rolling_resistance=0.13", "strip.measured_with=50 mm")[0] < 0.13


@pytest.mark.parametrize(
    ("overrides", "word"),
    [
        (("strip.sinkage=1 mm", "strip.rolling_resistance=0.1"), "strip.sinkage is left aside"),
        (("strip.sinkage=1 mm", "strip.surface=pavement"), "pavement keeps no rut"),
        (("strip.measured_with=70 mm",), "strip.measured_with is left aside"),
    ],
)
def test_what_is_left_aside_is_told(overrides: tuple[str, ...], word: str) -> None:
    notes = taken(*overrides)[2]
    assert any(word in note for note in notes), notes


@pytest.mark.parametrize("key", ["sinkage", "measured_with"])
@pytest.mark.parametrize("given", ["-1 mm", "2", "5 m", "3 kg"])
def test_lengths_that_are_none(key: str, given: str) -> None:
    with pytest.raises(ScenarioError) as wrong:
        load_scenario("meadow-jet", [f"strip.{key}={given}"])
    assert [p.key for p in wrong.value.problems] == [f"strip.{key}"]


def test_formulas_say_what_they_need() -> None:
    for name, function in inspect.getmembers(wheels, inspect.isfunction):
        if function.__module__ == wheels.__name__ and "sqrt" in (function.__doc__ or ""):
            text = function.__doc__ or ""
            assert re.search(r"\[(-|m)\]", text) and re.search(r"gives?\b", text), name
            assert re.search(r"Bekker|derivation", text), name
