"""Thrust through points: the monotone cubic of scipy, straight beyond, for any mix of tables."""

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from sim.roll.parameters import ThrustTable
from sim.roll.thrust_points import ThrustPoints, thrust_points

RNG = np.random.default_rng(8)


def table(count: int, first: float = 0.0) -> ThrustTable:
    """Points at uneven airspeeds, thrust falling more or less."""
    airspeed = first + np.cumsum(RNG.uniform(0.01, 5.0, count))
    return ThrustTable(
        airspeed - airspeed[0] + first, 30.0 - np.cumsum(RNG.uniform(-0.3, 2.0, count))
    )


TABLES = [table(2), table(43), table(5, 3.0), table(17), table(300)]
STACK = thrust_points(TABLES)


def by_scipy(one: ThrustTable, airspeed: np.ndarray) -> np.ndarray:
    curve = PchipInterpolator(one.airspeed, one.thrust)
    low, high = one.airspeed[0], one.airspeed[-1]
    inside = np.clip(airspeed, low, high)
    return np.asarray(curve(inside) + curve.derivative()(inside) * (airspeed - inside))


@pytest.mark.parametrize("which", range(len(TABLES)))
def test_it_is_the_monotone_cubic_and_straight_beyond(which: int) -> None:
    one = TABLES[which]
    low, high = one.airspeed[0], one.airspeed[-1]
    close = np.nextafter(one.airspeed, -np.inf), one.airspeed, np.nextafter(one.airspeed, np.inf)
    speeds = np.concatenate([*close, RNG.uniform(low - 10.0, high + 30.0, 2000), [0.0, 1e6]])
    found = STACK.thrust(which, speeds)
    assert found == pytest.approx(by_scipy(one, speeds), rel=1e-11, abs=1e-11)
    inner = found[(speeds >= low) & (speeds <= high)]
    assert inner.max() <= one.thrust.max() + 1e-12 and inner.min() >= one.thrust.min() - 1e-12


def test_a_lane_does_not_depend_on_the_tables_and_lanes_beside_it() -> None:
    index = RNG.integers(0, len(TABLES), 5000)
    speeds = RNG.uniform(0.0, 120.0, 5000)
    together = STACK.thrust(index, speeds)
    for which, one in enumerate(TABLES):
        mine = index == which
        assert np.array_equal(together[mine], thrust_points([one]).thrust(0, speeds[mine]))
    few = [STACK.thrust(index[i : i + 1], speeds[i : i + 1])[0] for i in range(50)]
    assert few == together[:50].tolist()


def test_no_tables_are_no_thrust_to_read() -> None:
    assert isinstance(thrust_points([]), ThrustPoints)


def test_what_is_no_number_stays_none() -> None:
    assert np.isnan(STACK.thrust(1, np.array([np.nan, 3.0]))).tolist() == [True, False]
