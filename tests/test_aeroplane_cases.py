"""The example jet and a lone wing, as the aeroplane tests use them, with checks of their own."""

import math
from dataclasses import replace

import numpy as np
import pytest

from sim.aeroplane.geometry import Aeroplane, Axle, Body, Flaps, Section, Surface, Tail
from sim.aeroplane.lattice import (
    Lattice,
    circulation,
    induced_form,
    influence,
    lift_and_moment,
    tilt,
)
from sim.aeroplane.panels import hinged_share, surface_panels
from sim.aeroplane.table import both_touch, stance
from sim.roll.aero_table import Array

RAD = math.radians
SYMMETRICAL = Section(thickness=0.09, max_lift=1.0)


def jet(**changes: object) -> Aeroplane:
    """A foam sport jet of 1 m span, invented."""
    parts: dict[str, object] = {
        "wing": Surface(1.0, 0.49, 0.165, RAD(26), 0.395, 0.0, SYMMETRICAL, incidence=RAD(1)),
        "flaps": Flaps("plain", 0.085, 0.295, 0.22),
        "tail": Tail(
            Surface(0.49, 0.195, 0.10, RAD(33), 0.94, 0.0, Section(0.06, max_lift=0.9)),
            "all-moving",
            pivot_station=1.035,
        ),
        "body": Body(1.28, 0.13, 0.12),
        "main": Axle(0.69, -0.122, 0.032, wheels=2),
        "nose": Axle(0.215, -0.122, 0.032),
        "cg_station": 0.56,
        "cg_height": 0.0,
        "scrape_station": 1.23,
        "scrape_height": -0.02,
    }
    return Aeroplane(**{**parts, **changes})  # type: ignore[arg-type]


def lone_lattice(
    surface: Surface, edges: Array, rows: int, flap_fraction: float | None = None
) -> Lattice:
    """A wing alone: the tail slot holds a copy so far aft that the wing does not feel it."""
    far = replace(surface, root_station=surface.root_station + 1e7 * surface.span)
    holder = jet(wing=surface, cg_station=0.0)
    wing = surface_panels(holder, surface, edges, rows)
    if flap_fraction is not None:
        wing.angles[:, 2] = np.repeat(hinged_share(rows, flap_fraction), len(edges) - 1)
    return Lattice(
        wing,
        surface_panels(holder, far, edges, rows),
        surface.area,
        surface.mean_chord,
        surface.quarter_station,
    )


def lone_wing(lattice: Lattice, height: float = math.inf) -> tuple[Array, Array, Array, Array]:
    """Circulation, lift, moment and induced form of the wing alone, per input."""
    tilted = tilt(lattice, 0.0)
    split = lattice.wing.count
    matrix = influence(tilted, height)
    matrix[:split, split:] = 0.0
    matrix[split:, :split] = 0.0
    strength = circulation(tilted, matrix)
    strength[split:] = 0.0
    lift, moment = lift_and_moment(lattice, lattice.wing, strength[:split])
    return strength[:split], lift, moment, induced_form(tilted, strength, height)


def rectangle(aspect: float, sweep: float = 0.0, section: Section = SYMMETRICAL) -> Surface:
    """An untapered wing of unit chord."""
    return Surface(aspect, 1.0, 1.0, sweep, 0.0, 0.0, section)


def inset_edges(half_span: float, strips: int) -> Array:
    """Even strips ending a quarter of a strip inside the tip."""
    return np.linspace(0.0, half_span * strips / (strips + 0.25), strips + 1)


def test_jet_dimensions_by_hand() -> None:
    wing = jet().wing
    assert wing.area == pytest.approx(0.5 * (0.49 + 0.165))
    y = np.linspace(0, 0.5, 20001)
    chord = np.array([wing.chord_at(v) for v in y])
    assert wing.mean_chord == pytest.approx(
        np.trapezoid(chord**2, y) / np.trapezoid(chord, y), rel=1e-7
    )
    lead = np.array([wing.leading_edge_at(v) for v in y])
    quarter = np.trapezoid(chord * (lead + 0.25 * chord), y) / np.trapezoid(chord, y)
    assert wing.quarter_station == pytest.approx(quarter, rel=1e-7)


def test_attitudes_put_both_points_on_the_strip() -> None:
    plane = jet(nose=Axle(0.215, -0.140, 0.025), cg_height=0.013)
    stand = stance(plane)
    main, nose, scrape = stand.points

    def gap(point: tuple[float, float, float], theta: float) -> float:
        x, z, radius = point
        return -x * math.sin(theta) + z * math.cos(theta) - radius

    ground, strike = stand.ground_attitude, stand.strike_attitude
    assert gap(main, ground) == pytest.approx(gap(nose, ground), abs=1e-12)
    assert gap(main, strike) == pytest.approx(gap(scrape, strike), abs=1e-12)
    assert stand.lowest_height(ground) == pytest.approx(-gap(main, ground))
    assert ground > 0  # the longer nose leg lifts the nose
    assert both_touch(nose, main) == ground


def test_lone_wing_is_alone() -> None:
    surface = rectangle(6.0)
    lattice = lone_lattice(surface, inset_edges(3.0, 8), 4)
    _, lift, _, _ = lone_wing(lattice)
    tilted = tilt(lattice, 0.0)
    full = circulation(tilted, influence(tilted, math.inf))[: lattice.wing.count]
    assert lift_and_moment(lattice, lattice.wing, full)[0] == pytest.approx(lift, rel=1e-6)
