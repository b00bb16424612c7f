"""Fall-off laws and thrust points."""

import numpy as np
import pytest

from sim.power.measured import (
    fall_off,
    fall_off_thrust,
    point_faults,
    point_notes,
    thrust_table,
)


@pytest.mark.parametrize(("law", "half_way"), [("linear", 12.0), ("quadratic", 18.0), (0.5, 15.0)])
def test_laws_by_hand(law: str | float, half_way: float) -> None:
    # 24 N at rest, zero at 74 m/s; half-way: 1 - 1/2, 1 - 1/4, and the mean of both.
    numbers = fall_off(law, 24.0, 74.0)
    measured = fall_off_thrust(numbers, np.array([0.0, 37.0, 74.0, 80.0]))
    assert measured[:3] == pytest.approx([24.0, half_way, 0.0], abs=1e-12)
    assert measured[3] < 0.0


def test_worked_number() -> None:
    assert float(fall_off_thrust(fall_off("linear", 24.0, 74.0), 16.0)) == pytest.approx(18.8108)


def test_faults_of_a_law_come_together() -> None:
    with pytest.raises(ValueError, match=r"cubic.*linear, quadratic.*thrust.*airspeed"):
        fall_off("cubic", 0.0, -1.0)
    with pytest.raises(ValueError, match="outside 0 to 1"):
        fall_off(1.5, 24.0, 74.0)


def test_good_points_pass_unchanged() -> None:
    table = thrust_table([0.0, 10.0, 20.0], [24.0, 21.0, 17.0])
    assert table.airspeed.tolist() == [0.0, 10.0, 20.0]
    assert table.thrust.tolist() == [24.0, 21.0, 17.0]
    assert point_notes(table) == ()


def test_thrust_may_fall_below_zero_at_the_end() -> None:
    assert point_faults([0.0, 70.0, 90.0], [24.0, 1.0, -3.0]) == ()


@pytest.mark.parametrize(
    ("airspeed", "thrust", "word"),
    [
        ([0.0, 10.0], [24.0], "2 airspeeds but 1"),
        ([0.0], [24.0], "two"),
        ([0.0, 10.0, 10.0], [24.0, 21.0, 20.0], "point 3"),
        ([0.0, 10.0, 5.0], [24.0, 21.0, 20.0], "point 3"),
        ([-2.0, 10.0], [24.0, 21.0], "negative"),
        ([0.0, 10.0], [0.0, 21.0], "positive"),
        ([0.0, float("nan")], [24.0, 21.0], "finite"),
    ],
)
def test_bad_points(airspeed: list[float], thrust: list[float], word: str) -> None:
    (fault,) = point_faults(airspeed, thrust)
    assert word in fault
    with pytest.raises(ValueError, match=r"thrust|airspeed"):
        thrust_table(airspeed, thrust)


def test_several_faults_are_all_named() -> None:
    assert len(point_faults([-1.0, -2.0, -3.0], [-1.0, 2.0, 3.0])) == 4


def test_notes_on_odd_points() -> None:
    notes = point_notes(thrust_table([5.0, 10.0, 20.0], [20.0, 21.0, 17.0]))
    assert "standstill" in notes[0]
    assert "rises" in notes[1]
