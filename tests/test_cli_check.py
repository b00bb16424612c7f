"""The command `wheelsoff check`, as somebody types it."""

import json
import re
from pathlib import Path

import pytest

from sim.cli import main
from sim.show.check import SECTIONS

FILE = """
extends = "textbook-rotation"
title = "a fan on six cells"
[power]
kind = "electric"
battery = { cells = 6, cell_resistance = "2.5 mohm", capacity = "4 Ah", most_current = "140 A" }
controller = { resistance = "2 mohm", most_current = "100 A" }
motor = { speed_constant = "1500 rpm/V", resistance = "12 mohm", no_load_current = "3 A" }
fan = { diameter = "90 mm", hub_diameter = "35 mm", exit_diameter = "80 mm" }
bench = { voltage = "21.8 V", current = "78 A", thrust = "26 N" }

[change.hot]
text = "a motor of ten percent more speed constant"
[change.hot.power.motor]
speed_constant = "1650 rpm/V"
"""

PROPELLER_FILE = """
extends = "textbook-rotation"
[power]
kind = "electric"
battery = { cells = 3, cell_resistance = "5 mohm" }
motor = { speed_constant = "900 rpm/V", resistance = "35 mohm", no_load_current = "1.4 A" }
propeller = { diameter = "279 mm", pitch = "140 mm" }
bench = { voltage = "11.1 V", current = "25 A", thrust = "13 N" }
"""


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "fan.toml"
    path.write_text(FILE)
    return str(path)


def call(capsys, *words):
    code = main(list(words))
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def document(capsys, *words):
    code, out, err = call(capsys, "check", *words, "--json")
    assert code == 0 and err == ""
    return json.loads(out)


def test_the_power_trail_is_printed(capsys, file):
    code, out, err = call(capsys, "check", file)
    assert code == 0 and err == ""
    lines = out.split("\n")
    assert max(map(len, lines)) <= 80
    assert "\x1b" not in out and "…" not in out
    assert out.count("Power trail") == 2
    assert "full throttle at the current of standstill" in out.lower()
    assert "Mind" in out and "rated speed" in out and "\n\n\n" not in out
    for words in ("thrust [N]", "current [A]", "rotation [rpm]", "velocity of the jet [m/s]"):
        assert words in out


def test_each_stage_has_one_name(capsys, file):
    """Watts of the cells, of the controller's input and of the jet are three things."""
    out = call(capsys, "check", file)[1]
    for words in ("from the cells", "lost in the battery", "in the fan and duct", "in the jet"):
        assert words in out
    assert "power at the controller [W]" in out and "from the cells to the jet [%]" in out
    assert "pack" not in out.split("What these")[0]


def test_a_propeller_has_a_slipstream_and_no_duct(capsys, tmp_path):
    out = call(capsys, "check", propeller_file(tmp_path))[1]
    for words in (
        "in the propeller", "in the slipstream", "velocity of the slipstream [m/s]",
        "against an ideal propeller [%]", "The propeller is set by this reading",
    ):  # fmt: skip
        assert words in out
    for words in ("duct", "jet", "fan"):
        assert not re.search(rf"\b{words}\b", out.split("Mind")[0]), words
    report = call(capsys, "run", propeller_file(tmp_path), "--no-advice")[1]
    assert "in the slipstream" in report and "in the jet" not in report


def propeller_file(tmp_path):
    path = tmp_path / "propeller.toml"
    path.write_text(PROPELLER_FILE)
    return str(path)


