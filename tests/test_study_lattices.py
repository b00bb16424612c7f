"""Lattice numbers of many geometries: solved, interpolated, and what that does to the result."""

from dataclasses import replace
from math import radians

import numpy as np
import pytest

import sim
from sim.prepare import prepare
from sim.study import geometry
from sim.study.geometry import MOST_SOLVED, lattices_for, surrogate_error
from sim.study.knobs import Knob, knob_of
from sim.study.lattices import flat, prepared_with, solved_of, unflat
from sim.study.surrogate import beside, degrees, nodes, through
from sim.study.variants import base_for

STATION, MAINS = "aeroplane.cg.station", "aeroplane.gear.main.station"
SWEEP, MASS, TAIL = "aeroplane.wing.sweep", "aeroplane.mass", "aeroplane.tail.incidence"


def knobs_of(scenario: sim.Scenario, *keys: str) -> list[Knob]:
    return [knob_of(scenario, key) for key in keys]


def draws(low: list[float], high: list[float], count: int) -> np.ndarray:
    return np.random.default_rng(11).uniform(low, high, size=(count, len(low)))


@pytest.mark.parametrize("name", ["meadow-jet", "flaps-25", "weak-elevator"])
def test_numbers_laid_flat_come_back_and_make_the_same_roll(name: str) -> None:
    scenario = sim.load_scenario(name)
    solved = solved_of(scenario)
    assert solved is not None
    again = unflat(flat(solved))
    assert np.array_equal(again.table.values, solved.table.values)
    assert (again.wing_centre, again.tail_centre) == (solved.wing_centre, solved.tail_centre)
    assert prepared_with(scenario, again).setup.parameters == prepare(scenario).setup.parameters


def test_given_coefficients_need_no_lattice() -> None:
    scenario = sim.load_scenario("textbook-rotation")
    assert scenario.aeroplane.coefficients is not None
    knobs = knobs_of(scenario, MASS)
    now = scenario.aeroplane.mass
    assert now is not None
    values = np.array([[now], [1.01 * now]])
    assert solved_of(scenario) is None
    assert lattices_for(base_for(scenario, knobs, values), values).at(values[0]) is None


def test_only_keys_that_move_the_lattice_are_found() -> None:
    scenario = sim.load_scenario("meadow-jet")
    keys = (MASS, STATION, "aeroplane.wing.section.max_lift", "power.static_thrust", "pilot.hold",
            TAIL, "aeroplane.wing.section.thickness")  # fmt: skip
    knobs = knobs_of(scenario, *keys)
    values = draws(
        [3.0, 0.548, 0.9, 23.0, 0.0, -0.01, 0.08], [3.2, 0.552, 1.1, 25.0, 0.5, 0.01, 0.12], 40
    )
    found = lattices_for(base_for(scenario, knobs, values), values)
    assert [keys[i] for i in found.columns] == [TAIL]  # nor do CG and mass
    assert len(found.solved) == 40 and not found.surrogates
    assert "each of 40 geometries" in found.words()


def test_few_geometries_are_solved_each_to_the_last_bit() -> None:
    scenario = sim.load_scenario("meadow-jet")
    knobs = knobs_of(scenario, MAINS, MASS)
    values = np.array([[s, m] for s in (0.645, 0.665) for m in np.linspace(3.0, 3.2, 60)])
    found = lattices_for(base_for(scenario, knobs, values), values)
    assert found.columns == (0,) and len(found.solved) == 2
    direct = solved_of(sim.with_overrides(scenario, [f"{MAINS}=0.665 m"]))
    there = found.at(values[-1])
    assert direct is not None and there is not None
    assert np.array_equal(flat(there), flat(direct))


