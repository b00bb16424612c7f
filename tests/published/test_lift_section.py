"""Camber and flaps in a lattice of enormous aspect ratio against thin-aerofoil theory."""

import math
from dataclasses import replace

import numpy as np
import pytest

from sim.aeroplane.geometry import Section
from sim.aeroplane.section import flap_values, quarter_moment, zero_lift_angle
from tests.test_aeroplane_cases import lone_lattice, lone_wing, rectangle

LONG = 2000.0
CAMBERED = [(0.02, -2.077, -0.0531), (0.04, -4.154, -0.1062)]
FLAPS = [
    (0.20, 0.5498, 3.455, -0.640),
    (0.25, 0.6090, 3.826, -0.650),
    (0.30, 0.6607, 4.152, -0.642),
]


@pytest.mark.parametrize(("camber", "angle", "moment"), CAMBERED)
def test_camber_in_closed_form(camber: float, angle: float, moment: float) -> None:
    """2412 and 4412 by thin-aerofoil theory (computed).

    Measured, NACA Report 824, Re 6e6: -2.0 deg, -0.047 and -3.8 to -4.0 deg, -0.093 (from memory).
    """
    section = Section(0.12, camber, 0.4)
    assert math.degrees(zero_lift_angle(section)) == pytest.approx(angle, abs=0.001)
    assert quarter_moment(section) == pytest.approx(moment, abs=0.0001)
    assert math.degrees(zero_lift_angle(section)) == pytest.approx(-200 * camber / 2, rel=0.1)


@pytest.mark.parametrize(("camber", "angle", "moment"), CAMBERED)
def test_camber_in_the_lattice(camber: float, angle: float, moment: float) -> None:
    """The slope of the mean line on the panels gives the same two numbers (computed)."""
    surface = rectangle(LONG, section=Section(0.12, camber, 0.4))
    _, lift, pitch, _ = lone_wing(lone_lattice(surface, np.linspace(0.0, LONG / 2, 4), 6))
    zero = -lift[0] / lift[1]
    at_zero_lift = pitch[0] + pitch[1] * zero
    assert math.degrees(zero) == pytest.approx(angle, rel=0.01)
    assert at_zero_lift == pytest.approx(moment, rel=0.04)


@pytest.mark.parametrize(("camber", "angle", "moment"), CAMBERED)
def test_given_section_values_are_used(camber: float, angle: float, moment: float) -> None:
    section = Section(0.12, 0.0, 0.4, zero_lift_angle=math.radians(angle), moment=moment)
    surface = rectangle(LONG, section=section)
    lattice = lone_lattice(surface, np.linspace(0.0, LONG / 2, 4), 6)
    _, lift, pitch, _ = lone_wing(lattice)
    zero = -lift[0] / lift[1]
    assert math.degrees(zero) == pytest.approx(angle, rel=1e-6)
    total = pitch[0] + lattice.wing.pure_moment + pitch[1] * zero
    assert total == pytest.approx(moment, rel=1e-6)


@pytest.mark.parametrize(("fraction", "tau", "slope", "moment"), FLAPS)
def test_flap_in_closed_form(fraction: float, tau: float, slope: float, moment: float) -> None:
    """Glauert's plain flap (computed)."""
    assert flap_values(fraction) == pytest.approx((tau, slope, moment), abs=0.0006)


@pytest.mark.parametrize("fraction", [0.20, 0.25, 0.30, 1 / 6])
@pytest.mark.parametrize("rows", [4, 6])
def test_flap_in_the_lattice(rows: int, fraction: float) -> None:
    """Weighted panels meet Glauert's flap, hinge on a panel edge (1/6 of six rows) or not."""
    tau, _, moment = flap_values(fraction)
    edges = np.linspace(0.0, LONG / 2, 4)
    _, lift, pitch, _ = lone_wing(lone_lattice(rectangle(LONG), edges, rows, fraction))
    assert lift[1] == pytest.approx(2 * math.pi, rel=0.003)
    assert lift[2] / lift[1] == pytest.approx(tau, rel=0.02)
    assert pitch[2] == pytest.approx(moment, rel=0.08)


def test_no_camber_no_moment() -> None:
    flat = replace(Section(0.12), camber=0.0)
    assert zero_lift_angle(flat) == 0.0
    assert quarter_moment(flat) == 0.0
