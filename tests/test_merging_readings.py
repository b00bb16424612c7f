"""A reading belongs to the parts it was taken with, when one scenario is laid over another."""

import copy

import pytest

from sim.scenario import load_scenario, parse_scenario, with_overrides
from sim.scenario.merging import merged, value_at
from sim.scenario.readings import READINGS
from tests.electrics import FAN, system

OTHER = {"speed_constant": "1650 rpm/V"}


def tree(path, value):
    for part in reversed(path.split(".")):
        value = {part: value}
    return value


def joined(*trees):
    result = {}
    for one in trees:
        result = merged(result, copy.deepcopy(one))
    return result


@pytest.mark.parametrize("row", READINGS, ids=[row.copy for row in READINGS])
def test_each_row_of_the_table(row):
    """A part replaced: the old one goes with the reading. A new reading: old copies go."""
    reading = tree(row.reading, {"own": "1 N"} if row.reading in row.copy else "1 N")
    base = joined(tree(row.part, {"old": 1}), reading)
    before = copy.deepcopy(base)
    laid = merged(base, tree(row.part, {"new": 2}))
    assert value_at(laid, row.copy) == {"old": 1}
    assert value_at(laid, row.part) == {"old": 1, "new": 2}
    assert base == before

    again = merged(laid, tree(row.part, {"new": 3}))
    assert value_at(again, row.copy) == {"old": 1}, "the first part stays with the reading"

    for keys in row.renewed_by:
        fresh = joined(*(tree(key, "9 N") for key in keys))
        renewed = merged(laid, fresh)
        assert value_at(renewed, row.copy) is None
        assert value_at(renewed, row.part) == {"old": 1, "new": 2}
        both = merged(base, joined(tree(row.part, {"new": 2}), fresh))
        assert value_at(both, row.copy) is None, "read anew with the new part"


@pytest.mark.parametrize("row", READINGS, ids=[row.copy for row in READINGS])
def test_no_copy_without_a_reading_or_with_its_own(row):
    part = tree(row.part, {"old": 1})
    assert value_at(merged(part, tree(row.part, {"new": 2})), row.copy) is None
    reading = tree(row.reading, {"own": "1 N"} if row.reading in row.copy else "1 N")
    base = joined(part, reading)
    own = joined(tree(row.part, {"new": 2}), tree(row.copy, {"mine": 3}))
    assert value_at(merged(base, own), row.copy) == {"mine": 3}


def test_a_controller_that_was_left_out_goes_along_as_estimated():
    base = joined(tree("power.bench.thrust", "26 N"))
    laid = merged(base, tree("power.controller.resistance", "5 mohm"))
    assert value_at(laid, "power.bench.controller") == {}


def test_a_single_new_number_of_a_reading_keeps_its_parts():
    laid = merged({"power": copy.deepcopy(FAN)}, {"power": {"motor": OTHER}})
    corrected = merged(laid, tree("power.bench.thrust", "27 N"))
    assert value_at(corrected, "power.bench.motor") == FAN["motor"]
    assert value_at(corrected, "power.bench.thrust") == "27 N"


def test_a_fan_reading_says_nothing_of_a_propeller():
    overlay = {"power": {"propeller": {"diameter": "200 mm", "pitch": "150 mm"}}}
    laid = merged({"power": copy.deepcopy(FAN)}, overlay)
    assert value_at(laid, "power.fan") is None
    assert value_at(laid, "power.bench") is None


def test_other_parts_do_not_touch_the_reading():
    base = {"power": copy.deepcopy(FAN)}
    laid = merged(base, tree("power.battery.cells", 5))
    assert laid["power"]["bench"] == FAN["bench"]


def test_another_kind_leaves_the_electrics_behind():
    overlay = {"power": {"kind": "measured", "static_thrust": "20 N", "fall_off": "constant"}}
    laid = merged({"power": copy.deepcopy(FAN)}, overlay)
    assert set(laid["power"]) == {"kind", "static_thrust", "fall_off", "spool_time"}


def test_through_set_and_through_a_file(tmp_path):
    scenario = with_overrides(parse_scenario(system()), ["power.motor.speed_constant=1650 rpm/V"])
    assert scenario.power.bench.motor.speed_constant == pytest.approx(1500.0 * 0.104719755)
    (tmp_path / "base.toml").write_text(
        'extends = "meadow-jet"\n[power]\nkind = "electric"\n'
        'battery = { cells = 6, cell_resistance = "2.5 mohm" }\n'
        'motor = { speed_constant = "1500 rpm/V", resistance = "12 mohm",'
        ' no_load_current = "3 A" }\n'
        'fan = { diameter = "90 mm", hub_diameter = "35 mm", exit_diameter = "80 mm" }\n'
        'bench = { voltage = "21.8 V", current = "78 A", thrust = "26 N" }\n'
    )
    (tmp_path / "hot.toml").write_text(
        'extends = "base.toml"\n[power.fan]\ndiameter = "95 mm"\n'
        '[change.hot]\ntext = "hotter motor"\n[change.hot.power.motor]\n'
        'speed_constant = "1650 rpm/V"\n'
    )
    plain = load_scenario(tmp_path / "hot.toml").power
    assert plain.bench.fan.diameter == pytest.approx(0.09) and plain.bench.motor is None
    hot = load_scenario(tmp_path / "hot.toml", changes=["hot"]).power
    assert hot.bench.fan.diameter == pytest.approx(0.09)
    assert hot.bench.motor.speed_constant == pytest.approx(1500.0 * 0.104719755)


def test_a_measured_resistance_keeps_the_wheel_it_was_measured_with():
    document = system()
    assert "rolling_resistance" in document["strip"]
    keys = ["aeroplane.gear.main.wheel_diameter=0.5 m"]
    scenario = with_overrides(parse_scenario(document), keys)
    assert scenario.strip.measured_with == pytest.approx(0.4)
    grass = with_overrides(scenario, ["strip.surface=mown grass"])
    assert grass.strip.measured_with is None
    again = with_overrides(scenario, ["strip.rolling_resistance=0.1"])
    assert again.strip.measured_with is None


def test_the_thrust_of_a_fan_is_no_reading_of_a_propeller():
    fan = {"power": {"kind": "measured", "static_thrust": "21 N"}}
    turned = merged(fan, {"power": {"kind": "propeller"}})
    assert value_at(turned, "power.static_thrust") is None
    own = merged(fan, {"power": {"kind": "propeller", "static_thrust": "18 N"}})
    assert value_at(own, "power.static_thrust") == "18 N"
    assert value_at(merged(own, {"power": {"kind": "propeller"}}), "power.static_thrust") == "18 N"
