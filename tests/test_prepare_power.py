"""From the text of a scenario to the thrust of its roll, through the whole road.

The band of a motor change is common practice among builders without a source: ten percent more
speed constant on the same pack and fan bring 8 to 21 % thrust for 18 to 33 % current.
"""

import time

import numpy as np
import pytest

from sim.power.propeller import propeller_from_table
from sim.power.rotor import RPM
from sim.prepare import prepare
from sim.prepare.electric import chain_of
from sim.roll.parameters import FIELD_NAMES
from sim.roll.thrust import POINTS
from sim.scenario import parse_scenario, with_overrides
from tests.documents import laid, ready, rolled
from tests.electrics import FAN, PROPELLER, TABLE, system

STANDARD = {"air": {"temperature": "15 degC", "pressure": "1013.25 hPa"}}


def numbers(document, *overrides):
    """Coefficients of a document with keys laid over it."""
    scenario = with_overrides(parse_scenario(document), overrides)
    return prepare(scenario).coefficients


def supply(base, volts):
    """The same system on a supply that holds the bench's voltage whatever is drawn."""
    cells = {"cells": 6, "cell_voltage": f"{volts / 6!r} V", "cell_resistance": "0 mohm"}
    return system(base, battery=cells)


def gain(a, b, key):
    return b[key] / a[key] - 1.0


@pytest.mark.parametrize("base", [FAN, PROPELLER])
def test_the_bench_reading_comes_back(base):
    volts, amps, newtons = (
        float(base["bench"][key].split()[0]) for key in ("voltage", "current", "thrust")
    )
    density = ready(supply(base, volts)).setup.parameters.air_density
    document = supply(base, volts)
    document["power"]["bench"] = base["bench"] | {"air_density": f"{density!r} kg/m^3"}
    found = numbers(document)
    assert found["static_thrust_N"] == pytest.approx(newtons, rel=1e-6)
    assert found["current_A"] == pytest.approx(amps, rel=1e-6)
    assert found["battery_voltage_V"] == pytest.approx(volts, rel=1e-9)
    assert found["electrical_power_W"] == pytest.approx(volts * amps, rel=1e-6)


def test_a_read_rotation_comes_back_and_stays_with_the_make():
    """Label 1500 rpm/V, seen 5 % slower: another motor of the make is taken as 5 % slower too."""
    seen = 0.95 * 1500.0 * (21.8 - 78.0 * 0.014)
    document = supply(FAN, 21.8)
    density = ready(document).setup.parameters.air_density
    document["power"]["bench"] = FAN["bench"] | {
        "rotation": f"{seen!r} rpm", "air_density": f"{density!r} kg/m^3",
    }  # fmt: skip
    assert numbers(document)["rotation_rpm"] == pytest.approx(seen, rel=1e-6)
    # a motor so much faster that its factor makes it the old label again
    faster = numbers(document, f"power.motor.speed_constant={1500.0 / 0.95!r} rpm/V")
    amps = faster["current_A"]
    assert faster["rotation_rpm"] == pytest.approx(1500.0 * (21.8 - 0.014 * amps), rel=1e-6)


def test_ten_percent_more_speed_constant():
    before = numbers(system() | STANDARD)
    after = numbers(system() | STANDARD, "power.motor.speed_constant=1650 rpm/V")
    thrust, current = (gain(before, after, key) for key in ("static_thrust_N", "current_A"))
    print(f"thrust {thrust:+.1%}, current {current:+.1%}")
    assert 0.08 <= thrust <= 0.21
    assert 0.18 <= current <= 0.33
    assert current > thrust


def test_without_its_own_motor_the_reading_would_anchor_itself_anew():
    """What the rule of readings prevents: the same reading taken for another motor's."""
    wrong = system(motor__speed_constant="1650 rpm/V")
    fooled = numbers(wrong)
    predicted = numbers(system(), "power.motor.speed_constant=1650 rpm/V")
    assert predicted["static_thrust_N"] > 1.05 * fooled["static_thrust_N"]


