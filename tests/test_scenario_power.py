"""The power table of a scenario: what each kind takes, and every reading that cannot be true."""

import json

import pytest

from sim.scenario import ScenarioError, load_scenario, parse_scenario
from sim.scenario.power import COMMON_KEYS, KIND_KEYS, Power
from tests.documents import laid
from tests.electrics import FAN, PROPELLER, TABLE, system


def problems(document):
    with pytest.raises(ScenarioError) as caught:
        parse_scenario(document)
    return {problem.key: problem for problem in caught.value.problems}


def one(document):
    (problem,) = problems(document).values()
    return problem


def test_every_key_of_the_table_belongs_to_a_kind():
    told = {key for keys in KIND_KEYS.values() for key in keys} | set(COMMON_KEYS)
    assert told == set(Power.model_fields)


def test_an_electric_system_is_read_in_si():
    power = parse_scenario(system(motor__most_current="95 A")).power
    assert power.battery.cells == 6 and isinstance(power.battery.cells, int)
    assert power.battery.capacity == pytest.approx(4.0 * 3600.0)
    assert power.motor.speed_constant == pytest.approx(1500.0 * 0.10471975512)
    assert power.motor.most_current == 95.0
    assert power.bench.air_density is None


@pytest.mark.parametrize("base", [FAN, PROPELLER])
def test_the_resolved_scenario_is_json(base):
    told = json.loads(json.dumps(parse_scenario(system(base)).resolved()))
    assert told["power"]["battery"]["cells"] in (3, 6)
    assert told["power"]["bench"]["voltage_V"] > 0.0


@pytest.mark.parametrize(
    ("keys", "path", "said"),
    [
        ({"battery__cells": 6.5}, "power.battery.cells", "a whole number, from 1 to 40"),
        ({"battery__cells": 0}, "power.battery.cells", "a whole number"),
        ({"battery__cells": "6"}, "power.battery.cells", "a whole number"),
        ({"battery__cells": True}, "power.battery.cells", "a whole number"),
        ({"battery": None}, "power.battery", "needed"),
        ({"motor": None}, "power.motor", "needed"),
        ({"fan": None}, "power.fan", "needed, or propeller"),
        ({"bench": None}, "power.bench", "volts, amps and newtons"),
        ({"static_thrust": "20 N"}, "power.static_thrust", 'left out when kind is "electric"'),
        ({"fan__hub_diameter": "91 mm"}, "power.fan.hub_diameter", "90 mm"),
        ({"motor__no_load_current": "600 A"}, "power.motor.no_load_current", "500 A"),
        ({"battery__capacity": "4 W*h"}, "power.battery.capacity", "a charge"),
    ],
)
def test_wrong_values_and_missing_parts(keys, path, said):
    problem = one(system(**keys))
    assert problem.key == path and said in problem.allowed


def test_a_pack_tells_its_resistance_or_its_capacity():
    document = system(battery={"cells": 6})
    assert "capacity" in one(document).allowed
    assert one(document).key == "power.battery.cell_resistance"


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ({"state_of_charge": "50 %"}, {"cell_voltage": "3.8 V"}),
    ],
)
def test_two_ways_to_tell_the_charge_exclude_each_other(first, second):
    battery = FAN["battery"] | first | second
    assert "only one of" in one(system(battery=battery)).allowed


# one reading per kind of fault, with the number by hand that shows it
@pytest.mark.parametrize(
    ("keys", "key", "numbers"),
    [
        ({"current": "2.5 A", "thrust": "1 N"}, "current", ("2.5 A", "3 A")),
        # 21.8 V over 14 mohm: 1557 A stall it; 1600 A lose 22.4 V
        ({"current": "1600 A", "thrust": "1 N"}, "voltage", ("22.4 V", "21.8 V")),
        # 1500 rpm/V times 21.8 V: 32,700 rpm unloaded
        ({"rotation": "33000 rpm"}, "rotation", ("33,000 rpm", "32,700 rpm")),
        # 1500 (21.8 - 78 * 0.014) = 31,062 rpm expected; half of it is no label error
        ({"rotation": "15000 rpm"}, "rotation", ("15,000 rpm", "31,062 rpm")),
        # (4 rho A P^2)^(1/3), P = 1553 W at the shaft, 80 mm: 39.0 N
        ({"thrust": "40 N"}, "thrust", ("40 N", "39 N", "1553 W")),
        # P = 1700 W at the meters: 41.4 N
        ({"thrust": "60 N"}, "thrust", ("60 N", "41.4 N", "1700 W")),
    ],
)
def test_readings_that_cannot_be_true(keys, key, numbers):
    document = system(bench=FAN["bench"] | keys)
    problem = one(document)
    assert problem.key == f"power.bench.{key}"
    assert problem.given == f'"{(FAN["bench"] | keys)[key]}"'
    for number in numbers:
        assert number in problem.allowed


def test_limits_of_momentum_theory_by_hand():
    area, density = 3.14159265 / 4 * 0.08**2, 1.225
    for watts, newtons in ((1553.1, 39.0), (1700.4, 41.4)):
        assert (4 * density * area * watts**2) ** (1 / 3) == pytest.approx(newtons, abs=0.06)


def test_a_reading_with_parts_of_its_own_is_judged_by_them():
    slower = {"speed_constant": "700 rpm/V", "resistance": "12 mohm", "no_load_current": "3 A"}
    bench = FAN["bench"] | {"rotation": "31000 rpm", "motor": slower}
    assert "15,260 rpm" in one(system(bench=bench)).allowed  # 700 * 21.8


