"""The units a scenario may use and the kinds of quantity they measure.

Kinds are kept apart more strictly than dimensional analysis does: an angle and a fraction are
kinds of their own, so that degrees never pass for a plain number.
"""

from dataclasses import dataclass

Vector = tuple[int, int, int, int, int, int, int]
"""Powers of length, mass, time, current, temperature, angle, fraction."""

NUMBER: Vector = (0, 0, 0, 0, 0, 0, 0)
LENGTH: Vector = (1, 0, 0, 0, 0, 0, 0)
MASS: Vector = (0, 1, 0, 0, 0, 0, 0)
TIME: Vector = (0, 0, 1, 0, 0, 0, 0)
CURRENT: Vector = (0, 0, 0, 1, 0, 0, 0)
TEMPERATURE: Vector = (0, 0, 0, 0, 1, 0, 0)
ANGLE: Vector = (0, 0, 0, 0, 0, 1, 0)
FRACTION: Vector = (0, 0, 0, 0, 0, 0, 1)
AREA: Vector = (2, 0, 0, 0, 0, 0, 0)
SPEED: Vector = (1, 0, -1, 0, 0, 0, 0)
FREQUENCY: Vector = (0, 0, -1, 0, 0, 0, 0)
TURN_RATE: Vector = (0, 0, -1, 0, 0, 1, 0)
FORCE: Vector = (1, 1, -2, 0, 0, 0, 0)
PRESSURE: Vector = (-1, 1, -2, 0, 0, 0, 0)
DENSITY: Vector = (-3, 1, 0, 0, 0, 0, 0)
CHARGE: Vector = (0, 0, 1, 1, 0, 0, 0)
POWER: Vector = (2, 1, -3, 0, 0, 0, 0)
VOLTAGE: Vector = (2, 1, -3, -1, 0, 0, 0)
RESISTANCE: Vector = (2, 1, -3, -2, 0, 0, 0)

UNITS: dict[str, tuple[str, Vector]] = {
    "mm": ("millimeter", LENGTH),
    "cm": ("centimeter", LENGTH),
    "dm": ("decimeter", LENGTH),
    "m": ("meter", LENGTH),
    "km": ("kilometer", LENGTH),
    "in": ("inch", LENGTH),
    "ft": ("foot", LENGTH),
    "yd": ("yard", LENGTH),
    "g": ("gram", MASS),
    "kg": ("kilogram", MASS),
    "oz": ("ounce", MASS),
    "lb": ("pound", MASS),
    "ms": ("millisecond", TIME),
    "s": ("second", TIME),
    "min": ("minute", TIME),
    "h": ("hour", TIME),
    "Hz": ("hertz", FREQUENCY),
    "mN": ("millinewton", FORCE),
    "N": ("newton", FORCE),
    "kN": ("kilonewton", FORCE),
    "gf": ("gram_force", FORCE),
    "kgf": ("kilogram_force", FORCE),
    "ozf": ("ounce_force", FORCE),
    "lbf": ("pound_force", FORCE),
    "deg": ("degree", ANGLE),
    "rad": ("radian", ANGLE),
    "mph": ("mile_per_hour", SPEED),
    "kt": ("knot", SPEED),
    "rpm": ("revolutions_per_minute", TURN_RATE),
    "K": ("kelvin", TEMPERATURE),
    "degC": ("degree_Celsius", TEMPERATURE),
    "degF": ("degree_Fahrenheit", TEMPERATURE),
    "Pa": ("pascal", PRESSURE),
    "hPa": ("hectopascal", PRESSURE),
    "kPa": ("kilopascal", PRESSURE),
    "MPa": ("megapascal", PRESSURE),
    "inHg": ("inch_Hg", PRESSURE),
    "%": ("percent", FRACTION),
    "W": ("watt", POWER),
    "kW": ("kilowatt", POWER),
    "V": ("volt", VOLTAGE),
    "A": ("ampere", CURRENT),
    "mA": ("milliampere", CURRENT),
    "Ah": ("ampere_hour", CHARGE),
    "mAh": ("milliampere_hour", CHARGE),
    "ohm": ("ohm", RESISTANCE),
    "mohm": ("milliohm", RESISTANCE),
}
"""Name in a scenario: name in the units library, kind. "h" is the hour."""

OFFSET_UNITS = frozenset({"degC", "degF"})
SPELLINGS = {"°C": "degC", "°F": "degF", "°": "deg", "²": "^2", "³": "^3", "Ω": "ohm", "·": "*"}

