"""A variant is the scenario anybody gets by laying the same texts over it."""

from dataclasses import fields
from pathlib import Path

import numpy as np
import pytest

import sim
from sim.prepare import prepare
from sim.roll.parameters import Parameters, Setup
from sim.study.knobs import knob_of
from sim.study.sources import Lane, Scenarios, variants_of
from sim.study.variants import base_for, variant

KINDS = [
    ("aeroplane.mass", "2.9 kg", "3.3 kg"),
    ("aeroplane.cg.station", "548 mm", "552 mm"),
    ("aeroplane.gear.main.station", "640 mm", "670 mm"),
    ("aeroplane.gear.nose.axle_height", "-125 mm", "-120 mm"),
    ("aeroplane.wing.sweep", "22 deg", "26 deg"),
    ("aeroplane.wing.section.max_lift", "0.95", "1.1"),
    ("aeroplane.tail.throw.up", "12 deg", "18 deg"),
    ("power.static_thrust", "22 N", "30 N"),
    ("strip.rolling_resistance", "0.09", "0.15"),
    ("air.headwind", "-1 m/s", "3 m/s"),
    ("air.temperature", "5 degC", "35 degC"),
    ("strip.slope", "-1 %", "2 %"),
    ("pilot.pull_at", "15 m", "25 m"),
    ("pilot.pull_at", "11 m/s", "14 m/s"),
    ("pilot.pull_at", "2 s", "3 s"),
    ("pilot.hold", "-0.3", "0.5"),
]


def same(one: Setup, other: Setup) -> None:
    """Equal to the last bit."""
    for field in fields(Parameters):
        assert getattr(one.parameters, field.name) == getattr(other.parameters, field.name), field
    assert np.array_equal(one.table.values, other.table.values)
    assert one.table.height_scale == other.table.height_scale
    assert (one.thrust_table is None) == (other.thrust_table is None)
    if one.thrust_table is not None and other.thrust_table is not None:
        assert np.array_equal(one.thrust_table.thrust, other.thrust_table.thrust)


@pytest.mark.parametrize(("key", "low", "high"), KINDS)
def test_a_variant_equals_the_text_laid_over(key: str, low: str, high: str) -> None:
    scenario = sim.load_scenario("meadow-jet")
    knob = knob_of(scenario, key, low)
    values = np.array([[knob.read(low)], [knob.read(high)]])
    source = variants_of(scenario, [knob], values)
    assert not source.base.strict
    lanes = list(source.task(0, 2).lanes())
    for text, row, lane in zip((low, high), values, lanes, strict=True):
        direct = sim.load_scenario("meadow-jet", [f"{key}={text}"])
        assert variant(source.base, row) == direct
        assert isinstance(lane, Lane)
        same(lane.setup, prepare(direct).setup)


def test_the_deflection_of_flaps_and_two_keys_of_one_table() -> None:
    scenario = sim.load_scenario("flaps-25")
    texts = ["aeroplane.wing.flaps.deflection=11 deg", "aeroplane.wing.flaps.inboard=95 mm"]
    knobs = [knob_of(scenario, text.partition("=")[0]) for text in texts]
    row = np.array([k.read(text.partition("=")[2]) for k, text in zip(knobs, texts, strict=True)])
    source = variants_of(scenario, knobs, np.array([row, row * 1.01]))
    direct = sim.load_scenario("flaps-25", texts)
    assert variant(source.base, row) == direct
    lane = next(iter(source.task(0, 1).lanes()))
    assert isinstance(lane, Lane)
    same(lane.setup, prepare(direct).setup)


def test_an_excluded_alternative_drops_as_with_a_text() -> None:
    """A ground attitude takes the place of the nose axle's height, elevation that of pressure."""
    scenario = sim.load_scenario("meadow-jet")
    knobs = [knob_of(scenario, k) for k in ("aeroplane.gear.ground_attitude", "air.pressure")]
    row = np.array([0.02, 95_000.0])
    base = base_for(scenario, knobs, np.array([row]))
    turned = variant(base, row)
    assert turned.aeroplane.gear.nose.axle_height is None and turned.air.elevation is None
    assert turned == sim.with_overrides(
        scenario, ["aeroplane.gear.ground_attitude=0.02 rad", "air.pressure=950 hPa"]
    )


def test_values_out_of_bounds_are_rows_with_a_reason_and_the_others_roll() -> None:
    scenario = sim.load_scenario("meadow-jet")
    knob = knob_of(scenario, "aeroplane.mass")
    source = variants_of(scenario, [knob], np.array([[3.0], [0.001], [np.nan], [3.2]]))
    lanes = list(source.task(0, 4).lanes())
    assert [isinstance(lane, str) for lane in lanes] == [False, True, True, False]
    assert "aeroplane.mass" in str(lanes[1]) and "5 g" in str(lanes[1])
    with pytest.raises(sim.ScenarioError, match=r"aeroplane\.mass"):
        variants_of(scenario, [knob], np.array([[0.001], [0.002]]))


