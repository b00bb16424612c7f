"""A bench reading beside what the parts as described give: volts, thrust, and doubtful readings.

Numbers of the workshop by hand: six cells at 90 % rest at 4.11 V, 24.66 V together; 68 A through
15.6 mohm lose 1.0608 V, so 23.5992 V are held where 22.3 V were read, 5.83 % less.
"""

import pytest

import sim
from sim.power.battery import FULL_CELL_VOLTAGE
from sim.power.bench import efficiency_remarks, voltage_remarks
from sim.power.bench_check import TOLERANCE, bench_check
from sim.power.ducted_rotor import FanSize, exit_remarks
from sim.power.rotor import RPM
from sim.prepare import prepare
from sim.scenario import parse_scenario, with_overrides
from tests.documents import ready
from tests.electrics import FAN, PROPELLER, TABLE, system


def check_of(document):
    """The bench check of a document, which has to be there."""
    found = bench_check(ready(document).power)
    assert found is not None
    return found


@pytest.fixture(scope="module")
def workshop():
    return bench_check(prepare(sim.load_scenario("workshop")).power)


def test_volts_of_the_battery_as_described(workshop):
    assert workshop.held == pytest.approx(24.66 - 68.0 * 0.0156, abs=1e-9)
    assert workshop.volts_apart == pytest.approx(23.5992 / 22.3 - 1.0, abs=1e-9)
    assert 0.058 < workshop.volts_apart < 0.059 and not workshop.battery_agrees


def test_what_battery_would_fit_the_reading(workshop):
    """(22.3 + 1.0608)/6 V at rest; or (24.66 - 22.3)/(68 * 6) ohm. Charge between 60 and 70 %."""
    assert workshop.fitting_cell_voltage == pytest.approx(3.89347, abs=1e-5)
    assert workshop.fitting_cell_resistance == pytest.approx(5.7843e-3, abs=1e-7)
    share = 0.6 + 0.1 * (3.89347 - 3.87) / (3.95 - 3.87)
    assert workshop.fitting_charge == pytest.approx(share, abs=1e-4)
    # and with either the battery does hold what was read
    for key in (
        f"power.battery.cell_resistance={workshop.fitting_cell_resistance!r} ohm",
        f"power.battery.state_of_charge={100.0 * workshop.fitting_charge!r} %",
    ):
        again = bench_check(prepare(sim.load_scenario("workshop", [key])).power)
        assert again.volts_apart == pytest.approx(0.0, abs=1e-9), key
        assert again.battery_agrees and again.thrust_apart == pytest.approx(0.0, abs=1e-6)


def test_the_anchored_fan_gives_its_reading_back_at_the_volts_of_the_bench(workshop):
    at = workshop.at_bench_volts
    assert workshop.matched and workshop.other_parts == ()
    assert at.battery_voltage == pytest.approx(22.3, rel=1e-12)
    assert at.current == pytest.approx(68.0, rel=1e-9)
    assert at.thrust == pytest.approx(21.5, rel=1e-9)


def test_more_volts_more_thrust_less_than_their_square(workshop):
    """Sign and size: the current grows and takes some of the volts back."""
    assert workshop.with_battery.battery_voltage < workshop.held
    assert 1.04 < workshop.with_battery.thrust / 21.5 < (23.5992 / 22.3) ** 2
    assert workshop.thrust_apart == pytest.approx(workshop.with_battery.thrust / 21.5 - 1.0)


def test_a_fresher_battery_on_the_bench_turns_the_sign():
    """Half a charge: 6 * 3.84 - 78 * 0.015 = 21.87 V, 21.8 V read; at a fifth 21.21 V."""
    fits = check_of(system(battery__state_of_charge="50 %"))
    assert fits.held == pytest.approx(21.87) and fits.battery_agrees
    tired = check_of(system(battery__state_of_charge="20 %"))
    assert tired.held == pytest.approx(6 * 3.73 - 1.17)
    assert tired.volts_apart < -TOLERANCE / 2 and tired.thrust_apart < 0.0
    # more volts under load than the cells have at rest: no resistance explains it
    flat = check_of(system(battery__cell_voltage="3.6 V"))
    assert flat.fitting_cell_resistance is None and not flat.battery_agrees


def test_another_motor_is_told_and_differs_as_predicted():
    hot = with_overrides(parse_scenario(system()), ["power.motor.speed_constant=1650 rpm/V"])
    found = bench_check(prepare(hot).power)
    assert found.other_parts == ("motor",) and not found.matched
    assert found.at_bench_volts.thrust > 1.08 * 26.0
    assert found.at_bench_volts.battery_voltage == pytest.approx(21.8)


def test_a_table_is_tried_at_the_volts_of_the_bench(tmp_path):
    path = tmp_path / "whirl.csv"
    path.write_text(TABLE)
    table = {"diameter": "279 mm", "table": str(path)}
    prepared = ready(system(PROPELLER, propeller=table))
    found = bench_check(prepared.power)
    assert not found.matched and found.other_parts == ()
    turning = found.at_bench_volts.rotation / (2.0 * 3.141592653589793)
    assert found.at_bench_volts.thrust == pytest.approx(0.110 * 1.225 * turning**2 * 0.279**4)
    apart = abs(found.at_bench_volts.thrust / 13.0 - 1.0) > TOLERANCE
    (note,) = [note for note in prepared.notes if "from its table" in note]
    assert apart and note in prepared.power.doubts


