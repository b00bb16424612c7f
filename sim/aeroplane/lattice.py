"""Steady vortex lattice of wing and tail over the strip, linear in (1, alpha, flap, elevator, q).

Left and right are mirror images and so are the aeroplane and its image below the strip: the
right half alone is unknown. The aeroplane is tilted by `theta` about the CG at height `height`;
its wake leaves parallel to the strip. Lift is taken by Kutta-Joukowski on the bound vortices with
the undisturbed speed; second-order terms (the image's change of that speed, thickness) are left
out. Moments use arms along the reference line, so that free air and ground join without a step.

Source of the method: Katz & Plotkin, *Low-Speed Aerodynamics*, 2nd ed. (2001), ch. 12 and 5
(image); Trefftz plane: Munk, NACA Report 121 (1921).
"""

from dataclasses import dataclass

import numpy as np

from sim.aeroplane.influence import far_wake, half_lattice
from sim.aeroplane.panels import SurfacePanels
from sim.roll.aero_table import COLUMNS, INDUCED_PAIRS, Array

_SIDES = np.array([1.0, -1.0, 1.0])
_IMAGE = np.array([1.0, 1.0, -1.0])


@dataclass(frozen=True)
class Lattice:
    """Wing and tail panels with what turns circulation into coefficients.

    Attributes
    ----------
    wing, tail: the panels.
    area, chord: reference area S [m2] and chord c [m].
    lift_x: aft place of the moment reference from the CG [m].

    """

    wing: SurfacePanels
    tail: SurfacePanels
    area: float
    chord: float
    lift_x: float


@dataclass(frozen=True)
class Tilted:
    """A lattice turned by `theta`, CG still at zero height, with its influence in free air."""

    lattice: Lattice
    nodes: tuple[Array, Array]
    control: Array
    normal: Array
    free: Array


def tilt(lattice: Lattice, theta: float) -> Tilted:
    """Turn the lattice nose up by `theta` [rad] about the CG and compute its own influence."""
    turn = np.array(
        [[np.cos(theta), 0.0, np.sin(theta)], [0.0, 1.0, 0.0], [-np.sin(theta), 0.0, np.cos(theta)]]
    )
    nodes = (lattice.wing.nodes @ turn.T, lattice.tail.nodes @ turn.T)
    parts = (lattice.wing, lattice.tail)
    control = np.concatenate([p.control.reshape(-1, 3) for p in parts]) @ turn.T
    normal = np.concatenate([np.tile(p.normal, (p.count, 1)) for p in parts]) @ turn.T
    return Tilted(lattice, nodes, control, normal, _both_sides(control, normal, nodes))


def _both_sides(points: Array, directions: Array, nodes: tuple[Array, Array]) -> Array:
    """Influence of right and left half, shape (m, wing + tail panels) [1/m]."""
    doubled = np.concatenate([points, points * _SIDES])
    along = np.concatenate([directions, directions * _SIDES])
    both = np.concatenate([half_lattice(doubled, along, part) for part in nodes], axis=1)
    return np.asarray(both[: len(points)] + both[len(points) :])


def influence(tilted: Tilted, height: float) -> Array:
    """Normal velocity at every control point per unit circulation, with the image [1/m]."""
    if not np.isfinite(height):
        return tilted.free
    points, lift = tilted.control, np.array([0.0, 0.0, height])
    # the image's flow is the mirrored flow: look it up at the mirrored point, lowered again
    mirrored = (points + lift) * _IMAGE - lift
    return tilted.free + _both_sides(mirrored, tilted.normal * _IMAGE, tilted.nodes)


def circulation(tilted: Tilted, matrix: Array) -> Array:
    """Circulation of every panel per input at unit speed, shape (panels, 5) [m2/s]."""
    angles = np.concatenate([tilted.lattice.wing.angles, tilted.lattice.tail.angles])
    return np.asarray(np.linalg.solve(matrix, -angles))


def lift_and_moment(lattice: Lattice, part: SurfacePanels, strength: Array) -> tuple[Array, Array]:
    """Lift and nose-up moment coefficients on S and c about the lift point, per column [-]."""
    lift = 4 / lattice.area * part.widths[:, None] * strength
    arm = (lattice.lift_x - part.bound_x) / lattice.chord
    return lift.sum(axis=0), arm @ lift


def induced_form(tilted: Tilted, strength: Array, height: float) -> Array:
    """Induced drag as a quadratic form over (1, alpha, flap, elevator), shape (4, 4) [-].

    Trefftz plane with image: `CD = -2/S * sum over the right half of G w ds`, at unit speed.
    """
    split = tilted.lattice.wing.count
    blocks = (strength[:split, :4], strength[split:, :4])
    strips = [
        block.reshape(nodes.shape[0] - 1, -1, 4).sum(axis=0)
        for block, nodes in zip(blocks, tilted.nodes, strict=True)
    ]
    traces = [nodes[-1, :, 1:] for nodes in tilted.nodes]
    middle = np.concatenate([0.5 * (t[1:] + t[:-1]) for t in traces])
    step = np.concatenate([t[1:] - t[:-1] for t in traces])
    across = np.stack([-step[:, 1], step[:, 0]], axis=1)  # normal times width
    wash = _wake_matrix(middle, across, traces, height)
    strip = np.concatenate(strips)
    return np.asarray(-2 / tilted.lattice.area * strip.T @ wash @ strip)


def _wake_matrix(points: Array, along: Array, traces: list[Array], height: float) -> Array:
    """Far-wake influence with the other side and the image, shape (strips, strips)."""
    flips = [(1.0, 1.0, 0.0), (-1.0, 1.0, 0.0)]
    if np.isfinite(height):
        flips += [(1.0, -1.0, -2 * height), (-1.0, -1.0, -2 * height)]
    total = np.zeros((len(points), len(points)))
    for side, image, drop in flips:
        place = points * [side, image] + [0.0, drop]
        direction = along * [side, image]
        total += np.concatenate([far_wake(place, direction, t) for t in traces], axis=1)
    return total


def columns(tilted: Tilted, height: float) -> Array:
    """All coefficients at one CG height [m] (inf: free air), shape (32,), as `AeroTable` names."""
    lattice = tilted.lattice
    matrix = influence(tilted, height)
    strength = circulation(tilted, matrix)
    split = lattice.wing.count
    wing_lift, wing_moment = lift_and_moment(lattice, lattice.wing, strength[:split])
    tail_lift, tail_moment = lift_and_moment(lattice, lattice.tail, strength[split:])
    wing_moment[0] += lattice.wing.pure_moment
    tail_moment[0] += lattice.tail.pure_moment
    alone = np.asarray(np.linalg.solve(matrix[split:, split:], -lattice.tail.angles[:, :2]))
    own, _ = lift_and_moment(lattice, lattice.tail, alone)
    form = induced_form(tilted, strength, height)
    pairs = [form[i, j] if i == j else form[i, j] + form[j, i] for i, j in INDUCED_PAIRS]
    result = np.concatenate([wing_lift, wing_moment, tail_lift, tail_moment, own, pairs])
    assert result.shape == (COLUMNS,)
    return np.asarray(result)
