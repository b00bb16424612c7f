"""Signs, symmetries, limits and accuracy of the aerodynamic table of the example jet."""

import math
from dataclasses import replace

import numpy as np
import pytest

from sim.aeroplane.build import seen_by_lattice
from sim.aeroplane.geometry import Aeroplane, Axle, Flaps, Surface, Tail
from sim.aeroplane.lattice import columns, tilt
from sim.aeroplane.panels import (
    STRIPS,
    SurfacePanels,
    aeroplane_panels,
    hinged_share,
    spanwise_edges,
)
from sim.aeroplane.table import Solver, build_table, evaluate, make_lattice, make_solver
from sim.roll.aero_table import (
    INDUCED,
    INDUCED_PAIRS,
    TAIL_LIFT,
    TAIL_MOMENT,
    TAIL_OWN,
    WING_LIFT,
    WING_MOMENT,
    Array,
)
from tests.test_aeroplane_cases import RAD, jet

ONE, ALPHA, FLAP, ELEVATOR, RATE = range(5)
SOLVER = make_solver(jet())
TABLE = build_table(SOLVER)
FREE = TABLE.values[0]
DOWN = evaluate(TABLE, SOLVER.lowest(0.0), 0.0)


def direct(solver: Solver, height: float, theta: float) -> Array:
    """Solve the lattice there, without the table."""
    return np.asarray(solver.level + solver.above_strip(theta, np.array([height]))[0])


@pytest.mark.parametrize("place", [FREE, DOWN])
def test_sign_of_every_column(place: Array) -> None:
    wing, tail = place[WING_LIFT], place[TAIL_LIFT]
    assert wing[ALPHA] > 2 and wing[FLAP] > 0.3 and wing[ELEVATOR] < 0 < wing[RATE]
    assert wing[ONE] == pytest.approx(RAD(1) * wing[ALPHA], rel=0.06)  # incidence of one degree
    assert place[WING_MOMENT][FLAP] < 0  # lift behind the quarter chord
    assert place[WING_MOMENT][RATE] < 0
    assert tail[ALPHA] > 0 > tail[ELEVATOR]  # trailing edge up: tail lift falls
    assert place[TAIL_MOMENT][ELEVATOR] > 0  # and the nose rises
    assert place[TAIL_MOMENT][ALPHA] < 0
    assert tail[RATE] > 0 > place[TAIL_MOMENT][RATE]  # damping
    assert tail[FLAP] < 0 < place[TAIL_MOMENT][FLAP]  # near-root flaps wash the tail down
    assert 0 < tail[ALPHA] < place[TAIL_OWN][1]
    assert place[TAIL_OWN][0] == pytest.approx(0.0, abs=1e-12)  # symmetrical tail at zero
    assert abs(tail[ELEVATOR]) == pytest.approx(place[TAIL_OWN][1], rel=0.10)


def test_induced_drag_is_a_positive_form() -> None:
    for place in (FREE, DOWN):
        form = np.zeros((4, 4))
        for value, (i, j) in zip(place[INDUCED], INDUCED_PAIRS, strict=True):
            form[i, j] += value / 2
            form[j, i] += value / 2
        assert np.all(np.linalg.eigvalsh(form) > -1e-12)


def test_drag_of_incidence_is_near_the_least() -> None:
    """Wing and tail in line: never under `CL^2/(pi A)` with the total lift, and within 10 %."""
    total = FREE[WING_LIFT][ALPHA] + FREE[TAIL_LIFT][ALPHA]
    drag = FREE[INDUCED][INDUCED_PAIRS.index((1, 1))]
    assert 1.0 < drag / (total**2 / (math.pi * jet().wing.aspect_ratio)) < 1.10


def test_ground_raises_lift_and_spares_the_tail_downwash() -> None:
    assert DOWN[WING_LIFT][ALPHA] > 1.15 * FREE[WING_LIFT][ALPHA]
    assert DOWN[TAIL_LIFT][ALPHA] > 1.3 * FREE[TAIL_LIFT][ALPHA]
    assert abs(DOWN[TAIL_LIFT][FLAP]) < abs(FREE[TAIL_LIFT][FLAP])
    ratio = [
        place[INDUCED][INDUCED_PAIRS.index((1, 1))]
        / (place[WING_LIFT][ALPHA] + place[TAIL_LIFT][ALPHA]) ** 2
        for place in (DOWN, FREE)
    ]
    assert ratio[0] < 0.75 * ratio[1]


def test_tilting_on_the_mains_stiffens_in_pitch() -> None:
    """An independent lattice found the stiffness on the mains, tilted 8 degrees, larger by half or
    more than level, the tail's lift per incidence almost doubled."""
    theta = RAD(8)
    tilted = evaluate(TABLE, SOLVER.lowest(theta), theta)
    stiff = [p[WING_MOMENT][ALPHA] + p[TAIL_MOMENT][ALPHA] for p in (DOWN, tilted)]
    assert stiff[1] < 1.5 * stiff[0] < 0
    assert 1.5 < tilted[TAIL_LIFT][ALPHA] / DOWN[TAIL_LIFT][ALPHA] < 2.1


