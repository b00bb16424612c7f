"""How the lift of wing and tail is spread over their spans, from the lattice of the roll.

Per unit of dynamic pressure, and linear in the inputs of the lattice (1, alpha, flap, elevator, q),
so that a check multiplies and adds.
"""

from dataclasses import dataclass

import numpy as np

from sim.aeroplane.geometry import Aeroplane
from sim.aeroplane.lattice import circulation, influence, tilt
from sim.aeroplane.panels import SurfacePanels
from sim.aeroplane.table import make_lattice
from sim.roll.aero_table import Array


@dataclass(frozen=True)
class SpanLoad:
    """Right half of one surface, strip by strip.

    Attributes
    ----------
    places: middle of each strip from the centreline, shape (s,) [m].
    widths: shape (s,) [m].
    lift: lift of each strip over dynamic pressure per input, shape (s, 5) [m2 per unit].
    moment: the same times its place aft of the CG [m3 per unit].
    own: share of each strip in what the surface carries by incidence alone, shape (s,) [-].
    own_place: where that acts, aft of the CG [m].

    """

    places: Array
    widths: Array
    lift: Array
    moment: Array
    own: Array
    own_place: float


def span_loads(
    aeroplane: Aeroplane, theta: float = 0.0, height: float = np.inf
) -> tuple[SpanLoad, SpanLoad]:
    """Wing and tail at one pitch [rad] and CG height [m]; free air when endless."""
    tilted = tilt(make_lattice(aeroplane), theta)
    matrix = influence(tilted, height)
    strength = circulation(tilted, matrix)
    split = tilted.lattice.wing.count
    wing, tail = tilted.lattice.wing, tilted.lattice.tail
    return (
        _spread(wing, strength[:split], matrix[:split, :split]),
        _spread(tail, strength[split:], matrix[split:, split:]),
    )


def _spread(part: SurfacePanels, strength: Array, alone: Array) -> SpanLoad:
    """Kutta-Joukowski, `l = rho V G w`, so `l/q = 2 w G` at unit speed, summed down the chord."""
    strips = len(part.edges) - 1
    # what it would carry without the other surface, at unit incidence
    own = np.linalg.solve(alone, -part.angles[:, 1:2])
    panels = 2.0 * part.widths[:, None] * np.concatenate([strength, own], axis=1)
    lift = panels.reshape(-1, strips, 6).sum(axis=0)
    moment = (part.bound_x[:, None] * panels).reshape(-1, strips, 6).sum(axis=0)
    return SpanLoad(
        places=0.5 * (part.edges[1:] + part.edges[:-1]),
        widths=np.diff(part.edges),
        lift=lift[:, :5],
        moment=moment[:, :5],
        own=lift[:, 5] / lift[:, 5].sum(),
        own_place=float(moment[:, 5].sum() / lift[:, 5].sum()),
    )
