"""Velocity induced by a half lattice of horseshoe vortices, at points given with a direction.

Each horseshoe of unit circulation comes in along its inner edge, crosses its bound vortex and
leaves along its outer edge; the trailing parts follow the chord to the trailing edge and go on
straight aft, parallel to the strip. Law of Biot and Savart for straight pieces; Katz & Plotkin,
*Low-Speed Aerodynamics*, 2nd ed. (2001), eq. 2.72, here in the form that stays finite on the
piece's own extension. Checked against the plane vortex and published swept wings.
"""

import numpy as np

from sim.roll.aero_table import Array


def half_lattice(points: Array, directions: Array, nodes: Array) -> Array:
    """Velocity along `directions` [1/m per unit circulation].

    `points` [m] and `directions` [-] have shape (m, 3); `nodes` [m] has shape (n + 1, s + 1, 3),
    its last row on the trailing edge.

    Returns
    -------
    Shape (m, n s), columns in the order (row, strip).

    """
    offsets = [points[:, None, None, axis] - nodes[None, :, :, axis] for axis in range(3)]
    along = [directions[:, axis, None, None] for axis in range(3)]
    length = np.sqrt(offsets[0] ** 2 + offsets[1] ** 2 + offsets[2] ** 2)
    crossed = [
        along[1] * offsets[2] - along[2] * offsets[1],
        along[2] * offsets[0] - along[0] * offsets[2],
        along[0] * offsets[1] - along[1] * offsets[0],
    ]
    inner, outer = np.s_[:, :-1, :-1], np.s_[:, :-1, 1:]
    bound = _pieces(offsets, crossed, length, inner, outer)
    sides = _pieces(offsets, crossed, length, np.s_[:, :-1, :], np.s_[:, 1:, :])
    # what a row sheds passes over every row behind it: sum from the trailing edge forward
    trailing = np.cumsum(sides[:, ::-1], axis=1)[:, ::-1]
    trailing += _legs([x[:, -1] for x in offsets], [x[:, 0] for x in along], length[:, -1])[:, None]
    total = bound + np.diff(trailing, axis=2)
    return np.asarray(total.reshape(len(points), -1) / (4 * np.pi))


def _pieces(
    offsets: list[Array],
    crossed: list[Array],
    length: Array,
    start: tuple[slice, ...],
    end: tuple[slice, ...],
) -> Array:
    """Straight pieces from nodes `start` to nodes `end`: 4 pi times velocity along the direction.

    `n (r1 x r2) (|r1| + |r2|)/(|r1| |r2| (|r1| |r2| + r1 r2))`, with `n (r1 x r2) = (n x r1) r2`.
    """
    triple = sum(c[start] * r[end] for c, r in zip(crossed, offsets, strict=True))
    dot = sum(r[start] * r[end] for r in offsets)
    first, second = length[start], length[end]
    product = first * second
    return np.asarray(triple * (first + second) / (product * (product + dot)))


def _legs(offsets: list[Array], along: list[Array], length: Array) -> Array:
    """Legs from the trailing edge straight aft to infinity: 4 pi times velocity, (m, s + 1)."""
    x, y, z = offsets
    across = along[2] * y - along[1] * z
    return np.asarray(across / (y**2 + z**2) * (1 + x / length))


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
