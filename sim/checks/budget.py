"""The nose-load budget: who loads the nose wheel and who unloads it, in newtons that sum to it.

Moments about the main axle, all forces and the inertia force of the forward acceleration
included, divided by `x_n - x_m + mu_n (z_n - z_m)` (both axles in the strip frame):

    N_n = - sum (M_k - r_mx F_kz + r_mz F_kx) / (r_nx - r_mx + mu_n (r_nz - r_mz))
"""

from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.roll.aero_table import TAIL_LIFT, TAIL_MOMENT, TAIL_OWN, WING_LIFT, WING_MOMENT, Array
from sim.roll.attitude import rotated
from sim.roll.block import Block
from sim.roll.contacts import MAIN, NOSE
from sim.roll.dynamics import Forces
from sim.roll.forces import effective_elevator, flap_and_mix, flap_fraction, tail_stiffness
from sim.roll.quasi_static import rolling_forces

PARTS = (
    "weight",
    "forward acceleration",
    "thrust",
    "drag",
    "wing and body",
    "flaps",
    "tail, its own angle",
    "elevator",
    "downwash of the wing",
    "downwash of the flaps",
    "tail stall",
)
"""Names of the parts, in the order in which they are shown."""


@dataclass(frozen=True)
class Budget:
    """Nose-wheel load against airspeed, split into parts.

    Attributes
    ----------
    airspeed: shape (n,) [m/s].
    parts: PARTS -> shape (n,); positive loads the nose wheel [N].
    nose_load: their sum, shape (n,) [N].
    main_load: shape (n,) [N].

    """

    airspeed: Array
    parts: dict[str, Array]
    nose_load: Array
    main_load: Array

    def at(self, airspeed: float) -> dict[str, float]:
        """Parts at one airspeed, by straight lines between the points [N]."""
        return {k: float(np.interp(airspeed, self.airspeed, v)) for k, v in self.parts.items()}


@dataclass(frozen=True)
class _Push:
    """A force and a moment about the CG in the strip frame."""

    along: Any = 0.0
    across: Any = 0.0
    moment: Any = 0.0


def nose_load_budget(block: Block, airspeed: Array, elevator: Any) -> Budget:
    """Split the nose-wheel load on three wheels at given airspeeds and stick elevator.

    `block` holds one and the same lane as often as there are airspeeds. Quasi-static in pitch,
    forward acceleration included, power fully spooled up.
    """
    f = rolling_forces(block, airspeed, elevator)
    main, nose = f.points[MAIN], f.points[NOSE]
    lever = nose.along - main.along + nose.friction * (nose.up - main.up)
    parts = {
        name: -(push.moment - main.along * push.across + main.up * push.along) / lever
        for name, push in _pushes(block, f, airspeed, elevator).items()
    }
    parts = {k: np.broadcast_to(v, airspeed.shape).astype(float) for k, v in parts.items()}
    total = np.sum([parts[name] for name in PARTS], axis=0)
    return Budget(airspeed, parts, total, f.reaction.loads[MAIN])


def _pushes(block: Block, f: Forces, airspeed: Array, elevator: Any) -> dict[str, _Push]:
    p = block.p
    thrust = _Push(f.total[0] - f.air.along, f.total[1] - f.air.across, f.total[2] - f.air.moment)
    return {
        "weight": _Push(block.weight_along, block.weight_across),
        "forward acceleration": _Push(along=-p.mass * f.reaction.speed_rate),
        "thrust": thrust,
        **_air_pushes(block, f, airspeed, elevator),
    }


def _air_pushes(block: Block, f: Forces, airspeed: Array, elevator: Any) -> dict[str, _Push]:
    """Split lift and moment by their inputs; rolling on three wheels lift is straight up."""
    p, pitch = block.p, block.attitude
    cos, sin = np.cos(pitch), np.sin(pitch)
    c = block.coefficients(f.height, pitch, (cos, sin))
    pressure = 0.5 * p.air_density * p.reference_area * airspeed**2
    flap, mix = flap_and_mix(p, flap_fraction(block, block.s.time))
    lift_at = rotated(p.lift_x, p.lift_z, cos, sin)[0]
    parts = _tail_pushes(block, f, c, pressure, (flap, effective_elevator(p, elevator + mix)))
    flap_lift = c[WING_LIFT][2] * flap
    flap_moment = p.reference_chord * c[WING_MOMENT][2] * flap
    parts["flaps"] = _Push(
        across=pressure * flap_lift, moment=pressure * (flap_lift * lift_at + flap_moment)
    )
    drag_at = rotated(p.drag_x, p.drag_z, cos, sin)
    parts["drag"] = _Push(along=f.air.along, moment=-drag_at[1] * f.air.along)
    others = list(parts.values())
    parts["wing and body"] = _Push(
        across=f.air.across - sum(push.across for push in others),
        moment=f.air.moment - sum(push.moment for push in others),
    )
    return parts


def _tail_pushes(
    block: Block, f: Forces, c: Array, pressure: Array, angles: tuple[Any, Any]
) -> dict[str, _Push]:
    """Lift of the tail by its causes, and what its stall takes away; `angles` flap, elevator."""
    p, pitch = block.p, block.attitude
    flap, elevator = angles
    tail, own = c[TAIL_LIFT], c[TAIL_OWN]
    own_lift = own[0] + own[1] * pitch
    moments = p.reference_chord * c[TAIL_MOMENT]
    flexible = tail_stiffness(p, pressure, own[1])
    lifts = {
        "tail, its own angle": own_lift,
        "elevator": tail[3] * elevator,
        "downwash of the wing": tail[0] + tail[1] * pitch - own_lift,
        "downwash of the flaps": tail[2] * flap,
    }
    lift_at = rotated(p.lift_x, p.lift_z, np.cos(pitch), np.sin(pitch))[0]
    arm = lift_at + p.tail_centre_x - p.lift_x
    own_moment = own_lift * (arm - lift_at)
    turns = {
        "tail, its own angle": own_moment,
        "elevator": moments[3] * elevator,
        "downwash of the wing": moments[0] + moments[1] * pitch - own_moment,
        "downwash of the flaps": moments[2] * flap,
    }
    size = pressure * flexible
    parts = {
        name: _Push(across=size * lift, moment=size * (lift * lift_at + turns[name]))
        for name, lift in lifts.items()
    }
    lost = f.air.tail_lift - sum(push.across for push in parts.values())
    parts["tail stall"] = _Push(across=lost, moment=lost * arm)
    return parts