def test_the_polynomials_are_exact_for_what_they_are_made_of() -> None:
    """One key degree 8, two keys degree 4 in each, four keys a full quadratic; by hand."""
    low, high = np.array([2.0]), np.array([5.0])
    places = nodes(low, high, 8)
    line = through(low, high, places, 1.0 + places**6 - 3.0 * places, 8)
    assert line.at(np.array([3.3]))[0] == pytest.approx(1.0 + 3.3**6 - 9.9, rel=1e-12)
    low, high = np.array([-1.0, 0.0]), np.array([1.0, 4.0])
    places = nodes(low, high, 4)
    assert places.shape == (25, 2)
    plane = through(low, high, places, (places[:, :1] ** 4) * (places[:, 1:] ** 3), 4)
    assert plane.at(np.array([0.4, 3.0]))[0] == pytest.approx(0.4**4 * 27.0, rel=1e-12)
    low, high = np.zeros(4), np.array([1.0, 2.0, 3.0, 4.0])
    places = nodes(low, high, 2)

    def quadratic(x: np.ndarray) -> np.ndarray:
        return np.asarray(x[:, :1] * x[:, 3:] - x[:, 1:2] ** 2 + x[:, 2:3] * x[:, 1:2] + 7.0)

    bowl = through(low, high, places, quadratic(places), 2)
    place = np.array([[0.2, 1.1, 2.9, 3.0]])
    assert bowl.at(place[0])[0] == pytest.approx(quadratic(place)[0, 0], rel=1e-12)


@pytest.mark.parametrize(("keys", "solutions"), [(3, 13), (6, 43), (7, 36), (13, 105)])
def test_a_quadratic_of_many_keys_is_met_exactly(keys: int, solutions: int) -> None:
    """x'Ax + b'x + 1 with drawn A and b; up to six keys more nodes than terms, beyond as many."""
    random = np.random.default_rng(3)
    low, high = random.uniform(-2.0, 0.0, keys), random.uniform(1.0, 3.0, keys)
    matrix, slope = random.normal(size=(keys, keys)), random.normal(size=keys)
    places = nodes(low, high, 2)
    assert places.shape == (solutions, keys)
    assert (places >= low).all() and (places <= high).all()
    numbers = np.einsum("ni,ij,nj->n", places, matrix, places) + places @ slope + 1.0
    place = random.uniform(low, high)
    expected = place @ matrix @ place + slope @ place + 1.0
    found = through(low, high, places, numbers[:, None], 2).at(place)[0]
    assert found == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("keys", "low", "high", "bound"),
    [
        ((TAIL,), [-0.02], [0.02], 1e-6),
        ((MAINS,), [0.615], [0.695], 1e-3),
        ((TAIL, MAINS), [-0.02, 0.615], [0.02, 0.695], 1e-3),
        (
            (TAIL, MAINS, SWEEP),
            [-0.02, 0.615, radians(22.0)],
            [0.02, 0.695, radians(26.0)],
            6e-3,
        ),
    ],
)
def test_a_surrogate_moves_no_distance_more_than_this(
    keys: tuple[str, ...], low: list[float], high: list[float], bound: float
) -> None:
    """Tail +/- 1.1 deg, mains +/- 40 mm, sweep +/- 2 deg: metres against direct solutions.

    Measured at 40 draws: 5e-12, 2e-4, 2e-4 and 2.6e-3 m, of some 60 m.
    """
    scenario = sim.load_scenario("meadow-jet")
    values = draws(low, high, MOST_SOLVED + 40)
    base = base_for(scenario, knobs_of(scenario, *keys), values)
    found = lattices_for(base, values)
    assert len(found.surrogates) == 1 and found.error is not None
    assert "interpolated over" in found.words()
    error = surrogate_error(base, found, values[:12], 5)
    assert error is not None and 0.0 < error[1] < bound
    assert found.error[1] < bound


def test_a_surrogate_that_is_not_good_enough_is_not_used(monkeypatch: pytest.MonkeyPatch) -> None:
    scenario = sim.load_scenario("meadow-jet")
    values = draws([-0.02, radians(22.0)], [0.02, radians(26.0)], MOST_SOLVED + 1)
    base = base_for(scenario, knobs_of(scenario, TAIL, SWEEP), values)
    monkeypatch.setattr(geometry, "LARGEST_ERROR", 0.0)
    found = lattices_for(base, values)
    assert not found.surrogates and found.at(values[0]) is None
    assert "each variant" in found.words() and found.each_solved


