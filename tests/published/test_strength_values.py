"""Hinge moments, beams, span loading, rough ground and pressures against the outside world."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad, solve_ivp

from sim.aeroplane.geometry import Section, Surface
from sim.aeroplane.hinge import moment_per_angle_at_lift, moment_per_incidence
from sim.aeroplane.section import flap_values
from sim.aeroplane.span_load import span_loads
from sim.checks.hatch import PLACES
from sim.checks.spar import bending_stress, root_moment, tube_modulus
from sim.checks.wheel_load import (
    ROUGHNESS,
    rough_acceleration,
    touchdown_load,
    velocity_spectrum,
)
from tests.test_aeroplane_cases import jet

FRACTIONS = (0.15, 0.25, 0.35, 0.6, 1.0)


@pytest.mark.parametrize("share", FRACTIONS)
def test_hinge_moment_by_deflection_as_printed(share: float) -> None:
    """Second-hand: Houghton & Carpenter, Aerodynamics for Engineering Students, sect. 4.5.1.

    As transcribed: `b2 = [(1 - cos 2p) - 2 (pi - p)^2 (1 - 2 cos p) + 4 (pi - p) sin p]/(4 pi F^2)`
    with `cos p = 2 F - 1`; there positive is trailing edge up, here down.
    """
    p = math.acos(2.0 * share - 1.0)
    left = math.pi - p
    printed = 1.0 - math.cos(2 * p) - 2 * left**2 * (1 - 2 * math.cos(p)) + 4 * left * math.sin(p)
    printed /= 4.0 * math.pi * share**2
    tau = flap_values(share)[0]
    ours = moment_per_angle_at_lift(share) + tau * moment_per_incidence(share)
    assert -ours == pytest.approx(printed, rel=1e-12)


@pytest.mark.parametrize("share", FRACTIONS)
def test_hinge_moment_by_incidence_by_numbers(share: float) -> None:
    """Computed: the pressure difference 4 alpha cot(t/2) of a flat plate, integrated."""
    hinge = math.acos(2.0 * share - 1.0)

    def slice_of(t: float) -> float:
        return 2.0 * (1.0 + math.cos(t)) * (math.cos(hinge) - math.cos(t)) / 2.0

    assert moment_per_incidence(share) == pytest.approx(
        -quad(slice_of, hinge, math.pi)[0] / share**2, rel=1e-9
    )


def test_hinge_moment_by_deflection_by_numbers() -> None:
    """Computed: Glauert's series summed to 4000 terms and integrated; it converges slowly."""
    share = 0.25
    hinge = math.acos(2.0 * share - 1.0)
    n = np.arange(1, 4001)
    weights = 2.0 / (n * math.pi) * np.sin(n * hinge)
    x, w = np.polynomial.legendre.leggauss(400)
    t = 0.5 * (math.pi - hinge) * x + 0.5 * (math.pi + hinge)
    series = np.sin(np.outer(t, n)) @ weights
    pressure = 4.0 * ((math.pi - hinge) / math.pi / np.tan(0.5 * t) + series)
    arm = 0.5 * (math.cos(hinge) - np.cos(t))
    whole = -(w @ (pressure * arm * 0.5 * np.sin(t))) * 0.5 * (math.pi - hinge) / share**2
    ours = moment_per_angle_at_lift(share) + flap_values(share)[0] * moment_per_incidence(share)
    assert ours == pytest.approx(whole, rel=1e-4)


def test_an_all_moving_surface_is_a_flap_of_the_whole_chord() -> None:
    """Computed: lift 2 pi alpha at the quarter chord about the leading edge."""
    assert moment_per_incidence(1.0) == pytest.approx(-math.pi / 2.0)
    assert moment_per_angle_at_lift(1.0) == pytest.approx(0.0, abs=1e-15)


def test_beams() -> None:
    """Computed (strength of materials): 60 N over 0.35 m; tube 10/8 mm and solid 6 mm rod."""
    places = (np.arange(20000) + 0.5) / 20000 * 0.35
    even = np.full_like(places, 60.0 / places.size)
    round_ = np.sqrt(1.0 - (places / 0.35) ** 2)
    assert root_moment(places, even, 0.0) == pytest.approx(10.50, rel=1e-6)
    assert root_moment(places, 60.0 * round_ / round_.sum(), 0.0) == pytest.approx(8.913, rel=1e-4)
    assert tube_modulus(0.010, 0.008) * 0.005 == pytest.approx(2.8981e-10, rel=1e-4)
    assert bending_stress(10.5, tube_modulus(0.010, 0.008)) == pytest.approx(181.2e6, rel=5e-4)
    assert bending_stress(10.5, tube_modulus(0.006, 0.0)) == pytest.approx(495.1e6, rel=5e-4)


def lifting_line_arm(aspect: float, taper: float, terms: int = 60) -> float:
    """Centre of lift of one half over the half-span, by Glauert's lifting line."""
    n = 2 * np.arange(terms) + 1
    t = (np.arange(terms) + 0.5) / terms * math.pi / 2.0
    chord = 2.0 / (aspect * (1.0 + taper)) * (1.0 - (1.0 - taper) * np.cos(t))  # over span
    mu = 2.0 * math.pi * chord / 4.0
    sines = np.sin(np.outer(t, n))
    a = np.linalg.solve(sines * (np.outer(mu, n) + np.sin(t)[:, None]), mu * np.sin(t))
    fine = (np.arange(4000) + 0.5) / 4000 * math.pi / 2.0
    load = np.sin(np.outer(fine, n)) @ a
    return float((load * np.cos(fine) * np.sin(fine)).sum() / (load * np.sin(fine)).sum())


