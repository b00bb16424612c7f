"""The moments that hold the nose down and lift it, at every moment of a roll.

The parts are those of the nose-load budget (`sim.checks.budget`), the five of the tail taken
together, for a roll as it went: thrust spooling up, elevator on its way, pitch rate, lagging
downwash and stall included. With `r` the main axle seen from the CG in the strip frame, a force
(F_x, F_z) at the CG with a moment M about it turns the aeroplane about the axle by

    M - r_x F_z + r_z F_x        [N m], nose up positive

and the forward acceleration comes in as the force -m Vdot at the CG. What the sum means:

    on three wheels    sum = - N_n (n_x - r_x + mu_n (n_z - r_z)): what the nose wheel carries
    on the mains       sum = (I + m r_x^2) thetaddot - m r_x r_z thetadot^2: it turns about them
    mains in the air   moments about the CG (r = 0, without weight and acceleration);
                       off the ground altogether sum = I thetaddot

(n: nose axle.) The second follows from the CG's own way round the axle,
Zddot = -r_x thetaddot + r_z thetadot^2.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.roll.aero_table import TAIL_OWN, WING_LIFT, WING_MOMENT, Array
from sim.roll.attitude import rotated
from sim.roll.block import Block, batch_of
from sim.roll.contacts import MAIN, SETS
from sim.roll.forces import (
    AIRSPEED_FLOOR,
    effective_elevator,
    flap_and_mix,
    incidence_at_table,
    linear_sums,
    tail_stiffness,
)
from sim.roll.parameters import Setup
from sim.roll.quasi_static import one_block

PARTS: dict[str, str] = {
    "weight": "weight ahead of the mains",
    "forward acceleration": "speeding up, felt at the CG",
    "thrust": "thrust above the axle",
    "drag": "drag",
    "wing and body": "lift of wing and body",
    "flaps": "lift of the flaps",
    "tail": "the tail",
}
"""Names of the parts in the order shown, and what they are in plain words."""
ON_MAINS = np.array([MAIN in touching for touching in SETS])
"""Whether the mains touch, by the index of a trace's phase."""


@dataclass(frozen=True)
class _Air:
    """The air of every row: path angle, incidence, pressure times area [N], coefficients."""

    path: Array
    alpha: Array
    pressure: Array
    coefficients: Array


def balance(setup: Setup, columns: dict[str, Array], phase: Any) -> dict[str, Array]:
    """Moments about the main axle, or about the CG while the mains are in the air.

    Parameters
    ----------
    setup
        numbers of the roll.
    columns
        rows of its trace, each shape (n,) [SI], names as in `sim.roll.columns`.
    phase
        phase of each row as a trace has it, shape (n,).

    Returns
    -------
    PARTS -> shape (n,) [N m], nose up positive; their sum as the module says.

    """
    block = one_block(batch_of([setup]), np.zeros(columns["time"].size, dtype=int))
    p = block.p
    cos, sin = np.cos(columns["pitch"]), np.sin(columns["pitch"])
    axle = rotated(p.main_x, p.main_z, cos, sin)
    air = _air(block, columns, columns["height"] + p.main_radius - axle[1], (cos, sin))
    on = ON_MAINS[np.asarray(phase, dtype=int)]
    pivot = np.where(on, axle[0], 0.0), np.where(on, axle[1], 0.0)

    def turn(along: Any, across: Any, moment: Any) -> Array:
        return np.asarray(moment - pivot[0] * across + pivot[1] * along, dtype=float)

    tilt = columns["pitch"] + p.thrust_tilt
    thrust, drag = columns["thrust"], columns["drag"]
    ahead, up = np.cos(air.path), np.sin(air.path)
    low = p.drag_x * np.sin(air.alpha) + p.drag_z * np.cos(air.alpha)
    parts = {
        "weight": turn(block.weight_along, block.weight_across, 0.0),
        "forward acceleration": turn(-p.mass * columns["acceleration"], 0.0, 0.0),
        "thrust": turn(thrust * np.cos(tilt), thrust * np.sin(tilt), -block.thrust_arm * thrust),
        "drag": turn(-drag * ahead, -drag * up, drag * low),
    }
    for name, (lift, moment) in _lifts(block, columns, air).items():
        parts[name] = turn(-lift * up, lift * ahead, moment)
    return parts


def _air(block: Block, columns: dict[str, Array], height: Array, turn: tuple[Array, Array]) -> _Air:
    """Only where the air comes from ahead; else there is none."""
    p, ahead, climb = block.p, columns["airspeed"], columns["climb_rate"]
    flowing = ahead > 0.0
    square = np.where(flowing, ahead**2 + climb**2, 0.0)
    return _Air(
        path=np.where(flowing, np.arctan2(climb, np.where(flowing, ahead, 1.0)), 0.0),
        alpha=columns["alpha"],
        pressure=0.5 * p.air_density * p.reference_area * square,
        coefficients=block.coefficients(height, columns["pitch"], turn),
    )


def _lifts(block: Block, columns: dict[str, Array], air: _Air) -> dict[str, tuple[Array, Array]]:
    """Lift, and moment about the CG, of wing, flaps and tail.

    What a limit of lift takes away and the lag of the downwash stand in the trace's own lifts;
    both act at the centres of wing and tail, as in `sim.roll.forces.limited`.
    """
    p, c, size = block.p, air.coefficients, air.pressure
    flap, _ = flap_and_mix(p, columns["flap_travel"])
    elevator = effective_elevator(p, columns["elevator"])
    speed = np.maximum(columns["airspeed"], AIRSPEED_FLOOR)
    rate = 0.5 * columns["pitch_rate"] * p.reference_chord / speed
    incidence = incidence_at_table(block, air.alpha, rate)
    wing, wing_moment, tail, tail_moment = linear_sums(block, c, (incidence, flap, elevator, rate))
    keeps = tail_stiffness(p, size, c[TAIL_OWN][1])
    at = rotated(p.lift_x, p.lift_z, np.cos(air.alpha), np.sin(air.alpha))[0]

    def about_cg(lift: Array, linear: Any, moment: Any, arm: Any) -> tuple[Array, Array]:
        turned = p.reference_chord * size * moment + (lift - size * linear) * arm
        return lift, np.asarray(lift * at + turned)

    flaps = size * c[WING_LIFT][2] * flap
    flap_turn = c[WING_MOMENT][2] * flap
    clean = columns["wing_lift"] - flaps
    return {
        "wing and body": about_cg(
            clean, wing - c[WING_LIFT][2] * flap, wing_moment - flap_turn, block.wing_arm
        ),
        "flaps": (flaps, flaps * at + p.reference_chord * size * flap_turn),
        "tail": about_cg(columns["tail_lift"], keeps * tail, keeps * tail_moment, block.tail_arm),
    }