def test_free_air_knows_no_pitch() -> None:
    assert np.all(TABLE.values[1:3] == 0.0)
    assert evaluate(TABLE, 1e9, 0.2) == pytest.approx(FREE, abs=1e-12)
    assert pytest.approx(columns(tilt(SOLVER.lattice, 0.0), math.inf)[WING_LIFT]) == FREE[WING_LIFT]


def test_table_meets_the_lattice_on_three_wheels() -> None:
    """The roll before rotation: exact at wheels-down, 0.3 % of the slopes above it."""
    low = SOLVER.lowest(0.0)
    assert evaluate(TABLE, low, 0.0) == pytest.approx(direct(SOLVER, low, 0.0), abs=1e-9)
    for factor in (1.05, 1.2, 1.6, 2.5, 5.0, 10.0):
        there = direct(SOLVER, factor * low, 0.0)
        error = np.abs(evaluate(TABLE, factor * low, 0.0) - there)
        for part in (WING_LIFT, TAIL_LIFT, TAIL_MOMENT, INDUCED):
            assert np.max(error[part]) < 0.005 * np.max(np.abs(there[part]))


@pytest.mark.parametrize("degrees", [1, 3, 5, 8, 10, 12])
def test_table_meets_the_lattice_while_rotating(degrees: float) -> None:
    """Tilted between the solved attitudes: wing 0.5 %, elevator 2.5 %, tail slope 0.03 /rad."""
    theta = RAD(degrees)
    low = SOLVER.lowest(theta)
    for factor in (1.0, 1.1, 1.5, 3.0):
        there = direct(SOLVER, factor * low, theta)
        error = np.abs(evaluate(TABLE, factor * low, theta) - there)
        assert error[WING_LIFT][ALPHA] < 0.005 * there[WING_LIFT][ALPHA]
        assert error[WING_LIFT][FLAP] < 0.005 * there[WING_LIFT][FLAP]
        assert error[TAIL_LIFT][ELEVATOR] < 0.025 * -there[TAIL_LIFT][ELEVATOR]
        assert error[TAIL_LIFT][ALPHA] < 0.03
        assert error[TAIL_OWN][1] < 0.025 * there[TAIL_OWN][1]


@pytest.mark.parametrize("theta", [0.0, RAD(8)])
def test_more_panels_change_little(theta: float) -> None:
    height = SOLVER.lowest(theta)
    coarse = columns(tilt(SOLVER.lattice, theta), height)
    fine = columns(tilt(make_lattice(jet(), STRIPS, 2), theta), height)
    assert coarse[WING_LIFT][:2] == pytest.approx(fine[WING_LIFT][:2], rel=0.005)
    assert coarse[TAIL_LIFT][ELEVATOR] == pytest.approx(fine[TAIL_LIFT][ELEVATOR], rel=0.01)
    assert coarse[TAIL_LIFT][ALPHA] == pytest.approx(fine[TAIL_LIFT][ALPHA], rel=0.02)
    stiff = [c[WING_MOMENT][ALPHA] + c[TAIL_MOMENT][ALPHA] for c in (coarse, fine)]
    assert stiff[0] == pytest.approx(stiff[1], abs=0.01)


def shifted(plane: Aeroplane, aft: float, up: float) -> Aeroplane:
    """The same aeroplane measured from another datum."""

    def wing(surface: Surface) -> Surface:
        return replace(
            surface,
            root_station=surface.root_station + aft,
            root_height=surface.root_height + up,
        )

    def axle(a: Axle) -> Axle:
        return replace(a, station=a.station + aft, height=a.height + up)

    return replace(
        plane,
        wing=wing(plane.wing),
        tail=replace(plane.tail, surface=wing(plane.tail.surface)),
        main=axle(plane.main),
        nose=axle(plane.nose),
        cg_station=plane.cg_station + aft,
        cg_height=plane.cg_height + up,
        scrape_station=plane.scrape_station + aft,
        scrape_height=plane.scrape_height + up,
    )


def test_the_datum_does_not_matter() -> None:
    other = build_table(make_solver(shifted(jet(), 0.37, -0.21)))
    assert np.max(np.abs(other.values - TABLE.values)) < 1e-9 * np.max(np.abs(TABLE.values))


def test_size_does_not_matter() -> None:
    """All is dimensionless: a model twice the size has the same table against height over span."""
    lattice = SOLVER.lattice
    double = replace(
        lattice,
        wing=replace(lattice.wing, **scaled(lattice.wing)),
        tail=replace(lattice.tail, **scaled(lattice.tail)),
        area=4 * lattice.area,
        chord=2 * lattice.chord,
        lift_x=2 * lattice.lift_x,
    )
    big, small = columns(tilt(double, 0.1), 0.36), columns(tilt(lattice, 0.1), 0.18)
    assert big == pytest.approx(small, rel=1e-9, abs=1e-12)


def scaled(part: SurfacePanels) -> dict[str, Array]:
    """Panels twice as large."""
    return {name: 2 * getattr(part, name) for name in ("nodes", "control", "edges")}


