"""The example every other scenario test starts from; here: that it loads as it stands."""

import json
import math
import tomllib

import pytest

from sim.scenario import Trigger, load_scenario, parse_scenario

EXAMPLE = """
title = "Foam sport jet on mown grass, flaps up, mains far aft"

[aeroplane]
mass         = "3.20 kg"
length       = "1.28 m"
body         = { width = "130 mm", depth = "120 mm" }
cg           = { station = "560 mm", height = "0 mm" }
scrape_point = { station = "1230 mm", height = "-20 mm" }

[aeroplane.wing]
span              = "1.00 m"
root_chord        = "490 mm"
tip_chord         = "165 mm"
sweep             = "26 deg"
root_leading_edge = { station = "395 mm", height = "0 mm" }
incidence         = "1 deg"
washout           = "0 deg"
section           = { name = "symmetrical", thickness = "9 %", max_lift = 1.0 }

[aeroplane.wing.flaps]
kind           = "plain"
inboard        = "85 mm"
outboard       = "295 mm"
chord_fraction = 0.22
deflection     = "0 deg"

[aeroplane.tail]
kind              = "all-moving"
span              = "490 mm"
root_chord        = "195 mm"
tip_chord         = "100 mm"
sweep             = "33 deg"
root_leading_edge = { station = "940 mm", height = "0 mm" }
pivot             = { station = "1035 mm" }
incidence         = "0 deg"
section           = { name = "symmetrical", thickness = "6 %", max_lift = 0.9 }
throw             = { up = "15 deg", down = "12 deg" }

[aeroplane.gear]
main = { station = "690 mm", axle_height = "-122 mm", wheel_diameter = "64 mm", track = "310 mm" }
nose = { station = "215 mm", axle_height = "-122 mm", wheel_diameter = "64 mm" }

[power]
kind                 = "measured"
static_thrust        = "24 N"
zero_thrust_airspeed = "74 m/s"
spool_time           = "0.5 s"
thrust_line          = { height = "0 mm", tilt = "0 deg" }

[strip]
surface       = "mown grass"
length        = "80 m"
slope         = "0 %"
screen_height = "2 m"

[air]
temperature = "18 degC"
elevation   = "120 m"
headwind    = "0 m/s"

[pilot]
hold            = 0.0
pull_at         = "20 m"
pull            = 1.0
reaction_time   = "0.25 s"
climb_attitude  = "10 deg"
"""


def example() -> dict:
    return tomllib.loads(EXAMPLE)


FULL_SIZE = {
    "aeroplane": {
        "mass": "33112 kg",
        "cg": {"station": "0 m", "height": "0 m"},
        "pitch_inertia": "6e5 kg*m^2",
        "gear": {
            "main": {"station": "0.5 m", "axle_height": "-1.4 m", "wheel_diameter": "0.8 m"},
            "nose": {"station": "-9 m", "axle_height": "-1.5 m", "wheel_diameter": "0.6 m"},
        },
        "coefficients": {
            "reference_area": "88.26 m^2",
            "reference_chord": "4 m",
            "lift_at_zero": 0.1,
            "lift_slope": "0.09 1/deg",
            "max_lift": 1.8,
            "tail_lift_per_elevator": -0.4,
            "tail_point": {"station": "10 m", "height": "1 m"},
            "throw": {"up": "20 deg", "down": "15 deg"},
            "drag_at_zero_lift": 0.0327,
            "induced_drag_factor": 0.08,
            "ground_effect_factor": 0.588,
        },
    },
    "power": {"kind": "measured", "static_thrust": "97.7 kN", "fall_off": "constant"},
    "strip": {"rolling_resistance": 0.04, "length": "2000 m"},
    "pilot": {"pull_at": "62 m/s"},
}


def test_the_example_loads_as_it_stands(tmp_path):
    file = tmp_path / "example.toml"
    file.write_text(EXAMPLE, encoding="utf-8")
    scenario = load_scenario(file)
    assert scenario.aeroplane.mass == 3.2
    assert scenario.aeroplane.gear.main.station == 0.69
    assert scenario.aeroplane.wing.sweep == pytest.approx(math.radians(26.0), rel=1e-15)
    assert scenario.aeroplane.wing.section.thickness == 0.09
    assert scenario.air.temperature == 291.15
    assert scenario.pilot.pull_at == Trigger("place", 20.0)
    assert scenario.strip.slope == 0.0
    assert scenario.source == str(file)


def test_a_dictionary_gives_the_same_scenario():
    assert parse_scenario(example()) == parse_scenario(example(), "elsewhere")
    assert parse_scenario(example()) != parse_scenario(example() | {"title": "another"})


def test_resolved_is_plain_json_with_units_in_the_names():
    resolved = parse_scenario(example()).resolved()
    again = json.loads(json.dumps(resolved, allow_nan=False))
    assert again == resolved
    assert again["aeroplane"]["mass_kg"] == 3.2
    assert again["aeroplane"]["wing"]["sweep_rad"] == pytest.approx(0.4537856)
    assert again["power"]["zero_thrust_airspeed_m_per_s"] == 74.0
    assert again["pilot"]["pull_at"] == {"place_m": 20.0}
    assert again["aeroplane"]["pitch_inertia_kg_m2"] is None


def test_a_full_size_aeroplane_of_coefficients_fits_the_bounds():
    scenario = parse_scenario(FULL_SIZE)
    coefficients = scenario.aeroplane.coefficients
    assert scenario.aeroplane.scrape_point is None
    assert scenario.aeroplane.wing is None
    assert coefficients.lift_slope == pytest.approx(0.09 * 180.0 / math.pi)
    assert coefficients.tail_lift_per_elevator == -0.4
    assert coefficients.moment_slope == 0.0
    assert scenario.strip.rolling_resistance.low == scenario.strip.rolling_resistance.high == 0.04
    assert scenario.pilot.pull_at == Trigger("airspeed", 62.0)


def test_what_was_left_out_is_told():
    told = {item.key: item.reason for item in parse_scenario(example()).defaulted}
    assert "estimated" in told["aeroplane.pitch_inertia"]
    assert told["pilot.notice_threshold"] == "taken as 2 deg"
    assert "aeroplane.mass" not in told
    assert "aeroplane.wing.washout" not in told  # given, though zero
    assert "pilot.pull" not in told
    assert "air.elevation" not in told


def test_one_thing_told_silences_its_alternative():
    data = example()
    data["air"] = {"pressure": "990 hPa"}
    data["aeroplane"]["swing"] = {
        "string_separation": "400 mm",
        "string_length": "1.5 m",
        "period": "2 s",
    }
    told = {item.key for item in parse_scenario(data).defaulted}
    assert "air.elevation" not in told
    assert "aeroplane.pitch_inertia" not in told
    assert "aeroplane.swing.mass" in told
    assert "air.temperature" in told


def test_a_missing_table_is_told_as_one():
    data = example()
    del data["air"], data["aeroplane"]["wing"]["section"], data["power"]["thrust_line"]
    scenario = parse_scenario(data)
    told = {item.key for item in scenario.defaulted}
    assert {"air", "aeroplane.wing.section", "power.thrust_line"} <= told
    assert scenario.air.temperature == 288.15
