"""Coefficients of many lanes: the polynomial itself, and no digit by a lane's company."""

import numpy as np
import pytest

from sim.roll.aero_table import BASIS_TERMS, COLUMNS, PITCH_SPAN
from sim.roll.coefficients import Coefficients, width_for

RNG = np.random.default_rng(3)
TABLES = RNG.normal(size=(40, COLUMNS, BASIS_TERMS))
SCALES = RNG.uniform(0.2, 0.8, 40)


def found(index: np.ndarray, height: np.ndarray, pitch: np.ndarray) -> np.ndarray:
    return Coefficients(TABLES, index, 1.0 / SCALES[index]).at(height, pitch).copy()


def test_the_polynomial_as_the_table_describes_it() -> None:
    index, height, pitch = np.array([4]), np.array([0.31]), np.array([0.12])
    u = 1.0 / (1.0 + (0.31 / SCALES[4]) ** 2)
    p = PITCH_SPAN * np.tanh(0.12 / PITCH_SPAN)
    powers = np.array([u**i * p**j for i in range(5) for j in range(3)])
    expected = TABLES[4] @ powers
    np.testing.assert_allclose(found(index, height, pitch)[:, 0], expected, rtol=0, atol=1e-13)


@pytest.mark.parametrize("lanes", [2, 3, 7, 16, 40, 333])
@pytest.mark.parametrize("tables", [1, 2, 5, 40])
def test_a_lane_is_the_same_alone_whatever_the_tables_beside_it(lanes: int, tables: int) -> None:
    index = RNG.integers(0, tables, lanes)
    height, pitch = RNG.uniform(0.1, 3.0, lanes), RNG.uniform(-0.3, 0.6, lanes)
    together = found(index, height, pitch)
    for lane in range(min(lanes, 20)):
        one = slice(lane, lane + 1)
        alone = found(index[one], height[one], pitch[one])
        np.testing.assert_array_equal(alone[:, 0], together[:, lane])


def test_widths_are_never_one() -> None:
    assert [width_for(n) for n in (1, 2, 3, 5, 9, 17)] == [2, 2, 4, 8, 16, 32]
