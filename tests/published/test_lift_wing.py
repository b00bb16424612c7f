"""Wings alone against published lattices, measurements and lifting-line results."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from sim.aeroplane.lattice import Lattice, induced_form, lift_and_moment, tilt
from sim.roll.aero_table import Array
from tests.test_aeroplane_cases import inset_edges, lone_lattice, lone_wing, rectangle

SWEPT = rectangle(5.0, math.radians(45))


def test_swept_wing_of_bertin_and_cummings() -> None:
    """A 5, 45 deg, untapered, 4 panels on the half wing.

    Bertin & Cummings, Aerodynamics for Engineers, swept-wing example: slope 1.096 pi = 3.443,
    circulations over 4 pi b U alpha 0.0273, 0.0287, 0.0286, 0.0250 (from memory; slope recomputed
    3.4442).
    """
    lattice = lone_lattice(SWEPT, np.linspace(0, 2.5, 5), 1)
    strength, lift, _, _ = lone_wing(lattice)
    assert lift[1] == pytest.approx(3.4442, abs=0.0002)
    assert lift[1] == pytest.approx(1.096 * math.pi, abs=0.002)
    printed = [0.0273, 0.0287, 0.0286, 0.0250]
    assert strength[:, 1] / (4 * math.pi * 5.0) == pytest.approx(printed, abs=0.00006)


def test_swept_wing_of_weber_and_brebner() -> None:
    """The same planform measured: Weber & Brebner, ARC R&M 2882 (1958), 3.247 /rad (second-hand).

    A 16 x 4 lattice gives 3.251 (computed).
    """
    _, lift, _, _ = lone_wing(lone_lattice(SWEPT, np.linspace(0, 2.5, 17), 4))
    assert lift[1] == pytest.approx(3.251, abs=0.002)
    assert lift[1] == pytest.approx(0.238 / math.radians(4.2), rel=0.005)


@pytest.mark.parametrize(
    ("aspect", "sweep", "slope"),
    [
        (2.0, 0.0, 2.6026),
        (4.0, 0.0, 3.8832),
        (6.0, 0.0, 4.5287),
        (8.0, 0.0, 4.9058),
        (5.0, 45.0, 3.3605),
    ],
)
def test_lift_slope_of_polhamus(aspect: float, sweep: float, slope: float) -> None:
    """Polhamus/Helmbold `2 pi A/(2 + sqrt(4 + A^2 (1 + tan^2 L)))` (computed).

    The formula is that of the elliptic wing, the most lift a span can give; it is itself 2-3 % high
    of the elliptic lattice (next test). Untapered wings must lie below it, by 5-7.5 % here.
    """
    surface = rectangle(aspect, math.radians(sweep))
    _, lift, _, _ = lone_wing(lone_lattice(surface, inset_edges(aspect / 2, 12), 6))
    assert 0.925 < lift[1] / slope < 0.955


def elliptic(aspect: float, strips: int, rows: int) -> Lattice:
    """An elliptic wing of area `aspect` with a straight quarter-chord line."""
    edges = inset_edges(aspect / 2, strips)
    lattice = lone_lattice(rectangle(aspect), edges, rows)

    def grid(fractions: Array, places: Array) -> Array:
        chord = 4 / math.pi * np.sqrt(1 - (2 * places / aspect) ** 2)
        points = np.zeros((len(fractions), len(places), 3))
        points[..., 0] = (fractions[:, None] - 0.25) * chord
        points[..., 1] = places
        return points

    bound = np.append((np.arange(rows) + 0.25) / rows, 1.0)
    control = grid((np.arange(rows) + 0.75) / rows, 0.5 * (edges[1:] + edges[:-1]))
    wing = replace(lattice.wing, nodes=grid(bound, edges), control=control)
    return replace(lattice, wing=wing)


@pytest.mark.parametrize(("aspect", "slope"), [(2.0, 2.6026), (4.0, 3.8832), (8.0, 4.9058)])
def test_elliptic_wing(aspect: float, slope: float) -> None:
    """Helmbold within 4 % (computed), induced drag `CL^2/(pi A)` (Munk, Prandtl) within 0.5 %."""
    _, lift, _, form = lone_wing(elliptic(aspect, 16, 6))
    assert lift[1] == pytest.approx(slope, rel=0.04)
    assert form[1, 1] == pytest.approx(lift[1] ** 2 / (math.pi * aspect), rel=0.005)


def test_rectangle_of_lifting_surface_theory() -> None:
    """A 2: 2.4744 /rad by converged lifting-surface theory: Garner, Hewitt, Labrujere, ARC R&M 3597
    (1968) (from memory)."""
    _, lift, _, _ = lone_wing(lone_lattice(rectangle(2.0), inset_edges(1.0, 12), 6))
    assert lift[1] == pytest.approx(2.4744, rel=0.002)


def elliptic_drag(share: float) -> float:
    """Trefftz-plane drag of an elliptic load over the square of its lift, `share` = h/b."""
    span, strips = 10.0, 24
    edges = inset_edges(span / 2, strips)
    lattice = lone_lattice(rectangle(span), edges, 1)
    load = np.zeros((2 * strips, 5))
    load[:strips, 1] = np.sqrt(1 - (np.convolve(edges, [0.5, 0.5], "valid") / 5.0) ** 2)
    lift = lift_and_moment(lattice, lattice.wing, load[:strips])[0][1]
    return float(induced_form(tilt(lattice, 0.0), load, share * span)[1, 1] / lift**2)


def test_elliptic_load_in_free_air() -> None:
    """Prandtl, Munk: `CL^2/(pi A)`."""
    assert elliptic_drag(math.inf) == pytest.approx(1 / (math.pi * 10.0), rel=0.0005)


@pytest.mark.parametrize("share", [0.035, 0.05, 0.1, 0.15, 0.2, 0.25])
def test_induced_drag_near_the_ground_of_wieselsberger(share: float) -> None:
    """`sigma = (1 - 1.32 h/b)/(1.05 + 7.4 h/b)`, 0.033 < h/b < 0.25; NACA TM 77 (from memory).

    It is the influence of one elliptic load on its image. A rectangle's own load, which the ground
    makes fuller still, is helped a little less.
    """
    sigma = (1 - 1.32 * share) / (1.05 + 7.4 * share)
    assert 1 - elliptic_drag(share) / elliptic_drag(math.inf) == pytest.approx(sigma, abs=0.003)
    lattice = lone_lattice(rectangle(10.0), inset_edges(5.0, 12), 4)

    def factor(height: float) -> float:
        _, lift, _, form = lone_wing(lattice, height)
        return float(form[1, 1] / lift[1] ** 2)

    own = 1 - factor(share * 10.0) / factor(math.inf)
    assert sigma - 0.04 < own < sigma


def test_induced_drag_of_the_rectangle() -> None:
    """A 6 lies between the elliptic least and the lifting line's 1.05, which knows no chordwise
    spread of the load (Glauert, Elements, ch. 11, from memory)."""
    _, lift, _, form = lone_wing(lone_lattice(rectangle(6.0), inset_edges(3.0, 24), 4))
    assert 1.005 < form[1, 1] / (lift[1] ** 2 / (math.pi * 6)) < 1.05


def test_lift_grows_and_falls_with_height() -> None:
    """Image flat plate: lift slope rises toward the ground without end, never under free air."""
    lattice = lone_lattice(rectangle(6.0), inset_edges(3.0, 8), 4)
    slopes = [lone_wing(lattice, h)[1][1] for h in (0.2, 0.5, 1.0, 3.0, 30.0, math.inf)]
    assert all(a > b for a, b in pairwise(slopes))
    assert slopes[-2] == pytest.approx(slopes[-1], rel=2e-3)
