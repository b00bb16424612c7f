"""Another propeller of the same make: from one read at rest to one of other size or pitch."""

from dataclasses import replace

from sim.power.propeller import Propeller
from sim.power.propeller_curves import PitchCurve
from sim.range import Range

LIKE = Range(0.8, 1.0, 1.25)
"""Pitch over diameter against that of the propeller read within which the rule is trusted
(judgement, no source) [-]."""


def other_propeller(
    known: Propeller, diameter: float, pitch: float, pitch_factor: float
) -> Propeller:
    """Propeller of the same blades at another diameter and pitch [m, m, -].

    Blade elements: C_T falls with J at a slope that is the blades' (area, lift slope), so C_T0
    goes with J_0 = factor pitch/D; the share of power well used, M, stays. C_T0 0.09 at J_0 0.69
    gives 0.099 at J_0 0.759. At the same pitch over diameter thrust goes as n^2 D^4, power as n^3
    D^5. Source: blade-element theory at small angles (Glauert), from memory.

    Raises
    ------
    ValueError
        When the propeller read is one of a table.

    """
    curve = known.curve
    if not isinstance(curve, PitchCurve):
        raise ValueError("only a propeller read at rest tells of another pitch")
    ratio = pitch_factor * pitch / diameter
    share = ratio / curve.zero_thrust_ratio
    notes = known.notes
    if not LIKE.low <= share <= LIKE.high:
        notes += (
            f"pitch over diameter is {share:.2f} of that of the propeller read: predicted roughly",
        )
    scaled = PitchCurve(share * curve.static_thrust_coefficient, ratio, curve.merit)
    return replace(known, diameter=diameter, curve=scaled, notes=notes)