def test_everything_wrong_is_told_at_once():
    document = system(
        battery__cells=99, bench__thrust="60 N", fan__hub_diameter="95 mm", motor__resistance="x"
    )
    found = problems(laid(document, strip__length="-3 m"))
    assert {"power.battery.cells", "power.motor.resistance", "strip.length"} <= set(found)
    assert "power.fan.hub_diameter" in found


def test_a_pack_that_cannot_turn_the_motor():
    # one flat cell through 5 ohm drives less than the motor takes with nothing on its shaft
    document = system(
        battery={"cells": 1, "cell_voltage": "1 V", "cell_resistance": "0 mohm"},
        motor__resistance="500 mohm",
        bench={"voltage": "50 V", "current": "50 A", "thrust": "1 N"},
    )
    problem = one(document)
    assert problem.key == "power.motor.no_load_current"
    assert "1.992 A" in problem.allowed  # 1 V over 502 mohm


# propellers -------------------------------------------------------------------------------------


@pytest.fixture
def table(tmp_path):
    path = tmp_path / "whirl.csv"
    path.write_text(TABLE)
    return path


def by_table(path, **keys):
    propeller = {"diameter": "279 mm", "table": str(path)}
    return system(PROPELLER, propeller=propeller, **keys)


def test_a_table_needs_no_bench(table):
    scenario = parse_scenario(by_table(table, bench=None))
    assert scenario.power.propeller.table.name == "whirl.csv"
    assert scenario.power.propeller.table.text == TABLE
    told = json.loads(json.dumps(scenario.resolved()))
    assert told["power"]["propeller"]["table"] == "whirl.csv"


def test_a_table_lies_beside_its_scenario(tmp_path, table, monkeypatch):
    (tmp_path / "mine.toml").write_text(
        'extends = "meadow-jet"\n[power]\nkind = "electric"\n'
        'battery = { cells = 3, cell_resistance = "5 mohm" }\n'
        'motor = { speed_constant = "900 rpm/V", resistance = "35 mohm",'
        ' no_load_current = "1.4 A" }\n'
        'propeller = { diameter = "279 mm", table = "whirl.csv" }\n'
    )
    monkeypatch.chdir("/")
    assert load_scenario(tmp_path / "mine.toml").power.propeller.table.text == TABLE


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("J,CT\n0,0.1\n", "no heading CP"),
        (TABLE.replace("0.072", "much"), "'much' is not a number"),
        (TABLE.replace("0.110,0.0450", "0.110,0.0200"), "line 2"),  # beyond an ideal disc
        ("", "the table is empty"),
    ],
)
def test_faults_of_a_table_are_told(table, text, said):
    table.write_text(text)
    problem = one(by_table(table, bench=None))
    assert problem.key == "power.propeller.table" and said in problem.allowed


def test_a_static_table_is_looked_at_too(table, tmp_path):
    still = tmp_path / "still.csv"
    still.write_text("RPM,CT,CP\n5000,-0.1,0.05\n")
    document = by_table(table, bench=None)
    document["power"]["propeller"]["static_table"] = str(still)
    assert one(document).key == "power.propeller.static_table"
    del document["power"]["propeller"]["table"]
    assert "power.propeller.static_table" in problems(document)


@pytest.mark.parametrize("name", ["nowhere.csv", "", "\0", "x" * 5000, "/dev/zero", "/", 3])
def test_files_that_do_not_open(name):
    problem = one(laid(by_table("x", bench=None), power__propeller__table=name))
    assert problem.key == "power.propeller.table" and "propeller coefficients" in problem.allowed
    assert len(problem.text()) < 600


def test_a_huge_table_is_not_read(table):
    table.write_text("J,CT,CP\n" * 40000)
    assert "256 kB" in one(by_table(table, bench=None)).allowed


def test_pitch_and_table_exclude_each_other(table):
    document = by_table(table)
    document["power"]["propeller"]["pitch"] = "140 mm"
    assert "only one of" in one(document).allowed


SHAFT = {
    "kind": "propeller",
    "spool_time": "0 s",
    "propeller": {"diameter": "330 mm", "pitch": "180 mm"},
    "static_thrust": "24 N",
    "rotation": "9000 rpm",
    "shaft_power": "550 W",
}


def test_a_propeller_on_a_shaft_is_taken():
    assert parse_scenario(system(SHAFT)).power.kind == "propeller"


@pytest.mark.parametrize(
    ("keys", "path", "said"),
    [
        ({"shaft_power": None}, "power.shaft_power", "the reading at rest"),
        ({"propeller": None}, "power.propeller", "needed"),
        ({"propeller__pitch": None}, "power.propeller.pitch", "needed, or table"),
        ({"bench": FAN["bench"]}, "power.bench", 'left out when kind is "propeller"'),
        # (2 rho A)^(1/3) P^(2/3) of 330 mm and 200 W: 20.3 N
        ({"shaft_power": "200 W"}, "power.static_thrust", "257 W from an ideal"),
    ],
)
def test_a_propeller_on_a_shaft_is_refused(keys, path, said):
    problem = one(system(SHAFT, **keys))
    assert problem.key == path and said in problem.allowed


def test_a_table_on_a_shaft_needs_something_that_turns_it(table):
    propeller = {"diameter": "330 mm", "table": str(table)}
    document = system({"kind": "propeller", "propeller": propeller})
    assert "shaft_power" in one(document).allowed
    assert parse_scenario(laid(document, power__rotation="9000 rpm"))
