"""Air and thrust while two points touch: pitch and height stand still for the whole phase.

What the table says there, the arms and the direction of thrust are worked out once at the
beginning of the phase. The path is level, so that lift is straight up, drag straight back, and
alpha is the pitch. Only speed, spool, elevator, flaps and the lagged angle still change. The
numbers are those of `forces.aerodynamics` but for rounding (tests/test_engine_standing.py).
"""

from typing import Any, NamedTuple

from sim.roll.aero_table import INDUCED, TAIL_LIFT, TAIL_OWN
from sim.roll.attitude import rotated
from sim.roll.block import Block
from sim.roll.forces import (
    LINEAR,
    Aerodynamics,
    inputs_now,
    limited,
    linear_sums,
    travel_now,
)

INPUTS = 5
"""Inputs of a coefficient: one, alpha, flap, elevator, reduced pitch rate."""
ELEVATOR_COLUMN = 3


class Standing(NamedTuple):
    """Constants of a phase with two points touching, one value per lane.

    linear: wing lift and moment, tail lift and moment with no elevator, shape (4, lanes);
    by_elevator: their slopes with it; induced: drag (constant, slope with elevator). All with the
    flaps as at the start.
    """

    alpha: Any
    coefficients: Any
    density_area: Any  # half density times area [kg/m]
    lift_arm: Any  # lift point ahead of the CG along the strip [m]
    drag_arm: Any  # drag point above it [m]
    linear: Any
    by_elevator: Any
    induced: tuple[Any, Any]


def standing(block: Block, coefficients: Any, pitch: Any, turn: tuple[Any, Any]) -> Standing:
    """Work out the constants; `turn` is (cosine, sine) of the pitch."""
    p = block.thin
    return Standing(
        alpha=pitch,
        coefficients=coefficients,
        density_area=0.5 * p.air_density * p.reference_area,
        lift_arm=rotated(p.lift_x, p.lift_z, *turn)[0],
        drag_arm=rotated(p.drag_x, p.drag_z, *turn)[1],
        linear=linear_sums(block, coefficients, (pitch, p.flap_start, None, None)),
        by_elevator=coefficients[LINEAR][ELEVATOR_COLUMN::INPUTS],
        induced=_induced(coefficients, pitch, p.flap_start),
    )


def _induced(coefficients: Any, alpha: Any, flap: Any) -> tuple[Any, Any]:
    one, a, f, e, aa, af, ae, ff, fe, _ = coefficients[INDUCED]
    constant = one + (aa * alpha + af * flap + a) * alpha + (ff * flap + f) * flap
    return constant, fe * flap + e + ae * alpha


def air_on_standing(
    block: Block, at: Standing, time: Any, wind: Any, pilot: tuple[Any, Any]
) -> Aerodynamics:
    """Air forces at an airspeed along the strip; `pilot` is (elevator, lagged alpha) [rad]."""
    phi = travel_now(block, time)
    flap, elevator = inputs_now(block, pilot[0], phi)
    moved = phi is not None
    c, linear, induced = at.coefficients, at.linear, at.induced
    if moved:
        linear = linear_sums(block, c, (at.alpha, flap, None, None))
        induced = _induced(c, at.alpha, flap)
    linear = block.math.four_more(linear, at.by_elevator, elevator)
    drag = induced[0] + (c[INDUCED][9] * elevator + induced[1]) * elevator
    own_slope = c[TAIL_OWN][1]
    lag = (own_slope - c[TAIL_LIFT][1]) * (at.alpha - pilot[1])
    ahead = block.math.maximum(wind, 0.0)
    pressure_area = at.density_area * ahead * ahead
    now = limited(block, linear, drag, lag, (own_slope, pressure_area), phi)
    lift, drag = pressure_area * now.lift, pressure_area * now.drag
    flowing = wind > 0.0
    return Aerodynamics(
        along=-drag,
        across=lift,
        moment=pressure_area * now.moment + lift * at.lift_arm + drag * at.drag_arm,
        alpha=at.alpha,
        pressure_area=pressure_area,
        wing=now.wing,
        tail=now.tail,
        drag=drag,
        wing_use=now.wing_use * flowing,
        tail_use=now.tail_use * flowing,
    )
