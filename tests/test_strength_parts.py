"""Formulas of the parts: limits, signs and numbers worked by hand."""

import math
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.checks.clearance import GRASS, gap, trailing_edge
from sim.checks.finding import Finding, Standing, unknown
from sim.checks.hatch import PLACES, outward_load
from sim.checks.servo import Hinge, servo_torque, stall_speed
from sim.checks.spar import MATERIALS, bar_modulus, root_moment, tube_modulus
from sim.checks.wheel_load import rough_load, touchdown_load
from sim.scenario.strip import SURFACE_WORDS

GEAR: Any = SimpleNamespace(main_x=-0.13, main_z=-0.12, main_radius=0.03)


def test_standing_of_a_load() -> None:
    words = [Finding("m", "n", value, limit=90.0, reserve=1.5).standing for value in (50, 80, 100)]
    assert words == [Standing.HOLDS, Standing.CLOSE, Standing.FAILS]
    assert Finding("m", "n", 100.0, limit=90.0).spare == -10.0
    # what is reached at no speed fails, however fast it may get
    assert Finding("m", "n", math.inf, limit=math.inf).standing == Standing.FAILS
    assert Finding("m", "n", math.inf, limit=20.0).standing == Standing.FAILS


def test_standing_of_a_clearance() -> None:
    words = [Finding("m", "n", v, limit=0.04, at_least=True).standing for v in (0.05, 0.03, -0.01)]
    assert words == [Standing.HOLDS, Standing.FAILS, Standing.FAILS]
    assert Finding("m", "n", 0.03, limit=0.04, at_least=True).spare == pytest.approx(-0.01)
    assert Finding("m", "n", -0.01, limit=0.04, at_least=True).use == math.inf
    assert Finding("m", "n", -0.01, limit=0.0, at_least=True).use == math.inf
    assert Finding("m", "n", 0.01, limit=0.0, at_least=True).use == 0.0


def test_standing_without_limit_or_value() -> None:
    assert unknown("m", "n", "a.key").standing == Standing.NOT_KNOWN
    assert Finding("m", "n", 3.0).standing == Standing.TOLD
    assert Finding("m", "n", 3.0, missing=("a.key",)).standing == Standing.NOT_KNOWN
    assert math.isnan(Finding("m", "n", 3.0).use)


@given(st.floats(0.01, 1e3), st.floats(0.01, 1e3), st.booleans())
def test_use_passes_one_exactly_where_it_fails(value: float, limit: float, least: bool) -> None:
    found = Finding("m", "n", value, limit=limit, at_least=least)
    assert (found.standing == Standing.FAILS) == (found.use > 1.0) or value == limit


def test_sections() -> None:
    assert tube_modulus(0.010, 0.0) - tube_modulus(0.010, 0.008) == pytest.approx(
        math.pi * 0.008**4 / (32 * 0.010)
    )
    assert bar_modulus(0.006, 0.01) == pytest.approx(4.0 * bar_modulus(0.003, 0.01))
    assert bar_modulus(0.02, 0.003) > bar_modulus(0.003, 0.02)  # on edge it carries more


def test_root_moment_counts_what_lies_outboard_only() -> None:
    places, lift = np.array([0.05, 0.15, 0.25]), np.array([[1.0, -2.0]] * 3)
    assert root_moment(places, lift, 0.0) == pytest.approx([0.45, -0.90])
    assert root_moment(places, lift, 0.1) == pytest.approx([0.20, -0.40])


def test_materials_are_marked() -> None:
    for known in MATERIALS.values():
        assert "judgement" in known.source or "memory" in known.source
    assert MATERIALS["carbon"].stress.low == 300e6 and MATERIALS["carbon"].stress.high == 400e6


def hinge(share: float = 0.25) -> Hinge:
    one = np.ones(1)
    return Hinge(0.3 * one, 0.2 * one, one, share, -0.0900, -0.599)


