"""The page on measuring: its worked numbers are worked out here, its keys exist."""

import re
from math import asin, cos, degrees, radians, sin
from pathlib import Path

import pytest

import sim.scenario
from sim.aeroplane.inertia import estimated_inertia, swung_inertia
from sim.aeroplane.weighing import Wheels, level_station, tilted_height
from sim.power.fan import (
    disc_area,
    jet_power_from_static_thrust,
    static_thrust,
    zero_thrust_airspeed,
)
from sim.prepare import prepare
from sim.scenario import load_scenario, parse_quantity, parse_scenario, with_overrides
from sim.scenario.keys import walk_keys
from sim.strip.coast_down import stopping
from sim.strip.reading import Roller
from sim.strip.tow import tow_resistance

PAGE = (Path(sim.scenario.__file__).parent / "MEASURING.md").read_text(encoding="utf-8")
TEXT = " ".join(PAGE.split())
SECTIONS = re.split(r"^## ", PAGE, flags=re.MULTILINE)[1:]

G = 9.80665
WHEELS = Wheels(0.210, -0.124, 0.655, -0.118)
NOSE, MAINS, RAISED, TILT = 0.383, 2.717, 0.155, radians(15.0)
MASS = NOSE + MAINS
STATION = level_station(NOSE, MAINS, WHEELS)
EXIT = disc_area(0.068)
AIR = 1.225


def height(raised: float, tilt: float) -> float:
    return tilted_height(STATION, raised / MASS, tilt, WHEELS)


def printed_height() -> float:
    """The formula as it stands on the page, above the main axle [m]."""
    a, b = WHEELS.main_station - STATION, WHEELS.main_station - WHEELS.nose_station
    z = WHEELS.nose_height - WHEELS.main_height
    return (a * cos(TILT) - RAISED / MASS * (b * cos(TILT) - z * sin(TILT))) / sin(TILT)


def coast(distance: float, time: float) -> float:
    """Resistance of a model that slows down evenly to a stop [-]."""
    return 2.0 * distance / (G * time**2)


def worked() -> list[str]:
    """Every sentence with numbers, computed."""
    inertia, estimate = swung_inertia(MASS, 0.5, 1.5, 2.2), estimated_inertia(MASS, 1.26)
    end = zero_thrust_airspeed(21.0, EXIT, AIR)
    power, jet = 21.8 * 78.0, jet_power_from_static_thrust(21.0, EXIT, AIR)
    thrust = parse_quantity("2.14 kgf", "force")
    moved = level_station(NOSE + 0.005, MAINS, WHEELS) - STATION
    return [
        f"383 g under the nose wheel at 210 mm, 2717 g under the mains at 655 mm: {MASS:.2f} kg,"
        f" CG at {1000 * STATION:.0f} mm, {NOSE / MASS:.1%} of the weight".replace("%", " %"),
        f"the same model at 15 deg, 155 g on the nose scale: {1000 * printed_height():.0f} mm above"
        f" the main axle, which is {1000 * height(RAISED, TILT):.0f} mm above the reference line",
        f"3 mm of the main axle's station is {300 / 445:.1f} % of the weight",
        f"5 g on the nose scale, which moves that CG by {-1000 * moved:.1f} mm",
        f"5 g on the scale is {1000 * (height(RAISED - 0.005, TILT) - height(RAISED, TILT)):.0f} mm"
        f" of height; half a degree is"
        f" {1000 * (height(RAISED, TILT) - height(RAISED, TILT + radians(0.5))):.0f} mm",
        f"3.10 kg, strings 1.5 m long and 500 mm apart, 2.20 s: {inertia:.3f} kg*m^2."
        f" From mass and length alone, 1.26 m, the estimate is {estimate.typical:.3f}"
        f" ({estimate.low:.3f} to {estimate.high:.3f})",
        f"2.14 kgf is {thrust:.0f} N",
        f"21 N through 68 mm: no thrust left at {end.typical:.0f} m/s ({end.low:.0f} to"
        f" {end.high:.0f} m/s)",
        f"1 mm of diameter is {100 / 68:.1f} % of the airspeed",
        f"21.8 V and 78 A are {power:.0f} W. 21 N through 68 mm carry {jet:.0f} W,"
        f" {100 * jet / power:.0f} % of that. No fan can push more than"
        f" {static_thrust(power, EXIT, AIR):.1f} N",
        f"3.95 N for 3.10 kg: {tow_resistance(3.95, 3.10 * G, 0.0):.3f}",
        f"6.0 m in 3.1 s: {coast(6.0, 3.1):.3f}",
        f"0.1 s in 3 s is {200 * 0.1 / 3.0:.0f} %",
        f"26 mm at 150 mm from the pivot: {degrees(2.0 * asin(0.5 * 26 / 150)):.1f} deg",
        f"1 mm at 150 mm is {degrees(1 / 150):.1f} deg",
        f"0.9 deg under 1 kgf ({parse_quantity('1 kgf', 'force'):.2f} N):"
        f" {0.9 / parse_quantity('1 kgf', 'force'):.3f} deg/N",
    ]