HABITS = {
    "c": "degC", "f": "degF", "degree": "deg", "degrees": "deg", "kv": "rpm/V", "nm": "N*m",
    "sec": "s", "secs": "s", "hr": "h", "hrs": "h", "amp": "A", "amps": "A", "volt": "V",
    "volts": "V", "inch": "in", "feet": "ft", "meter": "m", "meters": "m", "metres": "m",
    "newton": "N", "lbs": "lb", "kmh": "km/h", "kph": "km/h", "knots": "kt", "kts": "kt",
}  # fmt: skip
"""What people write for a unit, in lower case, and what it is here."""

FORCE_OF_MASS = {"g": "gf", "kg": "kgf", "oz": "ozf", "lb": "lbf"}
MASS_OF_FORCE = {force: mass for mass, force in FORCE_OF_MASS.items()}


@dataclass(frozen=True)
class Dimension:
    """A kind of quantity.

    Attributes
    ----------
    noun: with its article, as in "a length".
    vector: powers of the base kinds.
    suffix: unit of the SI value in a key of the resolved scenario, "" for none.
    metric, imperial: units people read it in.
    example: a quantity as written.

    """

    noun: str
    vector: Vector
    suffix: str
    metric: str
    imperial: str
    example: str


DIMENSIONS: dict[str, Dimension] = {
    "length": Dimension("a length", LENGTH, "m", "mm", "in", "120 mm"),
    "distance": Dimension("a distance", LENGTH, "m", "m", "ft", "80 m"),
    "area": Dimension("an area", AREA, "m2", "dm^2", "in^2", "32 dm^2"),
    "mass": Dimension("a mass", MASS, "kg", "kg", "lb", "3.2 kg"),
    "inertia": Dimension(
        "a moment of inertia", (2, 1, 0, 0, 0, 0, 0), "kg_m2", "kg*m^2", "lb*ft^2", "0.15 kg*m^2"
    ),
    "force": Dimension("a force", FORCE, "N", "N", "lbf", "24 N"),
    "torque": Dimension("a torque", (2, 1, -2, 0, 0, 0, 0), "N_m", "N*m", "ozf*in", "0.5 N*m"),
    "stiffness": Dimension(
        "a stiffness", (0, 1, -2, 0, 0, 0, 0), "N_per_m", "N/m", "lbf/in", "900 N/m"
    ),
    "pressure": Dimension("a pressure", PRESSURE, "Pa", "hPa", "inHg", "1013 hPa"),
    "stress": Dimension("a stress", PRESSURE, "Pa", "MPa", "lbf/in^2", "350 MPa"),
    "temperature": Dimension("a temperature", TEMPERATURE, "K", "degC", "degF", "18 degC"),
    "time": Dimension("a time", TIME, "s", "s", "s", "0.5 s"),
    "frequency": Dimension("a frequency", FREQUENCY, "per_s", "Hz", "Hz", "50 Hz"),
    "speed": Dimension("a speed", SPEED, "m_per_s", "m/s", "mph", "12 m/s"),
    "angle": Dimension("an angle", ANGLE, "rad", "deg", "deg", "2 deg"),
    "turn_rate": Dimension("a turn rate", TURN_RATE, "rad_per_s", "deg/s", "deg/s", "200 deg/s"),
    "twist": Dimension(
        "a twist per force",
        (-1, -1, 2, 0, 0, 1, 0),
        "rad_per_N",
        "deg/N",
        "deg/lbf",
        "0.05 deg/N",
    ),
    "per_angle": Dimension(
        "a rate per angle", (0, 0, 0, 0, 0, -1, 0), "per_rad", "1/rad", "1/deg", "4.5 1/rad"
    ),
    "fraction": Dimension("a percentage", FRACTION, "", "%", "%", "9 %"),
    "power": Dimension("a power", POWER, "W", "W", "W", "1500 W"),
    "voltage": Dimension("a voltage", VOLTAGE, "V", "V", "V", "22.2 V"),
    "current": Dimension("a current", CURRENT, "A", "A", "A", "80 A"),
    "charge": Dimension("a charge", CHARGE, "A_s", "Ah", "Ah", "4000 mAh"),
    "density": Dimension("a density", DENSITY, "kg_per_m3", "kg/m^3", "lb/ft^3", "1.2 kg/m^3"),
    "rotation": Dimension("a speed of rotation", TURN_RATE, "rad_per_s", "rpm", "rpm", "31000 rpm"),
    "resistance": Dimension("a resistance", RESISTANCE, "ohm", "mohm", "mohm", "20 mohm"),
    "motor_constant": Dimension(
        "a motor constant", (-2, -1, 2, 1, 0, 1, 0), "rad_per_s_V", "rpm/V", "rpm/V", "1400 rpm/V"
    ),
    "bare": Dimension("a plain number", NUMBER, "", "", "", "0.5"),
}
"""Kinds by name. Values inside are SI: radians, kelvin, plain fractions for percentages."""