@pytest.mark.parametrize("keys", [1, 2])
def test_coarse_nodes_are_among_the_finer_ones(keys: int) -> None:
    low, high = np.full(keys, -0.3), np.full(keys, 1.1)
    sets = [{tuple(place) for place in nodes(low, high, degree)} for degree in degrees(keys)]
    assert [len(s) for s in sets] == [3**keys, 5**keys, 9**keys]
    assert sets[0] < sets[1] < sets[2]


def test_finer_nodes_are_taken_where_coarse_ones_are_not_enough(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    scenario = sim.load_scenario("meadow-jet")
    values = draws([0.615], [0.695], MOST_SOLVED + 40)
    base = base_for(scenario, knobs_of(scenario, MAINS), values)
    few = lattices_for(base, values)
    monkeypatch.setattr(geometry, "SMOOTH", 1e-9)
    many = lattices_for(base, values)
    assert few.solutions == 3 and many.solutions == 9
    assert few.error is not None and many.error is not None
    assert many.error[1] < 1e-4 * few.error[1]


SPAN = "aeroplane.tail.span"


def test_where_the_number_of_strips_steps_each_variant_has_those_of_its_own() -> None:
    """A wider tail gets one strip more somewhere: the numbers step there, in a study as alone."""
    scenario = sim.load_scenario("meadow-jet")
    values = np.linspace(0.45, 0.50, MOST_SOLVED + 40)[:, None]
    base = base_for(scenario, knobs_of(scenario, SPAN), values)
    found = lattices_for(base, values)
    assert len(found.surrogates) == 3 and found.solutions == 3 + 2 + 2
    assert found.error is not None and found.error[0] < 1e-4
    for value in (0.4575, 0.4577, 0.4920, 0.4922):
        laid = sim.with_overrides(scenario, [f"{SPAN}={value} m"])
        near = prepared_with(laid, found.at(np.array([value]))).setup.table.values
        own = prepare(laid).setup.table.values
        assert np.abs(near - own).max() < 5e-4 * np.abs(own).max()  # the step is ten times that
    steps = []
    for low in (0.4520, 0.4575):
        pair = [sim.with_overrides(scenario, [f"{SPAN}={x} m"]) for x in (low, low + 2e-4)]
        free = [prepare(one).setup.table.values[0] for one in pair]
        steps.append(np.abs(free[1] - free[0]).max())
    assert steps[1] > 4.0 * steps[0]  # the second is one


def test_strips_nobody_met_are_solved() -> None:
    scenario = sim.load_scenario("meadow-jet")
    values = np.linspace(0.45, 0.50, MOST_SOLVED + 40)[:, None]
    base = base_for(scenario, knobs_of(scenario, SPAN), values)
    found = lattices_for(base, values)
    none = replace(found, surrogates={(1, 2): next(iter(found.surrogates.values()))})
    laid = sim.with_overrides(scenario, [f"{SPAN}=0.47 m"])
    alone = prepared_with(laid, none.at(np.array([0.47])))
    assert np.array_equal(alone.setup.table.values, prepare(laid).setup.table.values)


def test_what_runs_alongside_is_met_where_the_difference_is_straight() -> None:
    low, high = np.array([-1.0, 2.0]), np.array([3.0, 2.5])

    def curved(x: np.ndarray) -> np.ndarray:
        return np.asarray(x[:, :1] ** 4 - 2.0 * x[:, 1:] ** 3 * x[:, :1])

    def straight(x: np.ndarray) -> np.ndarray:
        return np.asarray(0.3 + 0.1 * x[:, :1] - 0.2 * x[:, 1:] + 0.7 * x[:, :1] * x[:, 1:])

    places, corners = nodes(low, high, 4), nodes(low, high, 1)
    known = through(low, high, places, curved(places), 4)
    other = beside(known, corners, curved(corners) + straight(corners))
    for place in np.random.default_rng(1).uniform(low, high, (20, 2)):
        wanted = (curved(place[None]) + straight(place[None]))[0]
        assert other.at(place) == pytest.approx(wanted, rel=1e-11)
        assert known.at(place) == pytest.approx(curved(place[None])[0], rel=1e-11)