def test_without_a_reading_nothing_is_checked(tmp_path):
    path = tmp_path / "whirl.csv"
    path.write_text(TABLE)
    table = {"diameter": "279 mm", "table": str(path)}
    assert bench_check(ready(system(PROPELLER, propeller=table, bench=None)).power) is None


def test_more_volts_than_full_cells():
    """Six full cells rest at 25.2 V: nothing under load can be above."""
    assert FULL_CELL_VOLTAGE == 4.2
    assert voltage_remarks(25.19, 6) == ()
    (remark,) = voltage_remarks(25.3, 6)
    assert "25.3 V" in remark and "25.2 V" in remark and "6 full" in remark
    prepared = ready(system(bench__voltage="26 V"))
    (doubt,) = [d for d in prepared.power.doubts if "25.2 V" in d]
    assert doubt in prepared.notes
    assert ready(system()).power.doubts == ()


def test_an_exit_wider_than_the_rotor():
    """Area ratio by hand: 100^2/(90^2 - 35^2) = 1.4545 of the swept area."""
    assert exit_remarks(FanSize(0.09, 0.035, 0.0989)) == ()
    (remark,) = exit_remarks(FanSize(0.09, 0.035, 0.1))
    assert "1.11 times" in remark and "1.45 times" in remark
    wide = ready(system(fan__exit_diameter="100 mm")).power
    assert [d for d in wide.doubts if "1.11 times" in d] and wide.doubts[0] in wide.notes
    # the size on the bench counts as well, even when another is fitted now
    document = system(bench__fan=FAN["fan"] | {"exit_diameter": "100 mm"})
    assert any("1.11 times" in d and "bench" in d for d in ready(document).power.doubts)


def test_little_power_in_the_jet_is_a_doubt():
    """12 N through 80 mm: 265 W of jet of 1553 W, 17 %."""
    assert efficiency_remarks(0.25) == ()
    assert "24 %" in efficiency_remarks(0.24)[0]
    power = ready(system(bench__thrust="12 N")).power
    jet = 12.0**1.5 / (2.0 * (1.225 * 3.141592653589793 / 4.0 * 0.08**2) ** 0.5)
    (doubt,) = power.doubts
    assert f"only {100.0 * jet / 1553.1:.0f} %" in doubt and doubt in power.notes


SHAFT = {"kind": "propeller", "spool_time": "0 s", "rotation": "6000 rpm", "shaft_power": "120 W"}


@pytest.fixture
def shaft(tmp_path):
    path = tmp_path / "whirl.csv"
    path.write_text(TABLE)
    return system(SHAFT | {"propeller": {"diameter": "279 mm", "table": str(path)}})


def test_shaft_power_beside_a_table_is_compared(shaft):
    """C_P 0.045, 100 rev/s: 0.045 * 1.225 * 1e6 * 0.279^5 = 93.2 W, 22 % less than 120 W."""
    told = 0.045 * 1.225 * 100.0**3 * 0.279**5
    (note,) = [n for n in ready(shaft).notes if "at the shaft" in n]
    assert f"{told:.0f} W" in note and "120 W" in note and "6,000 rpm" in note
    assert f"{100.0 * (told / 120.0 - 1.0):+.0f} %" in note and "-22 %" in note
    assert "power given is not used" in note and note in ready(shaft).power.doubts
    shaft["power"]["constant"] = "shaft power"
    prepared = ready(shaft)
    (note,) = [n for n in prepared.notes if "at the shaft" in n]
    assert "rotation given is not used" in note
    turning = (120.0 / told) ** (1.0 / 3.0) * 6000.0
    assert prepared.power.engine.rotation[0] / RPM == pytest.approx(turning, rel=1e-2)
    del shaft["power"]["constant"], shaft["power"]["rotation"]
    assert not [n for n in ready(shaft).notes if "at the shaft" in n]


def test_thrust_read_at_a_shaft_power_is_compared_too(shaft):
    """At 120 W the table turns 6528 rpm in standard air and gives 0.110 rho n^2 D^4 = 9.66 N."""
    del shaft["power"]["rotation"]
    shaft["power"]["static_thrust"] = "8 N"
    turning = 100.0 * (120.0 / (0.045 * 1.225 * 100.0**3 * 0.279**5)) ** (1.0 / 3.0)
    told = 0.110 * 1.225 * turning**2 * 0.279**4
    (note,) = [n for n in ready(shaft).notes if "were read" in n]
    assert f"{told:.1f} N" in note and "8.0 N" in note


def test_power_read_with_another_propeller_is_not_compared(shaft):
    shaft["power"]["read_with"] = {"diameter": "250 mm", "pitch": "120 mm"}
    assert any("another propeller" in n and "not used" in n for n in ready(shaft).notes)


@pytest.mark.parametrize(
    ("given", "missing"), [("rotation", "shaft power"), ("shaft power", "rotation")]
)
def test_what_is_not_known_cannot_be_held(shaft, given, missing):
    shaft["power"]["constant"] = missing
    del shaft["power"][missing.replace(" ", "_")]
    prepared = ready(shaft)
    assert f"{missing} cannot be held, only {given} is given: {given} is held" in prepared.notes
    engine = prepared.power.engine
    values = engine.rotation / RPM if given == "rotation" else engine.shaft_power
    assert values == pytest.approx(6000.0 if given == "rotation" else 120.0, rel=1e-9)