def test_packs():
    full = numbers(system())
    half = numbers(system(), "power.battery.state_of_charge=50 %")
    five = numbers(system(), "power.battery.cells=5")
    soft = numbers(system(), "power.battery.cell_resistance=6 mohm")
    # rested cells at 3.84 V for 4.20 V, thrust about as volts squared less what the load eases
    assert -0.17 < gain(full, half, "static_thrust_N") < -0.10
    assert -0.31 < gain(full, five, "static_thrust_N") < -0.22
    assert gain(full, soft, "static_thrust_N") < -0.05


def test_fan_sizes():
    """All diameters ten percent down: at fixed rotation thrust 0.66 and torque 0.59, eased by
    the motor that turns faster."""
    base = numbers(system())
    small = numbers(
        system(), "power.fan.diameter=81 mm", "power.fan.hub_diameter=31.5 mm",
        "power.fan.exit_diameter=72 mm",
    )  # fmt: skip
    share = (small["rotation_rpm"] / base["rotation_rpm"]) ** 2
    assert share > 1.0
    assert small["static_thrust_N"] / base["static_thrust_N"] == pytest.approx(
        0.9**4 * share, rel=1e-9
    )
    assert small["current_A"] < 0.75 * base["current_A"]


def test_hot_high_air():
    low = numbers(system() | STANDARD)
    hot = numbers(system() | {"air": {"temperature": "35 degC", "elevation": "1500 m"}})
    thin = hot["air_density_kg_per_m3"] / low["air_density_kg_per_m3"]
    share = hot["static_thrust_N"] / low["static_thrust_N"]
    assert thin < share < 1.0  # less than with the density: the motor turns faster in thin air
    assert hot["current_A"] < low["current_A"]


def test_the_roll_gets_the_curve():
    prepared = ready(system())
    p, table = prepared.setup.parameters, prepared.setup.thrust_table
    assert set(FIELD_NAMES) and p.thrust_kind == POINTS
    assert p.static_thrust == table.thrust[0] == prepared.coefficients["static_thrust_N"]
    assert np.all(np.diff(table.thrust) < 0.0)
    known = prepared.power
    for point in known.electric.points:
        losses = sum(watts for _, watts in point.trail())
        assert losses == pytest.approx(point.battery_power, rel=1e-9, abs=1e-9)


def test_more_speed_constant_gets_it_off_sooner():
    slow, fast = rolled(system()), rolled(system(motor__speed_constant="1500 rpm/V"))
    assert slow.figures["end_time"] == fast.figures["end_time"]
    document = system()
    hot = with_overrides(parse_scenario(document), ["power.motor.speed_constant=1650 rpm/V"])
    assert (
        prepare(hot).setup.parameters.static_thrust
        > 1.08 * ready(document).setup.parameters.static_thrust
    )


def estimated(prepared):
    return {estimate.key: estimate.value for estimate in prepared.estimates}


def test_what_is_left_out_is_estimated_and_marked():
    document = system(battery={"cells": 6, "capacity": "4 Ah"}, controller=None)
    found = estimated(ready(document))
    assert found["power.battery.cell_resistance"] == pytest.approx(3e-3)  # 12 mohm Ah over 4 Ah
    assert found["power.controller.resistance"] == pytest.approx(2e-3)
    assert found["power.battery.state_of_charge"] == 1.0
    assert found["power.bench.air_density"] == 1.225
    assert found["power.fan.zero_thrust_ratio"] == 1.3
    resolved = ready(document).resolved["power"]
    assert resolved["battery"]["cell_resistance_ohm"] == pytest.approx(3e-3)
    assert resolved["bench"]["air_density_kg_per_m3"] == 1.225


def test_given_numbers_are_not_estimated():
    document = system(
        battery__cell_voltage="4.1 V",
        bench__air_density="1.2 kg/m^3",
        fan__zero_thrust_ratio=1.4,
    )
    assert not [key for key in estimated(ready(document)) if key.startswith("power.")]


