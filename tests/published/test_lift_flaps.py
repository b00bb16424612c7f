"""Deflection-dependent flap and elevator values, stall, drag and body against published figures."""

import math
from itertools import pairwise

import pytest

from sim.aeroplane.body import apparent_mass_factor
from sim.aeroplane.drag import Stream, body_form_factor, friction, surface_form_factor
from sim.aeroplane.flaps import FADE_LAWS, drag_rise, fade_law, max_lift_rise
from sim.aeroplane.geometry import Section, Surface
from sim.aeroplane.inertia import estimated_inertia, swung_inertia
from sim.aeroplane.stall import section_min_lift, surface_max_lift

RAD = math.radians


@pytest.mark.parametrize(
    ("angle", "low", "high"),
    [
        (10, 0.80, 0.90),
        (20, 0.67, 0.75),
        (40, 0.50, 0.55),
        (60, 0.38, 0.43),
    ],
)
def test_plain_flap_effectiveness(angle: float, low: float, high: float) -> None:
    """0.85 to 10 deg, 0.70 at 20, 0.50-0.55 at 40, 0.40 at 60 of Glauert's value: McCormick; Raymer
    fig. 16.6 (from memory, hence the width of the bands)."""
    law = FADE_LAWS["plain"]
    assert low < law.effective(RAD(angle)) / RAD(angle) < high
    assert law.effective(-RAD(angle)) == -law.effective(RAD(angle))


@pytest.mark.parametrize("kind", ["plain", "split", "slotted"])
def test_effective_angle_never_falls(kind: str) -> None:
    law = FADE_LAWS[kind]  # type: ignore[index]
    angles = [RAD(a) for a in range(0, 61, 5)]
    values = [law.effective(a) for a in angles]
    assert all(b > a for a, b in pairwise(values))


def test_slot_holds_longest_and_elevator_is_a_plain_flap() -> None:
    at_40 = {kind: law.effective(RAD(40)) for kind, law in FADE_LAWS.items()}
    assert at_40["plain"] < at_40["split"] < at_40["slotted"]
    assert fade_law("hinged") == FADE_LAWS["plain"]
    assert fade_law("all-moving").effective(0.3) == 0.3


def test_flap_drag_of_young() -> None:
    """Young, ARC R&M 2622 (1947), coefficients from memory: worked by hand; and within 30 % of
    Raymer's `F (cf/c)(Sf/S)(delta - 10)`, F 0.0144 plain, 0.0074 slotted (from memory)."""
    assert drag_rise("plain", 0.22, 0.5, RAD(20)) == pytest.approx(0.01230, abs=1e-5)
    assert drag_rise("plain", 0.25, 1.0, RAD(90)) == pytest.approx(1.7 * 0.25**1.38)
    assert drag_rise("split", 0.2, 0.5, 0.5) == drag_rise("plain", 0.2, 0.5, 0.5)
    for kind, factor in (("plain", 0.0144), ("slotted", 0.0074)):
        for angle in (30, 40, 50):
            other = factor * 0.25 * 0.5 * (angle - 10)
            assert drag_rise(kind, 0.25, 0.5, RAD(angle)) == pytest.approx(  # type: ignore[arg-type]
                other, rel=0.30
            )


def test_rise_of_maximum_lift() -> None:
    """`0.9 dclmax Sf/S cos`: 0.9 plain and split, 1.3 slotted: Raymer, table 12.2 (from memory)."""
    assert max_lift_rise("plain", 0.25, 0.5, 0.0, RAD(50)) == pytest.approx(0.405)
    assert max_lift_rise("slotted", 0.25, 0.5, RAD(60), RAD(40)) == pytest.approx(0.2925)
    steps = [max_lift_rise("plain", 0.25, 0.5, 0.0, RAD(a)) for a in (0, 15, 30, 50, 70)]
    assert steps[0] == 0.0
    assert steps[0] < steps[1] < steps[2] < steps[3] == steps[4]


def test_maximum_lift_of_surfaces() -> None:
    """`0.9 clmax cos`: Raymer eq. 12.15 (from memory). 2412 upside down: 1.25 at Re 6e6 with 1.68
    upright, NACA Report 824 (from memory)."""
    swept = Surface(1.0, 0.2, 0.2, RAD(20), 0.0, 0.0, Section(0.1, max_lift=1.0))
    assert surface_max_lift(swept) == pytest.approx(0.8457, abs=1e-4)
    own = Surface(1.0, 0.2, 0.2, 0.3, 0, 0, Section(0.1, max_lift=0.8, lift_is_surface=True))
    assert surface_max_lift(own) == 0.8
    assert section_min_lift(Section(0.12, 0.02, 0.4, max_lift=1.68)) == pytest.approx(
        1.25, abs=0.05
    )
    assert section_min_lift(Section(0.12, max_lift=0.9)) == 0.9


def test_skin_friction() -> None:
    """Blasius 1.328/sqrt(Re) and Prandtl-Schlichting 0.455/(log10 Re)^2.58 (0.00447 at 1e6, 0.00300
    at 1e7: Schlichting, Boundary-Layer Theory, table, from memory)."""
    for reynolds, printed in ((1e6, 0.00447), (1e7, 0.00300)):
        turbulent = (friction(reynolds) - 0.1 * 1.328 / math.sqrt(reynolds)) / 0.9
        assert turbulent == pytest.approx(printed, rel=0.005)
    assert friction(1e5) > friction(1e6)
    assert Stream(15.0).reynolds(0.354) == pytest.approx(3.64e5, rel=0.003)


def test_form_factors() -> None:
    """Hoerner's section factor and Raymer's body factor, by hand (formulas from memory)."""
    assert surface_form_factor(0.12) == pytest.approx(1.2524, abs=1e-4)
    assert body_form_factor(10.0) == pytest.approx(1.085)


@pytest.mark.parametrize(
    ("fineness", "printed"),
    [
        (2.0, 0.702 - 0.209),
        (4.0, 0.860 - 0.082),
        (6.01, 0.918 - 0.045),
        (9.97, 0.960 - 0.021),
    ],
)
def test_apparent_mass_of_lamb(fineness: float, printed: float) -> None:
    """Inertia coefficients of the ovoid: Lamb, Hydrodynamics, art. 115; Munk, NACA Report 184 (both
    tables from memory)."""
    assert apparent_mass_factor(fineness) == pytest.approx(printed, abs=0.0015)


def test_two_string_swing() -> None:
    """A uniform rod hung at its ends swings with `T = 2 pi sqrt(L/(3 g))` (textbook)."""
    mass, length, string = 0.8, 1.2, 0.7
    period = 2 * math.pi * math.sqrt(string / (3 * 9.80665))
    assert swung_inertia(mass, length, string, period) == pytest.approx(mass * length**2 / 12)


def test_estimated_inertia_brackets() -> None:
    guess = estimated_inertia(3.2, 1.28)
    assert guess.low == pytest.approx(0.11796, abs=1e-4)
    assert guess.typical == pytest.approx(0.1699, abs=1e-4)
    assert guess.low < guess.typical < guess.high
