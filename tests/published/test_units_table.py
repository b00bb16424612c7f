"""Every unit a scenario may use, row by row, against values from outside the project.

Sources
-------
SI: BIPM, The International System of Units, 9th edition (2019), tables 4, 7 and 8: prefixes and
    units accepted beside it. Exact by definition.
SP811: NIST Special Publication 811 (2008), Appendix B.8. International yard and pound and
    standard gravity 9.80665 m/s2 are exact; the other figures are printed to seven digits.
Mark: from memory, checked below a second time by an independent library where it has the unit;
the conventional inch of mercury, 3.386 389 E+03 Pa, read in a reproduction of the appendix.
"""

import math

import pint
import pytest
from scipy import constants

from sim.scenario.unit_table import DIMENSIONS, OFFSET_UNITS, UNITS
from sim.scenario.units import parse_quantity, to_display

EXACT = 1e-14
SEVEN_DIGITS = 5e-7  # half a digit in the sixth decimal place of d.dddddd E+dd, at worst

# text, kind, SI value, relative tolerance, source
ROWS = [
    ("1 mm", "length", 1e-3, EXACT, "SI"),
    ("1 cm", "length", 1e-2, EXACT, "SI"),
    ("1 dm", "length", 1e-1, EXACT, "SI"),
    ("1 m", "length", 1.0, EXACT, "SI"),
    ("1 km", "length", 1e3, EXACT, "SI"),
    ("1 in", "length", 0.0254, EXACT, "SP811, exact"),
    ("1 ft", "length", 0.3048, EXACT, "SP811, exact"),
    ("1 yd", "length", 0.9144, EXACT, "SP811, exact"),
    ("1 m^2", "area", 1.0, EXACT, "SI"),
    ("1 dm^2", "area", 1e-2, EXACT, "SI"),
    ("1 cm^2", "area", 1e-4, EXACT, "SI"),
    ("1 mm^2", "area", 1e-6, EXACT, "SI"),
    ("1 in^2", "area", 6.4516e-4, EXACT, "SP811, exact"),
    ("1 ft^2", "area", 9.290304e-2, EXACT, "SP811, exact"),
    ("1 g", "mass", 1e-3, EXACT, "SI"),
    ("1 kg", "mass", 1.0, EXACT, "SI"),
    ("1 lb", "mass", 0.45359237, EXACT, "SP811, exact"),
    ("1 oz", "mass", 0.028349523125, EXACT, "SP811, a sixteenth of the pound"),
    ("1 N", "force", 1.0, EXACT, "SI"),
    ("1 mN", "force", 1e-3, EXACT, "SI"),
    ("1 kN", "force", 1e3, EXACT, "SI"),
    ("1 kgf", "force", 9.80665, EXACT, "SP811, exact"),
    ("1 gf", "force", 9.80665e-3, EXACT, "SP811, exact"),
    ("1 lbf", "force", 4.4482216152605, EXACT, "SP811, exact"),
    ("1 ozf", "force", 2.780139e-1, SEVEN_DIGITS, "SP811"),
    ("180 deg", "angle", math.pi, EXACT, "SI"),
    ("1 deg", "angle", 1.745329e-2, SEVEN_DIGITS, "SP811"),
    ("1 rad", "angle", 1.0, EXACT, "SI"),
    ("1 m/s", "speed", 1.0, EXACT, "SI"),
    ("36 km/h", "speed", 10.0, EXACT, "SI"),
    ("1 ft/s", "speed", 0.3048, EXACT, "SP811, exact"),
    ("1 mph", "speed", 0.44704, EXACT, "SP811, exact"),
    ("3600 kt", "speed", 1852.0, EXACT, "SI, table 8 of the 8th edition: nautical mile an hour"),
    ("0 degC", "temperature", 273.15, EXACT, "SI"),
    ("100 degC", "temperature", 373.15, EXACT, "SI"),
    ("-40 degC", "temperature", 233.15, EXACT, "SI"),
    ("32 degF", "temperature", 273.15, EXACT, "SP811: K = (F + 459.67)/1.8"),
    ("-40 degF", "temperature", 233.15, EXACT, "SP811"),
    ("212 degF", "temperature", 373.15, EXACT, "SP811"),
    ("1 K", "temperature", 1.0, EXACT, "SI"),
    ("1 Pa", "pressure", 1.0, EXACT, "SI"),
    ("1 hPa", "pressure", 1e2, EXACT, "SI"),
    ("1 kPa", "pressure", 1e3, EXACT, "SI"),
    ("1 MPa", "stress", 1e6, EXACT, "SI"),
    ("1 N/mm^2", "stress", 1e6, EXACT, "SI"),
    ("1 lbf/in^2", "stress", 6.894757e3, SEVEN_DIGITS, "SP811"),
    ("1 inHg", "pressure", 3.386389e3, SEVEN_DIGITS, "SP811, conventional"),
    ("1 %", "fraction", 1e-2, EXACT, "SI, 5.4.7"),
    ("1 W", "power", 1.0, EXACT, "SI"),
    ("1 kW", "power", 1e3, EXACT, "SI"),
    ("1 V*A", "power", 1.0, EXACT, "SI"),
    ("1 V", "voltage", 1.0, EXACT, "SI"),
    ("1 A", "current", 1.0, EXACT, "SI"),
    ("1 mA", "current", 1e-3, EXACT, "SI"),
    ("1 Ah", "charge", 3600.0, EXACT, "SI: ampere times hour, SP811 B.8"),
    ("1 mAh", "charge", 3.6, EXACT, "SI"),
    ("2 A*h", "charge", 7200.0, EXACT, "SI"),
    ("1 kg/m^3", "density", 1.0, EXACT, "SI"),
    ("1 lb/ft^3", "density", 1.601846e1, SEVEN_DIGITS, "SP811"),
    ("30 rpm", "rotation", math.pi, EXACT, "SP811: 2 pi/60 rad/s"),
    ("1 ohm", "resistance", 1.0, EXACT, "SI"),
    ("1 mohm", "resistance", 1e-3, EXACT, "SI"),
    ("30 rpm", "turn_rate", math.pi, EXACT, "SP811: 2 pi/60 rad/s"),
    ("1 rpm", "turn_rate", 1.047198e-1, SEVEN_DIGITS, "SP811"),
    ("180 deg/s", "turn_rate", math.pi, EXACT, "SI"),
    ("30 rpm/V", "motor_constant", math.pi, EXACT, "SP811: 2 pi/60 rad/s"),
    ("1 s", "time", 1.0, EXACT, "SI"),
    ("1 ms", "time", 1e-3, EXACT, "SI"),
    ("1 min", "time", 60.0, EXACT, "SI, table 8"),
    ("1 h", "time", 3600.0, EXACT, "SI, table 8"),
    ("1 Hz", "frequency", 1.0, EXACT, "SI"),
    ("1 1/s", "frequency", 1.0, EXACT, "SI"),
    ("1 1/rad", "per_angle", 1.0, EXACT, "SI"),
    ("1 1/deg", "per_angle", 180.0 / math.pi, EXACT, "SI: 57.2958 per radian, not 0.01745"),
    ("1 kg*m^2", "inertia", 1.0, EXACT, "SI"),
    ("1 g*cm^2", "inertia", 1e-7, EXACT, "SI"),
    ("1 lb*ft^2", "inertia", 4.214011e-2, SEVEN_DIGITS, "SP811"),
    ("1 lb*in^2", "inertia", 2.926397e-4, SEVEN_DIGITS, "SP811"),
    ("16 oz*in^2", "inertia", 2.926397e-4, SEVEN_DIGITS, "SP811, sixteen ounces to the pound"),
    ("1 N*m", "torque", 1.0, EXACT, "SI"),
    ("1 ozf*in", "torque", 7.061552e-3, SEVEN_DIGITS, "SP811"),
    ("1 lbf*ft", "torque", 1.355818, SEVEN_DIGITS, "SP811"),
    ("1 lbf/in", "stiffness", 1.751268e2, SEVEN_DIGITS, "SP811"),
    ("1 N/m", "stiffness", 1.0, EXACT, "SI"),
    ("180 deg/N", "twist", math.pi, EXACT, "SI"),
]

