"""A propeller turned without electrics: at one speed of rotation or by one shaft power."""

from functools import lru_cache

import numpy as np

from sim.power.bench import efficiency_remarks
from sim.power.engine_propeller import engine_curve, rotation_at_power
from sim.power.known import KnownPower
from sim.power.propeller import Propeller, propeller_from_static
from sim.power.rotor import RPM
from sim.power.usual import STANDARD_DENSITY
from sim.prepare.against_bench import Compared, compared
from sim.prepare.draft import Draft
from sim.prepare.electric import (
    Chain,
    limits_of,
    pitch_factor,
    read_to_fitted,
    table_propeller,
)
from sim.scenario.power import Power

TOP_AIRSPEED = 60.0
"""Where the curve of a propeller on a shaft ends: past any take-off, and before constant power
would spin it up beyond sense [m/s]."""
READING_AIR = "the propeller's reading at rest is taken as one in standard air at sea level"


@lru_cache(maxsize=128)
def shaft_of(power: Power, density: float) -> Chain:
    """Thrust of a propeller on a shaft in air of a density [kg/m3]."""
    draft = Draft()
    assert power.propeller is not None
    if power.propeller.table is not None:
        rotor = table_propeller(power.propeller)
    else:
        rotor = _pitched(draft, power)
    held = _held(power)
    if held == "rotation":
        curve = engine_curve(rotor, density, rotation=power.rotation, top_airspeed=TOP_AIRSPEED)
    else:
        curve = engine_curve(
            rotor, density, shaft_power=power.shaft_power, top_airspeed=TOP_AIRSPEED
        )
    table = _against_reading(power, rotor) + _power_and_rotation(power, rotor)
    at_rest = float(rotor.jet_power(curve.rotation[0], 0.0, density)) / float(curve.shaft_power[0])
    known = KnownPower(
        kind="propeller",
        density=density,
        limits=limits_of(power),
        rotor="propeller",
        engine=curve,
        doubts=(*efficiency_remarks(at_rest), *table.doubts),
        remarks=(*draft.notes, *_not_held(power), *curve.notes, *table.remarks),
    )
    return Chain(known, tuple(draft.estimates))


def _pitched(draft: Draft, power: Power) -> Propeller:
    fitted = power.propeller
    assert fitted is not None and fitted.pitch is not None
    taken = power.read_with or fitted
    assert taken.pitch is not None and power.static_thrust is not None
    assert power.rotation is not None and power.shaft_power is not None
    factor = pitch_factor(draft, fitted)
    read = propeller_from_static(
        taken.diameter, taken.pitch, power.static_thrust, power.rotation, power.shaft_power,
        STANDARD_DENSITY, factor,
    )  # fmt: skip
    draft.notes.append(READING_AIR)
    return read_to_fitted(read, taken, fitted, factor)


def _held(power: Power) -> str:
    """What stays the same as airspeed grows: the one asked for, if it is known."""
    if power.shaft_power is None or power.rotation is None:
        return "shaft power" if power.rotation is None else "rotation"
    return power.constant or "rotation"


def _not_held(power: Power) -> tuple[str, ...]:
    """Say so when the one asked for is not known."""
    held = _held(power)
    if power.constant in (None, held):
        return ()
    return (f"{power.constant} cannot be held, only {held} is given: {held} is held",)


def _against_reading(power: Power, rotor: Propeller) -> Compared:
    """For a propeller from a table: its thrust beside a reading at rest, where there is one."""
    read = power.static_thrust
    if read is None or power.propeller is None or power.propeller.table is None:
        return Compared()
    if power.read_with not in (None, power.propeller):
        return Compared()
    turning, place = _turning(power, rotor)
    told = float(rotor.thrust(turning, 0.0, STANDARD_DENSITY))
    apart = told / read - 1.0
    return compared(
        f"from its table the propeller gives {told:.1f} N at that {place} where"
        f" {read:.1f} N were read ({100.0 * apart:+.0f} %); the table is used as it stands",
        apart,
    )


def _turning(power: Power, rotor: Propeller) -> tuple[float, str]:
    """Rotation of the reading [rad/s], and what it comes from."""
    if power.rotation is not None:
        return power.rotation, "speed of rotation"
    assert power.shaft_power is not None
    still = np.zeros(1)
    found = rotation_at_power(rotor, power.shaft_power, still, STANDARD_DENSITY)
    return float(found[0]), "shaft power"


def _power_and_rotation(power: Power, rotor: Propeller) -> Compared:
    """For a propeller from a table: shaft power and rotation are one too many; compare them."""
    turning, given = power.rotation, power.shaft_power
    if turning is None or given is None or power.propeller is None:
        return Compared()
    if power.propeller.table is None:
        return Compared()
    held = _held(power)
    unused = "shaft power" if held == "rotation" else "rotation"
    ending = f"{held} is held and the {unused} given is not used"
    if power.read_with not in (None, power.propeller):
        other = f"shaft power and rotation were read with another propeller: {ending}"
        return Compared(remarks=(other,))
    told = float(rotor.shaft_torque(turning, 0.0, STANDARD_DENSITY)) * turning
    apart = told / given - 1.0
    return compared(
        f"from its table the propeller takes {told:.0f} W at the shaft at {turning / RPM:,.0f} rpm"
        f" at rest where {given:.0f} W are given ({100.0 * apart:+.0f} %): {ending}",
        apart,
    )