def test_another_ratio_of_no_thrust_changes_flight_not_standstill():
    base, far = (
        ready(system()),
        prepare(with_overrides(parse_scenario(system()), ["power.fan.zero_thrust_ratio=1.6"])),
    )
    assert far.coefficients["static_thrust_N"] == pytest.approx(
        base.coefficients["static_thrust_N"], rel=1e-6
    )
    assert far.power.electric.zero_thrust_airspeed > 1.1 * base.power.electric.zero_thrust_airspeed


def test_minutes_of_full_throttle():
    known = ready(system()).power
    amps = known.electric.points[0].current
    assert known.full_throttle_time(0.0) == pytest.approx(4.0 * 3600.0 / amps)
    assert known.full_throttle_time() == pytest.approx(0.8 * 4.0 * 3600.0 / amps)
    half = ready(system(battery__state_of_charge="50 %")).power
    assert half.full_throttle_time() == pytest.approx(
        0.3 * 4.0 * 3600.0 / half.electric.points[0].current
    )
    assert ready(system(battery__state_of_charge="10 %")).power.full_throttle_time() == 0.0
    assert ready(system(battery={"cells": 6, "cell_resistance": "2 mohm"})).power
    none = ready(system(battery={"cells": 6, "cell_resistance": "2 mohm"})).power
    assert none.full_throttle_time() is None


def test_limits_and_where_they_are_passed():
    known = ready(
        system(
            battery__most_current="200 A", controller__most_current="85 A",
            motor__most_power="2200 W", fan__most_rotation="36000 rpm",
        )
    ).power  # fmt: skip
    margins = {(m.part, m.quantity): m for m in known.margins}
    rest = known.electric.points[0]
    assert margins["battery", "current"].spare == pytest.approx(200.0 - rest.current)
    controller = margins["controller", "current"]
    assert controller.exceeded and controller.passed_from == 0.0 and controller.spare < 0.0
    assert margins["motor", "power"].at_rest == pytest.approx(rest.motor_voltage * rest.current)
    rotor = margins["fan", "rotation"]
    assert rotor.at_rest < rotor.limit < rotor.most
    there = known.point(rotor.passed_from).rotation
    assert there == pytest.approx(rotor.limit, rel=1e-3)
    assert known.point(rotor.airspeed).thrust == pytest.approx(0.0, abs=1.0)


def test_no_limits_no_margins():
    assert ready(system()).power.margins == ()


# propellers -------------------------------------------------------------------------------------


@pytest.fixture
def table(tmp_path):
    path = tmp_path / "whirl.csv"
    path.write_text(TABLE)
    return {"diameter": "279 mm", "table": str(path)}


def test_a_table_alone_predicts(table):
    """Shaft power and thrust follow from the coefficients at the speed the motor settles at."""
    prepared = ready(system(PROPELLER, propeller=table, bench=None))
    c, density = prepared.coefficients, prepared.setup.parameters.air_density
    n = c["rotation_rpm"] / 60.0
    assert c["static_thrust_N"] == pytest.approx(0.110 * density * n**2 * 0.279**4, rel=1e-6)
    assert c["shaft_power_W"] == pytest.approx(0.045 * density * n**3 * 0.279**5, rel=1e-6)
    assert not any("bench" in note for note in prepared.notes)


def test_a_reading_beside_a_table_is_compared(table):
    prepared = ready(system(PROPELLER, propeller=table))
    notes = [note for note in prepared.notes if "from its table" in note]
    assert len(notes) == 1 and "13.0 N" in notes[0] and "used as it stands" in notes[0]
    alone = ready(system(PROPELLER, propeller=table, bench=None))
    assert prepared.coefficients["static_thrust_N"] == pytest.approx(
        alone.coefficients["static_thrust_N"], rel=1e-9
    )