def test_the_bench_stands_beside_the_prediction(capsys, file):
    """Full cells: 25.2 - 78 * 0.015 = 24.03 V where 21.8 V were read: 2.2 V, 10 %."""
    out = call(capsys, "check", file)[1]
    text = " ".join(out.split())
    rows = {line.split(" [")[0].strip(): line.split()[-3:] for line in bench_rows(out)}
    assert rows["voltage at the controller"][:2] == ["21.8", "21.8"]
    assert rows["current"][:2] == ["78.0", "78.0"] and rows["thrust"][:2] == ["26.0", "26.0"]
    assert rows["rotation"][:2] == ["-", "31,062"]
    assert "does not fit the reading: at the 78.0 A of the bench it holds 24.0 V, 2.2 V" in text
    assert "(10 %) more than the 21.8 V read" in text
    assert "emptier, colder or more worn" in text and "a cell" in text
    check = document(capsys, file)["checks"]["power"]["bench"]
    assert check["battery_voltage_at_bench_current_V"] == pytest.approx(24.03)
    assert not check["battery_agrees"] and check["read"]["thrust_N"] == pytest.approx(26.0)
    assert rows["thrust"][2] == f"{check['with_battery']['thrust_N']:.1f}"
    assert check["at_bench_voltage"]["rotation_rpm"] == pytest.approx(31_062, abs=1.0)
    report = " ".join(call(capsys, "run", file, "--no-advice")[1].split())
    assert "the battery as described holds 24.0 V at the 78.0 A of the bench" in report


def bench_rows(out):
    block = out.split("The bench reading")[1].split("\n\n")[0]
    return [line for line in block.split("\n") if "[" in line]


def test_a_battery_that_fits_the_reading_is_said_to_fit(capsys, file):
    """Half full: 6 * 3.84 - 1.17 = 21.87 V; a tenth full: 6 * 3.69 - 1.17 = 20.97 V."""
    fresh = edited(file, "cells = 6,", 'cells = 6, state_of_charge = "50 %",')
    text = " ".join(call(capsys, "check", fresh)[1].split())
    assert "holds 21.9 V at the 78.0 A of the bench: 0 % against the 21.8 V read" in text
    assert "does not fit" not in text
    assert "the battery as described holds" not in call(capsys, "run", fresh, "--no-advice")[1]
    text = " ".join(call(capsys, "check", edited(file, "50 %", "10 %"))[1].split())
    assert "holds 21.0 V, 0.8 V (4 %) less than the 21.8 V read" in text
    assert "fuller, fresher or warmer" in text


def edited(file, old, new):
    """The file with a piece of its text replaced."""
    path = Path(file)
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))
    return file


def test_another_battery_is_not_taken_for_a_slip(capsys, file):
    """Five cells laid over: 21.0 - 78 * 0.0125 = 20.025 V, and no word of what fits the reading."""
    five = ("--set", "power.battery.cells=5")
    text = " ".join(call(capsys, "check", file, *five)[1].split())
    assert "not the one in the file as it stands: changed, it holds 20.0 V at the 78.0 A" in text
    assert "not fit the reading" not in text and "reading fits" not in text
    (parts, battery) = document(capsys, file, *five)["checks"]["power"]["bench"]["text"]
    assert "give it back" in parts.replace("\n", " ") and "changed, it holds" in battery


def test_parts_with_another_motor_are_told_apart_from_the_reading(capsys, file):
    text = " ".join(call(capsys, "check", file, "--with", "hot")[1].split())
    assert "Read with another motor: at the same volts those fitted now give +" in text
    assert "give it back" not in text


def test_doubts_stand_above_the_trail(capsys, file):
    over = ("--set", "power.bench.voltage=26 V", "--set", "power.bench.thrust=12 N")
    wide = ("--set", "power.fan.exit_diameter=110 mm")
    out = call(capsys, "check", file, *over, *wide)[1]
    text = " ".join(out.split())
    assert out.index("To be looked at first") < out.index("Power trail at rest")
    for words in ("25.2 V of 6 full", "of the shaft's power at rest", "times as wide as the rotor"):
        assert text.count(words) == 1 and text.index(words) < text.index("Power trail"), words
    power = document(capsys, file, *over, *wide)["checks"]["power"]
    assert len(power["doubts"]) == 3
    assert "To be looked at first" not in call(capsys, "check", file)[1]