def test_contradictions_inside_the_range_are_found_one_by_one() -> None:
    """The nose wheel may not stand behind the mains; at 655 mm they stand."""
    scenario = sim.load_scenario("meadow-jet")
    knob = knob_of(scenario, "aeroplane.gear.nose.station")
    values = np.array([[0.20], [0.24], [0.90], [0.22]])
    source = variants_of(scenario, [knob], values)
    assert source.base.strict
    lanes = list(source.task(0, 4).lanes())
    assert [isinstance(lane, str) for lane in lanes] == [False, False, True, False]
    assert "ahead of the main wheels" in str(lanes[2])


def test_the_surface_goes_through_its_range_each_axle_by_its_wheel() -> None:
    """Mown grass 0.09, 0.13, 0.20 for 75 mm; part above pavement by the root of the diameter."""
    scenario = sim.load_scenario("meadow-jet")
    knob = knob_of(scenario, "strip.surface")
    values = np.array([[-1.0], [0.0], [1.0], [0.5]])
    lanes = list(variants_of(scenario, [knob], values).task(0, 4).lanes())
    main = [lane.setup.parameters.main_friction for lane in lanes if isinstance(lane, Lane)]
    nose = [lane.setup.parameters.nose_friction for lane in lanes if isinstance(lane, Lane)]
    for found, wheel in ((main, 0.070), (nose, 0.065)):
        factor = (0.075 / wheel) ** 0.5
        assert found[0] == pytest.approx(0.02 + 0.07 * factor)
        assert found[1] == pytest.approx(0.035 + 0.095 * factor)
        assert found[2] == pytest.approx(0.06 + 0.14 * factor)
        assert found[3] == pytest.approx(0.5 * (found[1] + found[2]))
    measured = sim.with_overrides(scenario, ["strip.rolling_resistance=0.12"])
    refused = list(variants_of(measured, [knob], values).task(0, 4).lanes())
    assert all(isinstance(lane, str) and "no range" in lane for lane in refused)


def test_a_list_of_scenarios_is_a_source_too() -> None:
    one, two = sim.load_scenario("meadow-jet"), sim.load_scenario("pavement")
    lanes = list(Scenarios((one, two)).task(1, 2).lanes())
    assert len(lanes) == 1 and isinstance(lanes[0], Lane)
    same(lanes[0].setup, prepare(two).setup)


BALLAST = """
extends = "meadow-jet"
[change.ballast]
text = "lead in the tail"
add = [{ item = "lead", mass = "100 g", station = "900 mm", height = "0 mm" }]
"""


def test_beside_masses_put_in_the_mass_moves_the_cg_and_no_lattice(tmp_path: Path) -> None:
    file = tmp_path / "ballast.toml"
    file.write_text(BALLAST)
    scenario = sim.load_scenario(file, changes=["ballast"])
    knob = knob_of(scenario, "aeroplane.mass")
    source = variants_of(scenario, [knob], np.array([[2.9], [3.3]]))
    assert source.lattices.columns == () and len(source.lattices.solved) == 1
    for text, lane in zip(("2.9 kg", "3.3 kg"), source.task(0, 2).lanes(), strict=True):
        direct = sim.load_scenario(file, [f"aeroplane.mass={text}"], ["ballast"])
        assert isinstance(lane, Lane)
        same(lane.setup, prepare(direct).setup)


ELECTRIC = """
extends = "meadow-jet"
[power]
kind = "electric"
battery = { cells = 6, cell_resistance = "2.5 mohm" }
controller = { resistance = "2 mohm" }
motor = { speed_constant = "1500 rpm/V", resistance = "12 mohm", no_load_current = "3 A" }
fan = { diameter = "90 mm", hub_diameter = "40 mm", exit_diameter = "78 mm" }
bench = { voltage = "21.8 V", current = "78 A", thrust = "26 N" }
"""


def test_another_pack_is_predicted_from_the_old_reading(tmp_path: Path) -> None:
    file = tmp_path / "electric.toml"
    file.write_text(ELECTRIC)
    scenario = sim.load_scenario(file)
    knobs = [
        knob_of(scenario, key) for key in ("power.battery.cells", "power.motor.speed_constant")
    ]
    rows = np.array([[5.0, 150.0], [6.0, 160.0], [6.0, 150.0], [5.5, 150.0]])
    lanes = list(variants_of(scenario, knobs, rows).task(0, 4).lanes())
    assert isinstance(lanes[3], str) and "whole" in lanes[3]
    for row, lane in zip(rows[:3], lanes[:3], strict=True):
        texts = [
            f"power.battery.cells={int(row[0])}",
            f"power.motor.speed_constant={row[1]} rad/s/V",
        ]
        assert isinstance(lane, Lane)
        same(lane.setup, prepare(sim.load_scenario(file, texts)).setup)