def test_hinge_moment_worked_by_hand() -> None:
    q, lift = np.array([300.0]), np.array([[300.0 * 0.5 * 0.2 * 0.3]])
    one = hinge().moment(q, lift, np.radians([15.0]))
    # 2 x 300 Pa x (0.05 m)^2 x 0.3 m x (-0.0900 x 0.5 - 0.599 x 0.2618)
    assert one == pytest.approx(0.45 * (-0.0450 - 0.15682), rel=1e-3)
    assert hinge().moment(q, -lift, np.radians([-15.0])) == pytest.approx(-one)


def test_servo_torque_and_linkage() -> None:
    assert servo_torque(np.array([-0.9]), 1.5, 2) == pytest.approx([0.30])
    assert servo_torque(np.array([0.9]), 2.0, 1) < servo_torque(np.array([0.9]), 1.0, 1)


def test_speed_that_stalls_a_servo() -> None:
    speeds = np.linspace(5.0, 40.0, 3000)
    assert stall_speed(speeds, 0.001 * speeds**2, 0.4) == pytest.approx(20.0, abs=1e-3)
    assert stall_speed(speeds, 0.001 * speeds**2, 5.0) == math.inf
    assert stall_speed(speeds, 0.001 * speeds**2, 0.001) == 5.0


def test_hatch() -> None:
    assert outward_load(0.02, 1.4, 1.225, 50.0) == pytest.approx(42.875)
    assert outward_load(0.02, 1.4, 1.225, 100.0) == pytest.approx(4 * 42.875)
    assert all(place.suction.low >= 0.0 for place in PLACES.values())


def test_touchdown_limits() -> None:
    standing = touchdown_load(3.0, 9.80665, 0.0, 1e4)
    assert standing == pytest.approx(2.0 * 3.0 * 9.80665 / 3.0)  # let go at once: twice the weight
    hard = touchdown_load(3.0, 9.80665, 10.0, 1e4)
    assert hard == pytest.approx(10.0 * math.sqrt(1e4 * 3.0), rel=0.01)
    assert touchdown_load(3.0, 9.80665, 1.0, 2e4) > touchdown_load(3.0, 9.80665, 1.0, 1e4)


def test_rough_ground_grows_with_the_root_of_the_spectrum() -> None:
    smooth, rough = (rough_load(10.0, 9.80665, 1970.0, g) - 10.0 for g in (1e-3, 4e-3))
    assert rough == pytest.approx(2.0 * smooth)
    assert rough_load(10.0, 9.80665, 1970.0, 0.0) == 10.0


def test_gap_over_the_ground() -> None:
    behind, ahead = (-0.3, -0.05), (0.3, -0.05)
    assert gap(GEAR, [behind], 0.0) == pytest.approx(0.100)
    assert gap(GEAR, [behind], 0.172) == pytest.approx(0.0699, abs=1e-4)
    assert gap(GEAR, [ahead], 0.172) > gap(GEAR, [ahead], 0.0)
    assert gap(GEAR, [ahead, behind], 0.172) == gap(GEAR, [behind], 0.172)
    assert gap(GEAR, [(-0.13, -0.15)], 0.0) == pytest.approx(0.0)  # the wheel's own contact


def test_a_flap_down_comes_nearer_to_the_ground() -> None:
    up = trailing_edge((0.0, 0.0), 0.2, 0.25, (0.0, 0.0))
    down = trailing_edge((0.0, 0.0), 0.2, 0.25, (0.0, math.radians(30.0)))
    assert up == (-0.2, 0.0)
    assert down == pytest.approx((-0.1933, -0.0250), abs=1e-4)
    nose_up = trailing_edge((0.0, 0.0), 0.2, 0.25, (math.radians(2.0), 0.0))
    assert nose_up[1] == pytest.approx(-0.2 * math.sin(math.radians(2.0)))


def test_every_surface_has_its_grass() -> None:
    assert set(GRASS) == set(SURFACE_WORDS)