@pytest.mark.parametrize("sentence", worked())
def test_worked_numbers_are_what_the_program_works_out(sentence: str) -> None:
    assert sentence in TEXT


def test_every_worked_example_is_computed_here() -> None:
    examples = re.findall(r"Worked: (\S+ \S+ \S+)", TEXT)
    assert len(examples) >= 10
    for example in examples:
        assert any(example in sentence for sentence in worked()), example


def test_readings_stay_with_the_parts_they_were_taken_with() -> None:
    wheels = {"nose": f"{NOSE} kg", "mains": f"{MAINS} kg"}
    swing = {"string_separation": "500 mm", "string_length": "1.5 m", "period": "2.2 s"}
    raw = load_scenario("meadow-jet").raw
    body = {k: v for k, v in raw["aeroplane"].items() if k not in ("mass", "pitch_inertia")}
    body |= {"cg": {"height": "4 mm"}, "weighing": wheels, "swing": swing}
    weighed = parse_scenario(raw | {"aeroplane": body})
    moved = prepare(with_overrides(weighed, ["aeroplane.gear.main.station=640 mm"]))
    assert moved.coefficients["cg_station_m"] == pytest.approx(STATION, abs=1e-9)
    assert "stays at 600 mm, where it was measured" in TEXT


def test_the_printed_formula_of_the_tilt_is_the_programs() -> None:
    assert printed_height() == pytest.approx(height(RAISED, TILT) - WHEELS.main_height, rel=1e-12)


def test_the_printed_formula_of_the_swing_is_the_programs() -> None:
    m, d, t, length = 3.1, 0.5, 2.2, 1.5
    printed = m * G * d**2 * t**2 / (16 * 3.141592653589793**2 * length)
    assert printed == pytest.approx(swung_inertia(m, d, length, t), rel=1e-12)


def test_the_short_coast_down_agrees_with_the_whole_law_without_air() -> None:
    distance, time = stopping(coast(6.0, 3.1), 2.0 * 6.0 / 3.1, Roller(MASS, G, 1.0))
    assert (distance, time) == (pytest.approx(6.0, rel=1e-9), pytest.approx(3.1, rel=1e-9))


def test_every_key_named_exists() -> None:
    keys = {path for path, _ in walk_keys()}
    named = set(re.findall(r"`((?:aeroplane|power|strip|air|pilot)\.[a-z_.]+)`", PAGE))
    assert len(named) >= 25
    assert named <= keys, named - keys


@pytest.mark.parametrize("section", SECTIONS, ids=lambda text: text.split("\n")[0])
def test_each_measurement_has_its_key_error_and_caution(section: str) -> None:
    for word in ("- Key: `", "- Usual error: ", "- Caution: "):
        assert section.count(word) == 1
    caution = section.partition("- Caution: ")[2]
    assert "disconnected" in caution or "clear of" in caution or "as for static thrust" in caution


@pytest.mark.parametrize(
    "words",
    [
        "safety code, the law and the rules of the site",
        "tied down to something that cannot move",
        "clear of intake, exhaust and the plane of the fan",
        "never past the rotor's rated speed",
        "charged and stored by their maker's rules",
        "cut wet, with a mask on",
        "Never run after a model that aborts",
    ],
)
def test_cautions_stand_on_the_page(words: str) -> None:
    assert words in TEXT


def test_it_stays_short() -> None:
    assert len(PAGE.split()) < 1900
    assert max(map(len, PAGE.splitlines())) <= 110