def lattice_arm(aspect: float, taper: float) -> float:
    """The same by the lattice, quarter line straight."""
    span = 1.6
    root = 2.0 * span / (aspect * (1.0 + taper))
    sweep = math.atan(0.25 * (root - taper * root) / (0.5 * span))
    plain = Surface(span, root, taper * root, sweep, 0.3, 0.0, Section(0.09))
    wing, _ = span_loads(replace(jet(flaps=None), wing=plain))
    return float(wing.own @ wing.places) / (0.5 * span)


@pytest.mark.parametrize(
    ("aspect", "taper", "band"), [(8.0, 1.0, 0.025), (8.0, 0.5, 0.015), (32.0, 0.4, 0.009)]
)
def test_root_moment_of_the_lattice_against_a_lifting_line(
    aspect: float, taper: float, band: float
) -> None:
    """Computed: Glauert's lifting line of an unswept untwisted wing, an independent method.

    The lattice is below it: by 0.8 to 1 % because it ends a quarter of a strip inside the tip, the
    rest because a lifting line holds the load up to square tips, which falls as the wing grows
    slender (2.4 % at aspect ratio 8, 1.4 % at 32, square tips).
    """
    assert lattice_arm(aspect, taper) == pytest.approx(lifting_line_arm(aspect, taper), rel=band)


def test_the_difference_falls_as_the_wing_grows_slender() -> None:
    """Computed: lifting line and lattice belong together in the limit."""
    apart = [1.0 - lattice_arm(a, 1.0) / lifting_line_arm(a, 1.0) for a in (4.0, 8.0, 16.0, 32.0)]
    assert apart == sorted(apart, reverse=True) and apart[-1] < 0.6 * apart[0]


def test_an_elliptic_load_is_what_a_slender_wing_of_that_taper_nearly_has() -> None:
    """Computed: arm 4/(3 pi) of the half-span; a lifting line of taper 0.4 lies close to it."""
    assert lifting_line_arm(1e-3, 0.4) == pytest.approx(4.0 / (3.0 * math.pi), rel=1e-3)
    assert lifting_line_arm(8.0, 0.4) == pytest.approx(4.0 / (3.0 * math.pi), rel=0.02)


def test_classes_of_rough_ground() -> None:
    """From memory: ISO 8608, geometric means of the displacement spectrum at 0.1 cycle/m."""
    printed = {"A": 16, "B": 64, "C": 256, "D": 1024, "E": 4096}
    for name, value in printed.items():
        assert ROUGHNESS[name] == pytest.approx(value * 1e-6)


def test_velocity_spectrum_of_a_class_as_the_standard_tables_it() -> None:
    """From memory: ISO 8608 gives classes by velocity too, class A 6.3e-6 m per cycle/m."""
    assert velocity_spectrum(ROUGHNESS["A"], 1.0) == pytest.approx(6.3e-6, rel=0.01)


def test_rough_acceleration_by_quadrature() -> None:
    """Computed: response of one mass on spring and damper to a white ground velocity."""
    spectrum, natural, damping = 6.064e-3, 44.0, 0.15

    def response(w: float) -> float:
        size = (natural**2 - w**2) ** 2 + (2.0 * damping * natural * w) ** 2
        return natural**4 * w**2 / size / (2.0 * math.pi)

    whole = quad(response, 0.0, 20.0 * natural, limit=400, points=[natural])[0]
    whole += quad(response, 20.0 * natural, math.inf, limit=400)[0]
    found = rough_acceleration(spectrum, natural, damping)
    assert found == pytest.approx(math.sqrt(spectrum * whole), rel=1e-5)
    assert found == pytest.approx(20.7, abs=0.1)


def test_touchdown_by_motion() -> None:
    """Computed: the sinking mass followed by an independent integrator."""
    mass, gravity, sink, stiffness = 3.0, 9.80665, 1.0, 1e4

    def motion(_: float, y: list[float]) -> list[float]:
        return [y[1], gravity / 3.0 - stiffness / mass * y[0]]

    way = solve_ivp(motion, (0.0, 0.1), [0.0, sink], rtol=1e-10, atol=1e-12, max_step=1e-4)
    assert touchdown_load(mass, gravity, sink, stiffness) == pytest.approx(
        stiffness * way.y[0].max(), rel=1e-6
    )


def test_suction_of_a_canopy_lies_between_a_slender_body_and_a_ball() -> None:
    """From memory: Lamb, Hydrodynamics (1932), art. 114 and 71.

    The flow past the largest girth is `1 + k` times that far away, so `-c_p = (1 + k)^2 - 1`, k
    the added mass along the axis over that of the air pushed aside: 0.5 for a ball, 0.059 for a
    body five times as long as thick.
    """
    e = math.sqrt(1.0 - 1.0 / 25.0)
    log = math.log((1.0 + e) / (1.0 - e))
    alpha = 2.0 * (1.0 - e * e) / e**3 * (0.5 * log - e)
    slender = alpha / (2.0 - alpha)
    assert slender == pytest.approx(0.059, abs=5e-4)
    low, high = ((1.0 + k) ** 2 - 1.0 for k in (slender, 0.5))
    assert (low, high) == pytest.approx((0.121, 1.25), abs=2e-3)
    # a canopy: a little below the slender body, where it may sit, to a little above the ball
    suction = PLACES["nose"].suction
    assert suction.low < low < suction.typical < high < suction.high
    assert suction.high == pytest.approx(high, rel=0.15) and suction.low > 0.5 * low