def test_another_propeller_of_the_same_make():
    """Same pitch over diameter: C_T and C_P stay, so thrust goes as n^2 D^4."""
    base = numbers(system(PROPELLER))
    large = numbers(
        system(PROPELLER), "power.propeller.diameter=306.9 mm", "power.propeller.pitch=154 mm"
    )
    share = (large["rotation_rpm"] / base["rotation_rpm"]) ** 2
    assert share < 1.0
    assert large["static_thrust_N"] / base["static_thrust_N"] == pytest.approx(
        1.1**4 * share, rel=1e-9
    )
    steep = numbers(system(PROPELLER), "power.propeller.pitch=160 mm")
    assert steep["current_A"] > base["current_A"]


def test_a_very_different_pitch_is_marked_as_rough():
    scenario = with_overrides(parse_scenario(system(PROPELLER)), ["power.propeller.pitch=200 mm"])
    assert any("predicted roughly" in note for note in prepare(scenario).notes)


SHAFT = {
    "kind": "propeller",
    "spool_time": "0 s",
    "propeller": {"diameter": "330 mm", "pitch": "180 mm"},
    "static_thrust": "24 N",
    "rotation": "9000 rpm",
    "shaft_power": "550 W",
}


def test_a_propeller_on_a_shaft_gives_back_its_reading():
    document = system(SHAFT)
    c = numbers(document)
    density = ready(document).setup.parameters.air_density
    assert c["rotation_rpm"] == pytest.approx(9000.0)
    assert c["static_thrust_N"] == pytest.approx(24.0 * density / 1.225, rel=1e-9)
    power = numbers(laid(document, power__constant="shaft power"))
    assert power["shaft_power_W"] == pytest.approx(550.0, rel=1e-9)
    assert power["static_thrust_N"] == pytest.approx(
        24.0 * (density / 1.225) ** (1 / 3), rel=1e-6
    )  # T ~ (rho P^2)^(1/3)


def test_constant_power_loses_less_thrust_than_constant_rotation():
    even = ready(system(SHAFT)).setup.thrust_table
    power = ready(system(SHAFT, constant="shaft power")).setup.thrust_table
    assert np.interp(20.0, power.airspeed, power.thrust) > np.interp(
        20.0, even.airspeed, even.thrust
    )


def test_a_shaft_of_constant_power_is_not_followed_into_a_dive():
    known = ready(system(SHAFT, constant="shaft power", propeller__most_rotation="9500 rpm")).power
    assert known.engine.airspeeds[-1] <= 60.0
    (margin,) = known.margins
    assert margin.key == "power.propeller.most_rotation"
    assert 0.0 < margin.passed_from < margin.airspeed <= 60.0


def test_another_propeller_on_the_shaft_is_predicted():
    scenario = with_overrides(
        parse_scenario(system(SHAFT)),
        ["power.propeller.diameter=363 mm", "power.propeller.pitch=198 mm"],
    )
    base = numbers(system(SHAFT))
    assert prepare(scenario).coefficients["static_thrust_N"] == pytest.approx(
        1.1**4 * base["static_thrust_N"], rel=1e-9
    )


def test_a_table_on_a_shaft(table):
    document = system({"kind": "propeller", "propeller": table, "rotation": "6000 rpm"})
    prepared = ready(document)
    density = prepared.setup.parameters.air_density
    known = propeller_from_table(0.279, TABLE)
    assert prepared.coefficients["static_thrust_N"] == pytest.approx(
        float(known.thrust(6000.0 * RPM, 0.0, density)), rel=1e-9
    )


def test_the_curve_is_solved_once_for_one_power_system():
    scenario = parse_scenario(system())
    chain_of.cache_clear()
    for pull in (20, 30, 40):
        prepare(with_overrides(scenario, [f"pilot.pull_at={pull} m"]))
    assert chain_of.cache_info().misses == 1
    started = time.perf_counter()
    prepare(with_overrides(scenario, ["power.battery.cells=5"]))
    print(f"another pack made ready in {1e3 * (time.perf_counter() - started):.1f} ms")
    assert chain_of.cache_info().misses == 2
