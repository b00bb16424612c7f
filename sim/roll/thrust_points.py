"""Thrust through measured points, of many tables at once: lanes of all of them read together."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from sim.roll.aero_table import Array
from sim.roll.parameters import ThrustTable

CELLS = 128
"""Even cells over the airspeeds of a table, each knowing where among the points it begins."""
STRAIGHT = 1.0
"""Width of the pieces beyond either end, which are straight [m/s]."""


def monotone_slopes(table: ThrustTable) -> Array:
    """Slopes of the monotone cubic (Fritsch & Carlson) through thrust points [N s/m]."""
    from scipy.interpolate import PchipInterpolator  # noqa: PLC0415 - slow to import, rarely used

    curve = PchipInterpolator(table.airspeed, table.thrust)
    return np.asarray(curve.derivative()(table.airspeed))


@dataclass(frozen=True)
class ThrustPoints:
    """Pieces of all tables end to end: before the first point, between points, beyond the last.

    A piece is `T0 + s rise + s (1 - s) [(1 - s) a + s b]` with s = (U - U0)/width.

    Attributes
    ----------
    pieces: U0, width, T0, rise, a, b of each piece, shape (pieces, 6).
    ends: airspeed at which the next piece begins, infinite for a table's last, shape (pieces,).
    origin, cells_per_speed: of the even cells, shape (tables,).
    begins: piece in which each cell begins, shape (tables * CELLS,).

    """

    pieces: Array
    ends: Array
    origin: Array
    cells_per_speed: Array
    begins: Any

    def thrust(self, index: Any, airspeed: Array) -> Array:
        """Thrust by the table of each lane [N].

        Parameters
        ----------
        index
            which table, shape (lanes,), or one for all.
        airspeed
            shape (lanes,) [m/s].

        """
        cell = (airspeed - self.origin[index]) * self.cells_per_speed[index]
        cell = np.fmin(np.fmax(cell, 0.0), CELLS - 1.0).astype(np.intp)
        piece = self.begins[index * CELLS + cell]
        while (past := airspeed >= self.ends[piece]).any():
            piece = piece + past
        start, width, thrust, rise, a, b = self.pieces[piece].T
        s = (airspeed - start) / width
        rest = 1.0 - s
        return np.asarray(thrust + s * rise + s * rest * (rest * a + s * b))


def thrust_points(tables: Sequence[ThrustTable]) -> ThrustPoints:
    """Lay tables end to end."""
    pieces, ends, begins = [], [], []
    first = 0
    for table in tables:
        made = _pieces(table)
        knots = table.airspeed
        edges = np.linspace(knots[0], knots[-1], CELLS + 1)[:-1]
        # a cell begins no later than its edge, whatever the last digit of an airspeed says
        before = np.searchsorted(knots, edges - 1e-9 * (knots[-1] - knots[0]), side="right")
        pieces.append(made)
        ends.append(np.append(knots, np.inf))
        begins.append(first + before)
        first += len(made)
    spans = [(table.airspeed[0], table.airspeed[-1] - table.airspeed[0]) for table in tables]
    origin, span = np.array(spans, dtype=float).reshape(-1, 2).T
    return ThrustPoints(
        np.concatenate(pieces) if pieces else np.empty((0, 6)),
        np.concatenate(ends) if ends else np.empty(0),
        origin,
        CELLS / span,
        np.concatenate(begins) if begins else np.empty(0, dtype=np.intp),
    )


def _pieces(table: ThrustTable) -> Array:
    """Pieces of one table, shape (points + 1, 6)."""
    knots, values, slopes = table.airspeed, table.thrust, monotone_slopes(table)
    width, rise = np.diff(knots), np.diff(values)
    inner = [knots[:-1], width, values[:-1], rise, width * slopes[:-1] - rise,
             rise - width * slopes[1:]]  # fmt: skip
    straight = [
        [knots[end], STRAIGHT, values[end], STRAIGHT * slopes[end], 0.0, 0.0] for end in (0, -1)
    ]
    return np.vstack([straight[:1], np.array(inner).T, straight[1:]])
