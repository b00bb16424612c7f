"""Bending of a spar: sections, stress, and what materials are judged to carry.

Source of the section moduli: any handbook of strength of materials, such as Megson,
*Introduction to Aircraft Structural Analysis*, ch. 9 (from memory); derived by integration.
"""

from dataclasses import dataclass
from math import pi

import numpy as np

from sim.range import Range
from sim.roll.aero_table import Array

MEGAPASCAL = 1e6


@dataclass(frozen=True)
class Allowable:
    """Bending stress a material may carry in use [Pa], and how far to trust the number."""

    stress: Range
    source: str


def _judged(low: float, typical: float, high: float, source: str) -> Allowable:
    stress = Range(low * MEGAPASCAL, typical * MEGAPASCAL, high * MEGAPASCAL)
    return Allowable(stress, source)


MATERIALS: dict[str, Allowable] = {
    "carbon": _judged(
        300.0, 350.0, 400.0, "judgement for unidirectional carbon: no published allowable found"
    ),
    "glass fibre": _judged(150.0, 200.0, 250.0, "judgement for pultruded glass fibre, no source"),
    "aluminium": _judged(
        240.0, 260.0, 275.0, "yield of 6061-T6, ASTM B221 minimum to usual; from memory"
    ),
    "spring steel": _judged(
        800.0, 1000.0, 1200.0, "judgement, well under the yield of music wire; no source"
    ),
    "spruce": _judged(
        25.0, 35.0, 45.0, "judgement, half of the modulus of rupture in the Wood Handbook"
    ),
}
"""By the words of a scenario. Never a licence: glue, holes and clamps break first."""


def tube_modulus(diameter: float, bore: float) -> float:
    """Section modulus of a tube, or of a rod with no bore [m3].

    `W = pi (D^4 - d^4)/(32 D)` [m -> m3]. Range: `0 <= d < D`. Worked: 10/8 mm gives 5.796e-8 m3
    (I 2.898e-10 m4); solid 6 mm 2.121e-8. Source: integration, as in Megson, ch. 9.
    """
    return pi * (diameter**4 - bore**4) / (32.0 * diameter)


def bar_modulus(height: float, width: float) -> float:
    """Section modulus of a flat bar bent over its height [m3].

    `W = b h^2/6` [m -> m3]. Worked: 3 mm high, 20 mm wide gives 3.0e-8 m3. Source: integration.
    """
    return width * height**2 / 6.0


def bending_stress(moment: float, modulus: float) -> float:
    """Largest stress of a bent spar [Pa].

    `sigma = M/W` [N m, m3 -> Pa]. Range: linear, plane sections, no crushing at the clamp. Worked:
    10.5 N m on a 10/8 mm tube gives 181.2 MPa, on a 6 mm rod 495.1 MPa. Source: Megson, ch. 9.
    """
    return moment / modulus


def root_moment(places: Array, lift: Array, root: float) -> Array:
    """Bending moment of one half about its root [N m].

    `M = sum of L_i (y_i - y_r)` over the strips outboard of the root [N, m -> N m]; an elliptic
    load L over the half-span s gives `4 L s/(3 pi)`, an even one `L s/2`: 60 N over 0.35 m 8.913
    and 10.50 N m. Weight of the half itself is left out: it adds where the tail pushes down, a few
    hundredths as a rule. Source: statics.

    Parameters
    ----------
    places
        of the strips from the centreline, shape (s,) [m].
    lift
        of each strip, shape (s, ...) [N].
    root
        where the half is held, from the centreline [m].

    """
    arms = np.maximum(places - root, 0.0)
    return np.asarray(np.tensordot(arms, lift, axes=1))
