"""A propeller turned without electrics: at one speed of rotation or by one shaft power."""

from functools import lru_cache

from sim.power.engine_propeller import engine_curve
from sim.power.known import KnownPower
from sim.power.propeller import Propeller, propeller_from_static
from sim.power.usual import STANDARD_DENSITY
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
    held = power.constant or ("rotation" if power.rotation is not None else "shaft power")
    if held == "rotation":
        curve = engine_curve(rotor, density, rotation=power.rotation, top_airspeed=TOP_AIRSPEED)
    else:
        curve = engine_curve(
            rotor, density, shaft_power=power.shaft_power, top_airspeed=TOP_AIRSPEED
        )
    draft.notes += [*curve.notes, *_against_reading(power, rotor)]
    known = KnownPower(
        kind="propeller",
        density=density,
        limits=limits_of(power),
        rotor="propeller",
        engine=curve,
        notes=tuple(draft.notes),
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


def _against_reading(power: Power, rotor: Propeller) -> list[str]:
    """For a propeller from a table: its thrust beside a reading at rest, where there is one."""
    read, turning = power.static_thrust, power.rotation
    fitted = power.propeller
    if read is None or turning is None or fitted is None or fitted.table is None:
        return []
    if power.read_with not in (None, fitted):
        return []
    told = float(rotor.thrust(turning, 0.0, STANDARD_DENSITY))
    return [
        f"from its table the propeller gives {told:.1f} N at that speed of rotation where"
        f" {read:.1f} N were read ({told / read - 1.0:+.0%}); the table is used as it stands"
    ]
