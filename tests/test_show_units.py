"""Units of what people read, against a units library that knows nothing of this project."""

from math import inf, nan, pi

import pint
import pytest

from sim.checks.sentence import Quantity, sentence
from sim.roll.columns import TRACE_COLUMNS
from sim.show.units import SYSTEMS, UNITS, formatter, number, number_text, quantity, unit_of

LIBRARY = pint.UnitRegistry()
SI = {
    "angle": "radian", "angular_rate": "radian/second", "angular_acceleration": "radian/second**2",
    "time": "second", "share": "dimensionless", "power": "watt", "distance": "meter",
    "height": "meter", "length": "meter", "speed": "meter/second",
    "acceleration": "meter/second**2", "force": "newton", "mass": "kilogram",
    "stress": "pascal",
    "inertia": "kilogram*meter**2", "moment": "newton*meter", "energy": "joule",
    "area": "meter**2", "temperature": "kelvin", "pressure": "pascal",
    "density": "kilogram/meter**3", "voltage": "volt", "current": "ampere", "resistance": "ohm",
    "rotation": "radian/second",
}  # fmt: skip
SPELLED = {
    "deg": "degree", "deg/s": "degree/second", "deg/s^2": "degree/second**2", "%": "percent",
    "mm": "millimeter", "dm^2": "decimeter**2", "in": "inch", "in^2": "inch**2", "ft": "foot",
    "ft/s^2": "foot/second**2", "mph": "mile/hour", "lbf": "force_pound", "lb": "pound",
    "lb*ft^2": "pound*foot**2", "lbf*in": "force_pound*inch", "ft*lbf": "foot*force_pound",
    "degC": "degree_Celsius", "degF": "degree_Fahrenheit", "hPa": "hectopascal",
    "inHg": "inch_Hg_32F", "lb/ft^3": "pound/foot**3", "kg*m^2": "kilogram*meter**2",
    "mohm": "milliohm", "rpm": "revolution/minute", "N*m": "newton*meter",
    "MPa": "megapascal", "lbf/in^2": "force_pound/inch**2",
    "kg/m^3": "kilogram/meter**3", "m/s^2": "meter/second**2",
}  # fmt: skip


@pytest.mark.parametrize(
    ("system", "kind"), [(s, k) for s in SYSTEMS for k in UNITS[s] if k != "fraction"]
)
@pytest.mark.parametrize("value", [0.0, 1.0, -2.5, 311.7])
def test_every_unit_agrees_with_the_library(system, kind, value):
    unit = unit_of(kind, system)
    symbol = SPELLED.get(unit.symbol, unit.symbol)
    expected = LIBRARY.Quantity(value, SI[kind]).to(symbol).magnitude
    assert unit.shown(value) == pytest.approx(expected, rel=2e-6, abs=1e-9)


def test_exact_definitions():
    # International yard and pound agreement (1959): 1 ft = 0.3048 m, 1 lb = 0.45359237 kg;
    # standard gravity 9.80665 m/s2 (CGPM 1901). Known values, from memory.
    assert unit_of("distance", "imperial").shown(0.3048) == pytest.approx(1.0, rel=1e-15)
    assert unit_of("force", "imperial").shown(4.4482216152605) == pytest.approx(1.0, rel=1e-14)
    assert unit_of("speed", "imperial").shown(0.44704) == pytest.approx(1.0, rel=1e-15)
    assert unit_of("angle", "imperial").shown(pi) == pytest.approx(180.0, rel=1e-15)


def test_both_systems_know_the_same_kinds_and_all_columns():
    assert set(UNITS["si"]) == set(UNITS["imperial"])
    assert {column.kind for column in TRACE_COLUMNS} <= set(UNITS["si"])


@pytest.mark.parametrize(
    ("value", "kind", "system", "text"),
    [
        (12.34, "distance", "si", "12.3 m"),
        (12.34, "distance", "imperial", "40 ft"),
        (10.0, "speed", "imperial", "22.4 mph"),
        (0.0105, "length", "si", "10 mm"),
        (pi / 4, "angle", "si", "45.0 deg"),
        (nan, "speed", "si", "-"),
        (-0.0001, "distance", "si", "0.0 m"),
        (-0.06, "distance", "si", "-0.1 m"),
        (0.1334, "share", "si", "13 %"),
        (0.13, "fraction", "si", "0.130"),
        (inf, "distance", "si", "endless"),
        (3.0, "something else", "si", "3.000"),
        (288.15, "temperature", "si", "15.0 degC"),
        (288.15, "temperature", "imperial", "59.0 degF"),
    ],
)
def test_written_as_people_write_it(value, kind, system, text):
    assert quantity(value, kind, system) == text
    assert formatter(system)(Quantity(value, kind)) == text


def test_numbers_alone():
    assert number(1.0, "length", "si", 1) == "1000.0"
    assert number_text(-0.004, 2) == "0.00"
    assert number_text(-inf, 2) == "-endless"


def test_sentence_in_either_system():
    words = sentence("It lifts off at {a} with {v}.", a=(50.0, "distance"), v=(15.0, "speed"))
    assert words.text(formatter()) == "It lifts off at 50.0 m with 15.0 m/s."
    assert words.text(formatter("imperial")) == "It lifts off at 164 ft with 33.6 mph."


def test_unknown_system_is_refused():
    with pytest.raises(ValueError, match="si and imperial"):
        formatter("cubits")
