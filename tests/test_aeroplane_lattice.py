"""Single details of the lattice that a whole aeroplane would hide."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from sim.aeroplane.build import build_aeroplane
from sim.aeroplane.drag import Stream, drag_parts
from sim.aeroplane.geometry import Section, Tail
from sim.aeroplane.influence import far_wake, half_lattice
from sim.aeroplane.lattice import circulation, columns, induced_form, influence, tilt
from sim.aeroplane.panels import aeroplane_panels
from sim.aeroplane.table import make_solver, wake_weight
from sim.roll.aero_table import (
    INDUCED,
    INDUCED_PAIRS,
    TAIL_LIFT,
    TAIL_MOMENT,
    TAIL_OWN,
    WING_LIFT,
    WING_MOMENT,
)
from tests.test_aeroplane_cases import RAD, jet

SOLVER = make_solver(jet())


def test_normals_stand_on_their_panels() -> None:
    plane = jet(wing=replace(jet().wing, dihedral=RAD(7)))
    wing, tail = aeroplane_panels(plane)
    for part in (wing, tail):
        chordwise = part.nodes[-1, 3] - part.nodes[0, 3]
        spanwise = part.nodes[0, 4] - part.nodes[0, 3]
        assert part.normal @ chordwise == pytest.approx(0.0, abs=1e-15)
        assert part.normal @ spanwise == pytest.approx(0.0, abs=1e-15)
        assert part.normal[2] > 0.9
    assert wing.nodes[0, -1, 2] > wing.nodes[0, 0, 2]  # tips up


def test_washout_unloads_the_tips() -> None:
    washed = make_solver(jet(wing=replace(jet().wing, washout=RAD(2)))).level
    assert washed[WING_LIFT][0] < SOLVER.level[WING_LIFT][0] - 0.02
    assert washed[WING_LIFT][1:] == pytest.approx(SOLVER.level[WING_LIFT][1:])
    # swept wing: less lift behind, so the nose rises
    assert washed[WING_MOMENT][0] > SOLVER.level[WING_MOMENT][0]


def test_induced_form_gives_the_drag_of_any_mixture() -> None:
    tilted = tilt(SOLVER.lattice, 0.1)
    height = SOLVER.lowest(0.1)
    strength = circulation(tilted, influence(tilted, height))
    inputs = np.array([1.0, 0.13, 0.3, -0.2])
    mixed = np.zeros_like(strength)
    mixed[:, 1] = strength[:, :4] @ inputs
    expected = induced_form(tilted, mixed, height)[1, 1]
    terms = columns(tilted, height)[INDUCED]
    total = sum(v * inputs[i] * inputs[j] for v, (i, j) in zip(terms, INDUCED_PAIRS, strict=True))
    assert total == pytest.approx(expected, rel=1e-12)


def test_given_section_moments_reach_both_surfaces() -> None:
    given = Section(0.1, zero_lift_angle=0.0, moment=-0.05)
    tail = replace(jet().tail.surface, section=given)
    plane = jet(wing=replace(jet().wing, section=given), tail=replace(jet().tail, surface=tail))
    change = make_solver(plane).level - SOLVER.level
    wing = jet().wing
    share = tail.area * tail.mean_chord / (wing.area * wing.mean_chord)
    assert change[WING_MOMENT][0] == pytest.approx(-0.05)
    assert change[TAIL_MOMENT][0] == pytest.approx(-0.05 * share)
    assert change[WING_LIFT] == pytest.approx(np.zeros(5), abs=1e-12)


def test_tail_incidence_and_camber_show_in_its_own_lift() -> None:
    tail = replace(jet().tail.surface, incidence=RAD(-2))
    level = make_solver(jet(tail=Tail(tail, "all-moving"))).level
    assert level[TAIL_OWN][0] == pytest.approx(RAD(-2) * level[TAIL_OWN][1])
    # an all-moving tail turned trailing edge up is a tail of less incidence
    less = SOLVER.level[TAIL_LIFT][0] + RAD(2) * SOLVER.level[TAIL_LIFT][3]
    assert level[TAIL_LIFT][0] == pytest.approx(less, rel=1e-9)


def test_tilt_is_kept_whole_on_the_wheels_and_lost_in_free_air() -> None:
    assert wake_weight(0.0, 0.7) == 0.0
    assert wake_weight(0.7, 0.7) == 1.0
    assert wake_weight(0.699, 0.7) == pytest.approx(1.0, abs=1e-5)  # level where the wheels leave
    theta = RAD(8)
    low = SOLVER.lowest(theta)
    whole = columns(tilt(SOLVER.lattice, theta), low)
    whole[WING_MOMENT][1] += SOLVER.body_moment
    difference = SOLVER.above_strip(theta, np.array([low]))[0]
    assert SOLVER.level + difference == pytest.approx(whole, abs=1e-12)
    far = SOLVER.above_strip(theta, np.array([1e4]))[0]
    assert np.max(np.abs(far)) < 1e-4


def test_a_plane_vortex_pair_far_away() -> None:
    """Mid-span of one very long strip: the bound vortex alone, `1/(2 pi r)` downward behind it."""
    nodes = np.array([[[0.0, -1e6, 0.0], [0.0, 1e6, 0.0]], [[1e-9, -1e6, 0.0], [1e-9, 1e6, 0.0]]])
    up = np.array([[0.0, 0.0, 1.0]])
    behind = half_lattice(np.array([[2.0, 0.0, 0.0]]), up, nodes)
    assert behind[0, 0] == pytest.approx(-1 / (2 * math.pi * 2.0), rel=1e-5)
    between = far_wake(np.zeros((1, 2)), np.array([[0.0, 1.0]]), np.array([[-1.0, 0], [1.0, 0]]))
    assert between[0, 0] == pytest.approx(-1 / math.pi)


def straight_vortex(place: np.ndarray, start: np.ndarray, end: np.ndarray) -> np.ndarray:
    """Biot and Savart for a straight piece; Katz & Plotkin (2001), eq. 2.72 (from memory)."""
    first, second, along = place - start, place - end, end - start
    cross = np.cross(first, second)
    ends = along @ (first / np.linalg.norm(first) - second / np.linalg.norm(second))
    return np.asarray(cross / (4 * math.pi * (cross @ cross)) * ends)


def test_every_horseshoe_is_made_of_straight_vortices() -> None:
    """A skewed mesh of 2 by 3, its legs taken 100 km long, at points above, ahead and behind."""
    random = np.random.default_rng(4)
    x, y = np.meshgrid([0.0, 0.1, 0.25], [0.0, 0.2, 0.35, 0.5], indexing="ij")
    nodes = np.stack([x + 0.4 * y, y, 0.1 * y - 0.05 * x], axis=-1)
    points, directions = random.uniform(-1.0, 1.0, (12, 3)), random.normal(size=(12, 3))
    found = half_lattice(points, directions, nodes).reshape(12, 2, 3)
    for row, strip in np.ndindex(2, 3):
        inner, outer = nodes[row:, strip], nodes[row:, strip + 1]
        away = np.array([1e5, 0.0, 0.0])
        path = [inner[-1] + away, *inner[::-1], *outer, outer[-1] + away]
        for point, direction, value in zip(points, directions, found[:, row, strip], strict=True):
            parts = [straight_vortex(point, a, b) for a, b in pairwise(path)]
            assert value == pytest.approx(direction @ sum(parts), rel=1e-9, abs=1e-9)


def test_tilting_turns_the_influence_of_the_surfaces_along() -> None:
    """In free air, surfaces and wakes apart, against all of it worked out at the tilted places."""
    tilted = tilt(SOLVER.lattice, 0.2)
    sides = np.array([1.0, -1.0, 1.0])
    parts = [
        half_lattice(tilted.control, tilted.normal, one.nodes)
        + half_lattice(tilted.control * sides, tilted.normal * sides, one.nodes)
        for one in tilted.meshes
    ]
    whole = np.concatenate(parts, axis=1)
    assert tilted.free == pytest.approx(whole, rel=1e-11, abs=1e-12)


def test_strip_is_a_stream_surface() -> None:
    """Over the strip no air goes through it: image and aeroplane cancel on the plane Z = 0."""
    tilted, height = tilt(SOLVER.lattice, 0.1), 0.2
    place = np.array([[0.3, 0.1, -height], [-0.4, 0.3, -height]])  # on the strip, CG axes
    down, up = np.tile([0.0, 0.0, 1.0], (2, 1)), np.tile([0.0, 0.0, -1.0], (2, 1))
    for one in tilted.meshes:
        nodes = one.nodes
        own = half_lattice(place, down, nodes)
        mirrored = place * [1, 1, -1] - [0, 0, 2 * height]
        assert np.max(np.abs(own)) > 0
        assert own + half_lattice(mirrored, up, nodes) == pytest.approx(np.zeros_like(own))


def test_build_keeps_camber_and_elevator_chord() -> None:
    stream = Stream(15.0)
    plain = jet().tail.surface
    small, large = (
        build_aeroplane(jet(tail=Tail(plain, "hinged", share)), stream).table.values[0, TAIL_LIFT][
            3
        ]
        for share in (0.2, 0.4)
    )
    assert large < small < 0
    bent = replace(jet().wing, section=Section(0.1, 0.02, 0.4))
    lift = build_aeroplane(jet(wing=bent), stream).table.values[0, WING_LIFT][0]
    assert lift > SOLVER.level[WING_LIFT][0] + 0.08


def test_drag_parts_act_at_their_own_height() -> None:
    heights = {part.name: part.height for part in drag_parts(jet(), Stream(15.0))}
    assert heights["main wheels"] == -0.122
    assert heights["main legs"] == pytest.approx(0.5 * (-0.122 - 0.06))
    assert heights["fin"] > heights["body"] == 0.0