def test_keys_that_would_give_limits(capsys, file):
    edited(edited(file, ', most_current = "140 A"', ""), ', most_current = "100 A"', "")
    text = " ".join(call(capsys, "check", file)[1].split())
    assert (
        "No limits were given. Keys for them: power.battery.most_current,"
        " power.controller.most_current, power.motor.most_current, power.motor.most_power,"
        " power.fan.most_rotation." in text
    )


def test_every_resistance_is_named_with_its_unit(capsys, file):
    """A controller that is left out is estimated, and named like one that is given."""
    (line,) = [line for line in FILE.split("\n") if "controller" in line]
    power = document(capsys, edited(file, line, ""))["scenario"]["power"]
    assert power["controller"] == {"resistance_ohm": 0.002}
    assert power["battery"]["cell_resistance_ohm"] == 0.0025
    assert power["motor"]["resistance_ohm"] == 0.012


def test_a_change_of_a_percentage_is_in_points(capsys, file):
    out = call(capsys, "check", file, "--with", "hot")[1]
    (line,) = [line for line in out.split("\n") if "motor efficiency [%]" in line]
    before, after, change = line.split("]")[1].split()[:3]
    assert "%" not in line.split("]")[1] and int(change) == int(after) - int(before)
    (line,) = [line for line in out.split("\n") if "shaft power [W]" in line]
    assert line.rstrip().endswith("%")


def test_speeds_of_rotation_have_their_thousands_apart(capsys, file):
    limit = ("--set", "power.fan.most_rotation=32000 rpm")
    for words in (("check", file, *limit), ("run", file, "--no-advice", *limit)):
        out = call(capsys, *words)[1]
        found = re.findall(r"[\d,]+(?= rpm)", out)
        found += [
            n for line in out.split("\n") if "[rpm]" in line for n in re.findall(r"[\d,]{5,}", line)
        ]
        assert found and all("," in number for number in found), found


def test_the_bars_close(capsys, file):
    """Losses and jet take up the whole bar of the battery, each at the end of what was left."""
    out = call(capsys, "check", file)[1]
    block = out.split("Power trail at rest")[1].split("Power trail")[0]
    bars = [line for line in block.split("\n") if " W " in line]
    watts = [float(re.search(r"(\d+) W", line).group(1)) for line in bars]
    assert watts[0] == pytest.approx(sum(watts[1:]), abs=4.0)
    ends = [len(line) for line in bars]
    starts = [len(line) - len(line.split(" ")[-1]) for line in bars]
    assert ends[1] == ends[0]
    for k in range(2, len(bars)):
        assert abs(ends[k] - starts[k - 1]) <= 1


def test_the_energy_chain_closes_in_the_document(capsys, file):
    power = document(capsys, file)["checks"]["power"]
    assert power["moments"][0]["name"] == "at rest"
    for moment in power["moments"]:
        chain = moment["chain"]
        assert sum(chain["goes_to"].values()) == pytest.approx(chain["battery_power_W"], rel=1e-9)
        jet, speed = chain["goes_to"]["jet_W"], moment["airspeed_m_per_s"]
        efflux = moment["efflux_velocity_m_per_s"]
        assert jet == pytest.approx(moment["thrust_N"] * (efflux + speed) / 2.0, rel=1e-9)


def test_a_limit_passed_is_said_plainly(capsys, file):
    code, out, _ = call(capsys, "check", file, "--with", "hot")
    assert code == 0
    power = document(capsys, file, "--with", "hot")["checks"]["power"]
    over = {row["part"]: row for row in power["limits"]}["controller"]
    assert over["exceeded"] and over["source"] == "given by you"
    amps = round(over["most"])
    sentence = f"The controller carries {amps} A at rest, {amps - 100} A over its 100 A."
    assert sentence in out
    assert not {row["part"]: row for row in power["limits"]}["battery"]["exceeded"]


