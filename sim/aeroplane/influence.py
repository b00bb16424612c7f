"""Velocity induced by a half lattice of horseshoe vortices, at points given with a direction.

Each horseshoe of unit circulation comes in along its inner edge, crosses its bound vortex and
leaves along its outer edge; the trailing parts follow the chord to the trailing edge and go on
straight aft, parallel to the strip. Law of Biot and Savart for straight pieces; Katz & Plotkin,
*Low-Speed Aerodynamics*, 2nd ed. (2001), eq. 2.72, here in the form that stays finite on the
piece's own extension. Checked against the plane vortex and published swept wings.

A lattice is solved at many heights, so what does not change with height is kept: the pieces of a
mesh as rows of numbers, and how far points lie from its nodes along the ground.
"""

from dataclasses import dataclass

import numpy as np

from sim.roll.aero_table import Array


@dataclass(frozen=True)
class Pieces:
    """Straight pieces of one direction of a mesh, with `rows` by `columns` of them.

    Attributes
    ----------
    turning: shape (6, rows * columns); times (direction x point, direction) it gives
        `direction (r1 x r2)` for the offsets r1, r2 of the point from both ends [m2].
    square: of their lengths, shape (rows, columns) [m2].

    """

    turning: Array
    square: Array


@dataclass(frozen=True)
class Mesh:
    """Nodes of a half lattice, shape (n + 1, s + 1, 3) [m], last row on the trailing edge.

    Attributes
    ----------
    nodes: as given.
    bound: the bound vortices, n by s.
    chordwise: pieces along the chord, n by s + 1.

    """

    nodes: Array
    bound: Pieces
    chordwise: Pieces


def mesh(nodes: Array) -> Mesh:
    """Work out the pieces between nodes."""
    bound = _pieces(nodes[:-1, :-1], nodes[:-1, 1:])
    return Mesh(nodes, bound, _pieces(nodes[:-1], nodes[1:]))


def _pieces(start: Array, end: Array) -> Pieces:
    """With r1 = P - A and D = B - A: `n (r1 x r2) = -n (r1 x D) = n (A x D) - D (n x P)`."""
    along = end - start
    turning = np.concatenate([-along, _cross(start, along)], axis=-1)
    return Pieces(np.ascontiguousarray(turning.reshape(-1, 6).T), (along**2).sum(axis=-1))


def _cross(a: Array, b: Array) -> Array:
    """As `np.cross`, in a quarter of its time for arrays of a few hundred."""
    (x, y, z), (u, v, w) = np.moveaxis(a, -1, 0), np.moveaxis(b, -1, 0)
    return np.stack([y * w - z * v, z * u - x * w, x * v - y * u], axis=-1)


def along_the_ground(points: Array, of: Mesh) -> Array:
    """Squares of the distances of points from nodes without the height, (m, n + 1, s + 1) [m2]."""
    apart = points[:, None, None, :2] - of.nodes[None, :, :, :2]
    return np.asarray(apart[..., 0] ** 2 + apart[..., 1] ** 2)


def on_the_surface(points: Array, directions: Array, of: Mesh, ground: Array) -> Array:
    """Velocity by bound and chordwise pieces; `ground` from `along_the_ground`.

    Returns
    -------
    Shape (m, n, s) [1/m per unit circulation]; it turns with points, directions and mesh.

    """
    length = np.sqrt(ground + (points[:, 2, None, None] - of.nodes[None, :, :, 2]) ** 2)
    turn = np.concatenate([_cross(directions, points), directions], axis=1)
    bound = _velocity(turn, of.bound, length[:, :-1, :-1], length[:, :-1, 1:])
    sides = _velocity(turn, of.chordwise, length[:, :-1], length[:, 1:])
    # what a row sheds passes over every row behind it: sum from the trailing edge forward
    trailing = np.cumsum(sides[:, ::-1], axis=1)[:, ::-1]
    bound += np.diff(trailing, axis=2)
    bound /= 4 * np.pi
    return bound


def _velocity(turn: Array, pieces: Pieces, first: Array, second: Array) -> Array:
    """4 pi times velocity along the direction, from distances to both ends, their shape.

    `n (r1 x r2) (|r1| + |r2|)/(|r1| |r2| (|r1| |r2| + r1 r2))`, with `2 (|r1| |r2| + r1 r2) =
    (|r1| + |r2|)^2 - |B - A|^2`.
    """
    both = first + second
    below = both * both
    below -= pieces.square
    below *= first
    below *= second
    both *= (turn @ pieces.turning).reshape(both.shape)
    both *= 2.0
    both /= below
    return np.asarray(both)


def legs(points: Array, directions: Array, of: Mesh) -> Array:
    """Velocity by the legs of each strip, from the trailing edge straight aft to infinity.

    Returns
    -------
    Shape (m, s) [1/m per unit circulation].

    """
    x, y, z = (points[:, axis, None] - of.nodes[-1, :, axis] for axis in range(3))
    across = directions[:, 2, None] * y - directions[:, 1, None] * z
    beside = y * y + z * z
    shed = across / beside * (1 + x / np.sqrt(x * x + beside))
    return np.diff(shed, axis=1) / (4 * np.pi)


def half_lattice(points: Array, directions: Array, nodes: Array) -> Array:
    """Velocity along `directions` [1/m per unit circulation].

    `points` [m] and `directions` [-] have shape (m, 3); `nodes` [m] has shape (n + 1, s + 1, 3),
    its last row on the trailing edge.

    Returns
    -------
    Shape (m, n s), columns in the order (row, strip).

    """
    of = mesh(nodes)
    surface = on_the_surface(points, directions, of, along_the_ground(points, of))
    return (surface + legs(points, directions, of)[:, None]).reshape(len(points), -1)


def far_wake(points: Array, directions: Array, edges: Array) -> Array:
    """Velocity along `directions` far downstream, of unit strips between neighbouring `edges`.

    Plane vortices, `n (x x r)/(2 pi r^2)`.

    `points` [m] and `directions` [-] are (y, z), shape (m, 2); `edges` [m] has shape (s + 1, 2).

    Returns
    -------
    Shape (m, s) [1/m per unit circulation].

    """
    y = points[:, 0, None] - edges[None, :, 0]
    z = points[:, 1, None] - edges[None, :, 1]
    swirl = (directions[:, 1, None] * y - directions[:, 0, None] * z) / (2 * np.pi * (y**2 + z**2))
    return np.diff(swirl, axis=1)
