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
from functools import cached_property

import numpy as np

from sim.aeroplane.influence import (
    Mesh,
    along_the_ground,
    far_wake,
    legs,
    mesh,
    on_the_surface,
)
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

    @cached_property
    def control(self) -> Array:
        """Control points of wing and tail, shape (panels, 3) [m]."""
        return np.concatenate([p.control.reshape(-1, 3) for p in (self.wing, self.tail)])

    @cached_property
    def normal(self) -> Array:
        """Unit normals there, shape (panels, 3)."""
        return np.concatenate([np.tile(p.normal, (p.count, 1)) for p in (self.wing, self.tail)])

    @cached_property
    def own(self) -> Array:
        """Influence of the surfaces without what trails behind them: it turns with the lattice."""
        meshes = (mesh(self.wing.nodes), mesh(self.tail.nodes))
        grounds = _grounds(self.control, meshes)
        return _surfaces(self.control, self.normal, meshes, grounds)


@dataclass(frozen=True)
class Tilted:
    """A lattice turned by `theta`, CG still at zero height, with its influence in free air.

    Attributes
    ----------
    lattice: as it was.
    meshes: of wing and tail, turned.
    control, normal: turned, shape (panels, 3).
    free: influence in free air, shape (panels, panels) [1/m].

    """

    lattice: Lattice
    meshes: tuple[Mesh, Mesh]
    control: Array
    normal: Array
    free: Array

    @cached_property
    def grounds(self) -> tuple[Array, ...]:
        """Squares of distances along the ground from the control points, right and left [m2]."""
        return _grounds(self.control, self.meshes)

    @cached_property
    def wake(self) -> "Wake":
        """Where its wakes cross a plane far behind."""
        return _wake_of(self.meshes)

    @cached_property
    def own_wake(self) -> Array:
        """Far-wake influence without the image, shape (strips, strips)."""
        return _wake_matrix(self.wake, (1.0, 1.0), 0.0)


def tilt(lattice: Lattice, theta: float) -> Tilted:
    """Turn the lattice nose up by `theta` [rad] about the CG and compute its own influence."""
    turn = np.array(
        [[np.cos(theta), 0.0, np.sin(theta)], [0.0, 1.0, 0.0], [-np.sin(theta), 0.0, np.cos(theta)]]
    )
    meshes = (mesh(lattice.wing.nodes @ turn.T), mesh(lattice.tail.nodes @ turn.T))
    control, normal = lattice.control @ turn.T, lattice.normal @ turn.T
    free = lattice.own + _wakes(control, normal, meshes)
    return Tilted(lattice, meshes, control, normal, free)


def _doubled(rows: Array) -> Array:
    """Rows and their mirror images on the left: what the left half does to the right."""
    return np.concatenate([rows, rows * _SIDES])


def _halved(both: Array, count: int) -> Array:
    return np.asarray(both[:count] + both[count:])


def _grounds(points: Array, meshes: tuple[Mesh, Mesh]) -> tuple[Array, ...]:
    return tuple(along_the_ground(_doubled(points), one) for one in meshes)


def _surfaces(
    points: Array, directions: Array, meshes: tuple[Mesh, Mesh], grounds: tuple[Array, ...]
) -> Array:
    """Influence of right and left surfaces alone, shape (m, wing + tail panels) [1/m]."""
    doubled, along = _doubled(points), _doubled(directions)
    parts = [
        on_the_surface(doubled, along, one, ground).reshape(len(doubled), -1)
        for one, ground in zip(meshes, grounds, strict=True)
    ]
    return _halved(np.concatenate(parts, axis=1), len(points))


def _wakes(points: Array, directions: Array, meshes: tuple[Mesh, Mesh]) -> Array:
    """Influence of what trails behind right and left, the same for every row of a strip."""
    doubled, along = _doubled(points), _doubled(directions)
    parts = [np.tile(legs(doubled, along, one), one.nodes.shape[0] - 1) for one in meshes]
    return _halved(np.concatenate(parts, axis=1), len(points))


def influence(tilted: Tilted, height: float) -> Array:
    """Normal velocity at every control point per unit circulation, with the image [1/m]."""
    if not np.isfinite(height):
        return tilted.free
    points, lift = tilted.control, np.array([0.0, 0.0, height])
    # the image's flow is the mirrored flow: look it up at the mirrored point, lowered again
    mirrored, along = (points + lift) * _IMAGE - lift, tilted.normal * _IMAGE
    image = _surfaces(mirrored, along, tilted.meshes, tilted.grounds)
    return np.asarray(tilted.free + image + _wakes(mirrored, along, tilted.meshes))


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
        block.reshape(one.nodes.shape[0] - 1, -1, 4).sum(axis=0)
        for block, one in zip(blocks, tilted.meshes, strict=True)
    ]
    strip = np.concatenate(strips)
    wash = tilted.own_wake
    if np.isfinite(height):
        wash = wash + _wake_matrix(tilted.wake, (1.0, -1.0), -2 * height)
    return np.asarray(-2 / tilted.lattice.area * strip.T @ wash @ strip)


@dataclass(frozen=True)
class Wake:
    """Where the wakes cross a plane far behind: places and normals times width, (y, z) [m]."""

    middle: Array
    across: Array
    traces: tuple[Array, ...]


def _wake_of(meshes: tuple[Mesh, Mesh]) -> Wake:
    traces = tuple(one.nodes[-1, :, 1:] for one in meshes)
    middle = np.concatenate([0.5 * (t[1:] + t[:-1]) for t in traces])
    step = np.concatenate([t[1:] - t[:-1] for t in traces])
    return Wake(middle, np.stack([-step[:, 1], step[:, 0]], axis=1), traces)


def _wake_matrix(wake: Wake, flip: tuple[float, float], drop: float) -> Array:
    """Far-wake influence at places turned over and moved down, both sides, (strips, strips)."""
    total = np.zeros((len(wake.middle), len(wake.middle)))
    for side in (1.0, -1.0):
        place = wake.middle * [side * flip[0], flip[1]] + [0.0, drop]
        direction = wake.across * [side * flip[0], flip[1]]
        total += np.concatenate([far_wake(place, direction, t) for t in wake.traces], axis=1)
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