def test_old_and_new_stand_side_by_side(capsys, file):
    out = call(capsys, "check", file, "--with", "hot")[1]
    assert "before" in out and "after" in out and "change" in out
    power = document(capsys, file, "--with", "hot")["checks"]["power"]
    was, now = (p["moments"][0] for p in (power["before"], power))
    assert 1.08 < now["thrust_N"] / was["thrust_N"] < 1.21
    assert 1.18 < now["chain"]["current_A"] / was["chain"]["current_A"] < 1.33
    plain = document(capsys, file)["checks"]["power"]
    assert plain["before"] is None
    assert plain["moments"][0] == was
    both = [p["moments"][1]["airspeed_m_per_s"] for p in (power["before"], power)]
    assert both[0] == both[1]


def test_set_is_compared_too(capsys, file):
    power = document(capsys, file, "--set", "power.battery.cells=5")["checks"]["power"]
    assert power["moments"][0]["thrust_N"] < power["before"]["moments"][0]["thrust_N"]


def test_a_measured_thrust_is_told_honestly_and_briefly(capsys):
    code, out, _ = call(capsys, "check", "textbook-rotation")
    assert code == 0
    assert "nothing is known of the watts behind it" in " ".join(out.split())
    assert "\n\n\n" not in out and "No limits" not in out
    assert "Power trail" not in out
    power = document(capsys, "textbook-rotation")["checks"]["power"]
    assert power["moments"][0]["chain"] is None and power["limits"] == []


def test_a_duct_tells_its_jet_power(capsys):
    keys = ("--set", "power.kind=ducted-fan", "--set", "power.exit_diameter=80 mm")
    given = ("--set", "power.static_thrust=26 N", "--set", "air.temperature=15 degC")
    power = document(capsys, "textbook-rotation", *keys, *given)["checks"]["power"]
    rest = power["moments"][0]
    density = power["air_density_kg_per_m3"]
    area = 3.141592653589793 / 4.0 * 0.08**2
    assert rest["efflux_velocity_m_per_s"] == pytest.approx((26.0 / (density * area)) ** 0.5)
    assert rest["jet_power_W"] == pytest.approx(26.0**1.5 / (2.0 * (density * area) ** 0.5))
    # the ideal fan keeps its jet power at every airspeed
    assert power["moments"][1]["jet_power_W"] == pytest.approx(rest["jet_power_W"], rel=1e-9)


def test_run_tells_of_power_and_limits(capsys, file):
    out = call(capsys, "run", file, "--no-advice", "--with", "hot")[1]
    assert "\nPower\n" in out and "over its 100 A" in out
    assert "rated speed" in out
    assert "\nPower\n" not in call(capsys, "run", "textbook-rotation", "--no-advice")[1]


def test_pictures(capsys, file, tmp_path):
    folder = tmp_path / "pictures"
    assert call(capsys, "check", file, "--with", "hot", "--plots", str(folder))[0] == 0
    assert (folder / "fan-strength.png").is_file()
    content = (folder / "fan-power.png").read_bytes()
    assert content.startswith(b"\x89PNG")
    assert call(capsys, "check", file, "--plots", str(folder))[0] == 2  # not without --force
    assert call(capsys, "check", file, "--with", "hot", "--plots", str(folder), "--force")[0] == 0
    assert (folder / "fan-power.png").read_bytes() == content
    assert call(capsys, "check", "textbook-rotation", "--plots", str(folder))[0] == 0


def test_bad_input_ends_with_two(capsys, file):
    code, out, err = call(capsys, "check", file, "--set", "power.bench.thrust=90 N")
    assert code == 2 and out == ""
    assert "power.bench.thrust" in err and "electrical power" in err


def test_imperial(capsys, file):
    out = call(capsys, "check", file, "--units", "imperial")[1]
    assert "thrust [lbf]" in out and "mph" in out and "m/s" not in out


def test_sections_are_a_list():
    assert [section.key for section in SECTIONS] == ["power", "strength"]