# What an independent library of constants (scipy) says of the same units.
LIBRARY = {
    "in": constants.inch,
    "ft": constants.foot,
    "yd": constants.yard,
    "lb": constants.pound,
    "oz": constants.ounce,
    "lbf": constants.lbf,
    "kgf": constants.kgf,
    "mph": constants.mph,
    "kt": constants.knot,
    "deg": constants.degree,
    "min": constants.minute,
    "h": constants.hour,
}


@pytest.fixture(scope="module")
def library():
    return pint.UnitRegistry()


@pytest.mark.parametrize(("text", "kind", "expected", "tolerance", "source"), ROWS)
def test_each_unit_has_its_published_value(text, kind, expected, tolerance, source):
    assert parse_quantity(text, kind) == pytest.approx(expected, rel=tolerance, abs=0.0), source


def test_the_table_has_a_row_for_every_unit():
    texts = " ".join(row[0].replace("/", " ").replace("*", " ").replace("^", " ") for row in ROWS)
    assert set(UNITS) <= set(texts.split())
    assert {row[1] for row in ROWS} == set(DIMENSIONS) - {"bare", "distance"}


@pytest.mark.parametrize("unit", LIBRARY)
def test_a_second_library_agrees(unit):
    kind = next(name for name, d in DIMENSIONS.items() if d.vector == UNITS[unit][1])
    assert parse_quantity(f"1 {unit}", kind) == pytest.approx(LIBRARY[unit], rel=1e-14)


@pytest.mark.parametrize("unit", sorted(set(UNITS) - OFFSET_UNITS))
def test_the_units_library_agrees_by_its_own_definitions(unit, library):
    kind = next(name for name, d in DIMENSIONS.items() if d.vector == UNITS[unit][1])
    theirs = float(library.Quantity(1.0, UNITS[unit][0]).to_base_units().magnitude)
    assert parse_quantity(f"1 {unit}", kind) == pytest.approx(theirs, rel=1e-14)


@pytest.mark.parametrize("degrees", [-40.0, 0.0, 15.0, 36.6])
def test_temperatures_agree_with_a_second_library(degrees):
    for unit, name in (("degC", "Celsius"), ("degF", "Fahrenheit")):
        expected = constants.convert_temperature(degrees, name, "Kelvin")
        assert parse_quantity(f"{degrees} {unit}", "temperature") == pytest.approx(expected, 1e-13)


def test_display_turns_degrees_the_right_way_round():
    assert to_display(math.pi, "angle") == (pytest.approx(180.0), "deg")
    assert to_display(288.15, "temperature") == (pytest.approx(15.0), "degC")
    assert to_display(288.15, "temperature", "imperial") == (pytest.approx(59.0), "degF")
    assert to_display(0.0254, "length", "imperial") == (pytest.approx(1.0), "in")
    assert to_display(4.4482216152605, "force", "imperial") == (pytest.approx(1.0), "lbf")