def test_wing_and_tail_share_their_edges() -> None:
    wing, tail = spanwise_edges(jet())
    assert set(tail) <= set(wing)
    assert wing[-1] < 0.5 and 0.5 - wing[-1] < 0.02
    assert {0.085, 0.295} <= set(np.round(wing, 12))


def test_flap_edges_off_the_cuts_keep_their_share() -> None:
    """Flaps that end just short of the tail's tip are not cut again but weighted."""
    flaps = Flaps("plain", 0.085, 0.247, 0.22)
    wing, _ = aeroplane_panels(jet(flaps=flaps))
    row = wing.angles[:, FLAP].reshape(6, -1)[-1]
    assert np.sum(row * np.diff(wing.edges)) == pytest.approx(0.247 - 0.085, rel=1e-9)


def test_hinged_share_by_hand() -> None:
    assert hinged_share(4, 0.25) == pytest.approx([0, 0, 0.25, 1])
    assert hinged_share(4, 1.0)[1:] == pytest.approx([1, 1, 1])


def test_hinged_tail_is_weaker_than_all_moving() -> None:
    surface = jet().tail.surface
    hinged = build_table(make_solver(jet(tail=Tail(surface, "hinged", 0.35)))).values[0]
    assert 0.5 < hinged[TAIL_LIFT][ELEVATOR] / FREE[TAIL_LIFT][ELEVATOR] < 0.85
    assert hinged[TAIL_LIFT][ALPHA] == pytest.approx(FREE[TAIL_LIFT][ALPHA])


def test_no_flaps_no_flap_column() -> None:
    table = build_table(make_solver(jet(flaps=None)))
    for part in (WING_LIFT, WING_MOMENT, TAIL_LIFT, TAIL_MOMENT):
        assert np.all(table.values[:, part][:, FLAP] == 0.0)


def test_outboard_flaps_do_not_wash_the_tail_down_as_inboard_ones() -> None:
    out = build_table(make_solver(jet(flaps=Flaps("plain", 0.30, 0.48, 0.22)))).values[0]
    per_lift = [p[TAIL_LIFT][FLAP] / p[WING_LIFT][FLAP] for p in (out, FREE)]
    assert per_lift[1] < per_lift[0]


def test_cg_moves_only_the_rate_column_in_free_air() -> None:
    other = build_table(make_solver(jet(cg_station=0.57))).values[0]
    for part in (WING_LIFT, WING_MOMENT, TAIL_LIFT, TAIL_MOMENT):
        assert other[part][:4] == pytest.approx(FREE[part][:4], abs=1e-9)
    # q about a CG d further aft is as much less incidence everywhere: 2 d/c per unit of q
    expected = FREE[TAIL_LIFT][RATE] - 2 * 0.01 / jet().wing.mean_chord * FREE[TAIL_LIFT][ALPHA]
    assert other[TAIL_LIFT][RATE] == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("rise", [0.0, 0.1, 0.2])
def test_table_about_the_lift_point_serves_a_cg_anywhere(rise: float) -> None:
    """Solved anew with the axes at another CG: the same at the same place over the strip.

    A point x ahead of the CG at a pitch rate q meets the air at q x/U less.
    """
    plane = jet(cg_station=0.53, cg_height=0.04)
    here, there = make_solver(plane), make_solver(seen_by_lattice(plane))
    ahead = plane.cg_station - plane.wing.quarter_station
    above = plane.wing.mean_chord_height - plane.cg_height
    pitch = here.stand.ground_attitude + rise
    low = here.lowest(pitch)
    lifted = low + ahead * math.sin(pitch) + above * math.cos(pitch)
    assert there.lowest(pitch) == pytest.approx(lifted, abs=1e-12)
    about_cg, about_lift = direct(here, low, pitch), direct(there, lifted, pitch)
    for part in (WING_LIFT, WING_MOMENT, TAIL_LIFT, TAIL_MOMENT):
        if part is WING_MOMENT:  # the body's own moment turns with the pitch, not with the place
            about_cg[part][ALPHA] -= here.body_moment
            about_lift[part][ALPHA] -= here.body_moment
        expected = about_lift[part].copy()
        expected[RATE] -= 2 * ahead / plane.wing.mean_chord * expected[ALPHA]
        assert about_cg[part] == pytest.approx(expected, abs=1e-9)
    assert about_cg[INDUCED] == pytest.approx(about_lift[INDUCED], abs=1e-9)


def test_high_tail_and_dihedral_solve() -> None:
    surface = replace(jet().tail.surface, root_height=0.2)
    high = build_table(make_solver(jet(tail=Tail(surface, "all-moving")))).values[0]
    assert high[TAIL_LIFT][ALPHA] > FREE[TAIL_LIFT][ALPHA]  # out of the wake
    bent = build_table(make_solver(jet(wing=replace(jet().wing, dihedral=RAD(4))))).values[0]
    assert bent[WING_LIFT][ALPHA] == pytest.approx(FREE[WING_LIFT][ALPHA], rel=0.01)
