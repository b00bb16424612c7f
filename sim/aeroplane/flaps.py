"""Flaps and hinged elevators: effectiveness that fades with deflection, drag, maximum lift."""

import math
from dataclasses import dataclass
from typing import Literal

from sim.aeroplane.geometry import Aeroplane, FlapKind
from sim.aeroplane.section import flap_values


@dataclass(frozen=True)
class FadeLaw:
    """`effective = effect * angle * (1 + fade * angle^2)^-0.4`; effect [-], fade [1/rad2]."""

    effect: float
    fade: float

    def effective(self, angle: float) -> float:
        """Angle that a lossless hinge would have to turn for the same lift [rad]."""
        return self.effect * angle * math.pow(1 + self.fade * angle**2, -0.4)


FADE_LAWS: dict[FlapKind, FadeLaw] = {
    # fits 0.85 to 10 deg, 0.70 at 20, 0.50-0.55 at 40, 0.40 at 60 within 0.03 (McCormick,
    # Aerodynamics, Aeronautics, and Flight Mechanics; Raymer fig. 16.6; both from memory)
    "plain": FadeLaw(effect=0.88, fade=1 / math.radians(25.3) ** 2),
    # judged: less lift than plain at small angles, more past 30 deg, as NACA Report 824's split
    # flaps at 60 deg (increment of about 1) suggest; no fit to a table
    "split": FadeLaw(effect=0.80, fade=1 / math.radians(35.0) ** 2),
    # judged: the slot holds the flow to about 40 deg (Torenbeek, Synthesis of Subsonic Airplane
    # Design, appendix G: about 0.8 to 30 deg for a single slot, from memory)
    "slotted": FadeLaw(effect=0.92, fade=1 / math.radians(45.0) ** 2),
}
ALL_MOVING = FadeLaw(effect=1.0, fade=0.0)

_DRAG = {"plain": 1.7, "split": 1.7, "slotted": 0.9}
_SECTION_LIFT = {"plain": 0.9, "split": 0.9, "slotted": 1.3}
_FULL_ANGLE = {"plain": math.radians(50), "split": math.radians(50), "slotted": math.radians(40)}


def fade_law(kind: Literal["plain", "split", "slotted", "hinged", "all-moving"]) -> FadeLaw:
    """Fade law of a flap or of the elevator: a hinged elevator is a plain flap [-].

    `effect angle (1 + fade angle^2)^-0.4`. Range: up to 60 deg. Worked: plain at 20 deg keeps
    0.725. Source: McCormick; Raymer fig. 16.6 (from memory); see `FADE_LAWS`.
    """
    if kind == "all-moving":
        return ALL_MOVING
    return FADE_LAWS["plain" if kind == "hinged" else kind]


def drag_rise(kind: FlapKind, chord_fraction: float, area_share: float, angle: float) -> float:
    """Profile drag of flaps on S [-].

    `k (cf/c)^1.38 (Sf/S) sin^2 angle`, k 1.7 plain and split, 0.9 slotted; Sf the wing area
    behind whose span the flaps lie. Range: cf/c 0.1-0.4, up to 60 deg. Worked: plain, 0.22, 0.5,
    20 deg: 0.01230. Source: Young, ARC R&M 2622 (1947), coefficients from memory.
    """
    return _DRAG[kind] * math.pow(chord_fraction, 1.38) * area_share * math.sin(angle) ** 2


def max_lift_rise(
    kind: FlapKind, chord_fraction: float, area_share: float, hinge_sweep: float, angle: float
) -> float:
    """Rise of the wing's maximum lift coefficient by flaps [-].

    `0.9 dclmax (Sf/S) cos(hinge sweep)`, section rise dclmax 0.9 plain and split, 1.3 slotted at
    full deflection (50 and 40 deg); scaled by the effective angle below it and by Glauert's tau
    against that of a quarter-chord flap. Range: cf/c 0.15-0.35, taken as held past full angle.
    Worked: plain, 0.25, 0.5, 0, 50 deg: 0.405. Source: Raymer, Aircraft Design, eq. 12.21 and table
    12.2 (from memory); the two scalings are our judgement. Low Reynolds numbers may halve it.
    """
    law, full = FADE_LAWS[kind], _FULL_ANGLE[kind]
    share = law.effective(min(angle, full)) / law.effective(full)
    chord = flap_values(chord_fraction)[0] / flap_values(0.25)[0]
    return 0.9 * _SECTION_LIFT[kind] * chord * share * area_share * math.cos(hinge_sweep)


def flapped_share(aeroplane: Aeroplane) -> float:
    """Wing area in front of and behind the flaps' span, over S [-]; zero without flaps."""
    flaps = aeroplane.flaps
    if flaps is None:
        return 0.0
    return aeroplane.wing.area_between(flaps.inboard, flaps.outboard) / aeroplane.wing.area


def flap_drag(aeroplane: Aeroplane, angle: float) -> float:
    """Profile drag on S of the aeroplane's flaps at a deflection [rad]; zero without flaps."""
    flaps = aeroplane.flaps
    if flaps is None:
        return 0.0
    return drag_rise(flaps.kind, flaps.chord_fraction, flapped_share(aeroplane), angle)


def flap_max_lift(aeroplane: Aeroplane, angle: float) -> float:
    """Rise of the wing's maximum lift on S at a flap deflection [rad]; zero without flaps."""
    flaps = aeroplane.flaps
    if flaps is None or angle <= 0:
        return 0.0
    sweep = aeroplane.wing.sweep_at(1 - flaps.chord_fraction)
    return max_lift_rise(flaps.kind, flaps.chord_fraction, flapped_share(aeroplane), sweep, angle)
