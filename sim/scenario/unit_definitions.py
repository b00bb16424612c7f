"""What each unit is, for the units library: only ours, because its own list is slow to load.

Exact by definition: SI (BIPM, The International System of Units, 9th edition), international yard
and pound, standard gravity 9.80665 m/s2 (NIST Special Publication 811, Appendix B). The inch of
mercury is the conventional one: 13 595.1 kg/m3 under standard gravity. Checked row by row, and
against the library's own list, in `tests/published/test_units_table.py`.
"""

DEFINITIONS = """
meter = [length]
millimeter = meter / 1000
centimeter = meter / 100
decimeter = meter / 10
kilometer = 1000 * meter
inch = 0.0254 * meter
foot = 0.3048 * meter
yard = 0.9144 * meter
kilogram = [mass]
gram = kilogram / 1000
pound = 0.45359237 * kilogram
ounce = pound / 16
second = [time]
millisecond = second / 1000
minute = 60 * second
hour = 3600 * second
hertz = 1 / second
newton = kilogram * meter / second ** 2
millinewton = newton / 1000
kilonewton = 1000 * newton
kilogram_force = 9.80665 * newton
gram_force = kilogram_force / 1000
pound_force = 9.80665 * 0.45359237 * newton
ounce_force = pound_force / 16
radian = []
degree = 3.141592653589793 / 180 * radian
revolutions_per_minute = 2 * 3.141592653589793 / 60 * radian / second
mile_per_hour = 0.44704 * meter / second
knot = 1852 / 3600 * meter / second
kelvin = [temperature]; offset: 0
degree_Celsius = kelvin; offset: 273.15
degree_Fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9
pascal = newton / meter ** 2
hectopascal = 100 * pascal
kilopascal = 1000 * pascal
megapascal = 1000000 * pascal
inch_Hg = 0.0254 * 13595.1 * 9.80665 * pascal
percent = 0.01
watt = newton * meter / second
kilowatt = 1000 * watt
ampere = [current]
milliampere = ampere / 1000
ampere_hour = 3600 * ampere * second
milliampere_hour = ampere_hour / 1000
volt = watt / ampere
ohm = volt / ampere
milliohm = ohm / 1000
""".strip().splitlines()
"""Lines in the library's own form; the angle without a dimension, as in SI."""
