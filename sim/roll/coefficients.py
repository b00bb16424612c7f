"""Aerodynamic coefficients of many lanes: products of their tables with powers of u and p."""

from typing import Any

import numpy as np

from sim.roll.aero_table import BASIS_TERMS, COLUMNS, PITCH_SPAN, PITCH_TERMS, Array
from sim.roll.integrator import padded


class Coefficients:
    """Tables of some lanes, with memory to multiply in.

    tables: (tables, 32, 15), transposed values; index: table of each lane; over_scale: one over
    the height scale of each lane, or of all, shape (lanes,) or (1,).
    """

    def __init__(self, tables: Array, index: Any, over_scale: Array) -> None:
        self.tables, self.index, self.over_scale = tables, index, over_scale
        width = padded(index.size)
        self._basis: Array = np.zeros((BASIS_TERMS, width))
        self._basis[0] = 1.0
        self._out: Array = np.zeros((COLUMNS, width))
        self._slots = _slots(index)
        if self._slots is not None:
            own, _, columns = self._slots
            self._stack = tables[own]
            self._spread = np.zeros((own.size, BASIS_TERMS, width_for(int(columns.max()) + 1)))

    def at(self, height: Array, pitch: Array) -> Array:
        """Coefficients at CG height [m] and pitch [rad], shape (32, lanes).

        In memory that the next call writes over.
        """
        basis, lanes = self._basis, height.size
        u = height * self.over_scale
        u *= u
        u += 1.0
        np.divide(1.0, u, out=u)
        p = basis[1, :lanes]
        np.multiply(pitch, 1.0 / PITCH_SPAN, out=p)
        np.tanh(p, out=p)
        p *= PITCH_SPAN
        np.multiply(p, p, out=basis[2, :lanes])
        for i in range(PITCH_TERMS, BASIS_TERMS, PITCH_TERMS):
            below = basis[i - PITCH_TERMS : i, :lanes]
            np.multiply(below, u, out=basis[i : i + PITCH_TERMS, :lanes])
        return self._combined()[:, :lanes]

    def _combined(self) -> Array:
        if self._slots is None:
            return np.asarray(np.matmul(self.tables[self.index[0]], self._basis, out=self._out))
        _, rows, columns = self._slots
        self._spread[rows, :, columns] = self._basis[:, : rows.size].T
        product = np.matmul(self._stack, self._spread)
        self._out[:, : rows.size] = product[rows, :, columns].T
        return self._out


def width_for(lanes: int) -> int:
    """Lanes a product of one of several tables is made for: 2, 4, 8 or full tiles.

    One lane alone would be a product with a vector, which sums in another order; from two on
    the digits are those of full tiles (tests/test_coefficients.py).
    """
    return next((width for width in (2, 4, 8) if lanes <= width), padded(lanes))


def _slots(index: Any) -> tuple[Any, Any, Any] | None:
    """Where each lane stands in a stack of products, one per table; None for one table."""
    if (index == index[:1]).all():
        return None
    tables, rows = np.unique(index, return_inverse=True)
    order = np.argsort(rows, kind="stable")
    first = np.searchsorted(rows[order], np.arange(tables.size))
    columns = np.empty_like(rows)
    columns[order] = np.arange(rows.size) - first[rows[order]]
    return tables, rows, columns
