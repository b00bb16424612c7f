"""What must hold of every roll: energy, loads, continuity, company, the trace's grid."""

from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from sim.prepare import prepare
from sim.roll.block import Status, batch_of
from sim.roll.dynamics import RATE, ZDOT, V
from sim.roll.engine import Outcome, Settings, roll
from sim.roll.events import End, Happening
from sim.roll.integrator import dense_terms, dense_value
from sim.roll.parameters import Setup
from sim.roll.quasi_static import one_block, search_speeds
from sim.roll.result import simulate_many, simulate_setup
from sim.roll.trace import build_trace
from sim.scenario import load_scenario
from tests.energy import residual
from tests.jets import jet
from tests.oracle.aeroplanes import random_setup

LANES = 60
ARRIVALS = (
    Happening.TAIL_STRIKE,
    Happening.NOSE_WHEEL_DOWN_AGAIN,
    Happening.WHEELS_DOWN_AGAIN,
    Happening.MAINS_DOWN_AGAIN,
)


@pytest.fixture(scope="module")
def setups() -> list[Setup]:
    return [random_setup(3, k) for k in range(LANES)]


@pytest.fixture(scope="module")
def outcome(setups: list[Setup]) -> Outcome:
    return roll(batch_of(setups), Settings(), keep=tuple(range(LANES)))


def test_energy_is_accounted_for(setups: list[Setup], outcome: Outcome) -> None:
    left = residual(batch_of(setups), outcome)
    print(f"largest residual {left.max():.1e}, median {np.median(left):.1e} of the thrust work")
    assert left.max() < 1e-6


def test_energy_is_accounted_for_on_a_slope_with_bounces_and_flaps() -> None:
    jets = [
        jet(slope=0.05, main_x=-0.07, drop_place=10.0, flap_dropped=0.3),
        jet(slope=-0.05, headwind=-2.0, abort_place=15.0, pull_place=60.0),
        jet(law_on=0.0, main_x=-0.06, pull_elevator=-0.1, hold_elevator=0.25, pull_airspeed=13.0),
        jet(slope=-0.3, static_thrust=1.0),
    ]
    batch = batch_of(jets)
    left = residual(batch, roll(batch))
    print(left)
    assert left.max() < 1e-6


def test_loads_are_never_negative(setups: list[Setup], outcome: Outcome) -> None:
    batch, ends = batch_of(setups), Status(*outcome.status).end
    lowest = 0.0
    for lane in np.flatnonzero(ends != End.SITS_ON_TAIL):  # there it says what would be needed
        trace = build_trace(batch, lane, outcome.kept[lane])
        weight = 9.81 * float(setups[lane].parameters.mass)
        for name in ("main_load", "nose_load", "tail_load"):
            lowest = min(lowest, float(trace[name].min()) / weight)
    print(f"lowest load {lowest:.1e} of the weight")
    assert lowest > -1e-6


def test_states_go_on_through_every_switch_but_impacts(outcome: Outcome) -> None:
    lanes, names, rows, _ = outcome.log.sorted()
    for lane in range(LANES):
        hits = rows[0][(lanes == lane) & np.isin(names, [int(a) for a in ARRIVALS])]
        steps = outcome.kept[lane]
        for before, after in pairwise(steps):
            terms = [term[:, 0] for term in dense_terms(before.stages[..., None])]
            end = dense_value(before.start, before.size, terms, 1.0)
            assert after.time == pytest.approx(before.time + before.size, abs=1e-12)
            jump = np.abs(end - after.start)
            if np.abs(hits - after.time).min(initial=np.inf) < 1e-9:
                jump[[V, ZDOT, RATE]] = 0.0
            assert jump.max() < 1e-5, (lane, after.time, jump)


def test_impacts_do_lose_speed_so_that_the_test_above_can_fail(outcome: Outcome) -> None:
    assert Status(*outcome.status).impact_loss.max() > 1e-3


def facts_of(outcome: Outcome) -> tuple[Any, ...]:
    return (outcome.states, outcome.status, *outcome.log.sorted())


def assert_same(a: tuple[Any, ...], b: tuple[Any, ...]) -> None:
    for one, other in zip(a, b, strict=True):
        np.testing.assert_array_equal(one, other)


def test_a_lane_is_the_same_alone_in_company_and_in_blocks(setups: list[Setup]) -> None:
    some = setups[:20]
    together = roll(batch_of(some))
    assert_same(facts_of(roll(batch_of(some), Settings(block_size=7))), facts_of(together))
    lanes, names, rows, states = together.log.sorted()
    for lane in (0, 6, 11, 13, 19):
        alone = roll(batch_of([some[lane]]))
        mine = lanes == lane
        np.testing.assert_array_equal(alone.states[:, 0], together.states[:, lane])
        np.testing.assert_array_equal(alone.status[:, 0], together.status[:, lane])
        found = alone.log.sorted()
        np.testing.assert_array_equal(found[1], names[mine])
        np.testing.assert_array_equal(found[2], rows[:, mine])
        np.testing.assert_array_equal(found[3], states[:, mine])


def test_lanes_that_share_a_table_are_the_same_alone() -> None:
    base = jet()
    many = [Setup(jet(mass=3.0 + 0.01 * k).parameters, base.table) for k in range(37)]
    together = roll(batch_of(many))
    for lane in (0, 17, 36):
        alone = roll(batch_of([many[lane]]))
        np.testing.assert_array_equal(alone.states[:, 0], together.states[:, lane])
        np.testing.assert_array_equal(alone.status[:, 0], together.status[:, lane])


def test_a_lane_is_the_same_among_so_many_that_products_are_shared_between_threads() -> None:
    base = jet()
    many = [Setup(jet(mass=3.0 + 0.001 * k).parameters, base.table) for k in range(1501)]
    together = roll(batch_of(many))
    for lane in (0, 5, 700, 1007, 1500):
        alone = roll(batch_of([many[lane]]))
        np.testing.assert_array_equal(alone.states[:, 0], together.states[:, lane])
        np.testing.assert_array_equal(alone.status[:, 0], together.status[:, lane])


def test_keeping_steps_and_the_grid_of_the_trace_change_nothing(setups: list[Setup]) -> None:
    batch = batch_of(setups[:5])
    plain, kept = roll(batch), roll(batch, keep=(0, 3))
    assert_same(facts_of(plain), facts_of(kept))
    fine = build_trace(batch, 3, kept.kept[3], grid=0.001)
    coarse = build_trace(batch, 3, kept.kept[3], grid=0.1)
    shared = np.isin(coarse["time"], fine["time"])
    assert shared.sum() > 10
    for time in coarse["time"][shared][::7]:
        a, b = (t["pitch"][t["time"] == time] for t in (coarse, fine))
        assert set(a) <= set(b)


def test_the_answer_converges_with_the_tolerance(setups: list[Setup]) -> None:
    some = [setups[k] for k in (0, 2, 12, 14)]
    best = simulate_many(some, Settings(tolerance=1e-11))
    errors = []
    for tolerance in (1e-5, 1e-7, 1e-9):
        many = simulate_many(some, Settings(tolerance=tolerance))
        errors.append(
            max(
                abs(a.time - b.time)
                for lane in range(len(some))
                for a, b in zip(many.result(lane).events, best.result(lane).events, strict=True)
            )
        )
    print(errors)
    assert errors[2] < 0.5 * errors[1] < 0.25 * errors[0]
    assert errors[2] < 1e-2 * errors[0]


def test_steps_sampled_together_give_the_rows_of_steps_sampled_alone() -> None:
    setup = prepare(load_scenario("meadow-jet")).setup
    many = simulate_many([setup], keep=(0,))
    rows = simulate_setup(setup).trace
    assert rows is not None
    steps = [step for step in many.outcome.kept[0] if step.size > 0.0]
    alone = [build_trace(many.batch, 0, [step]) for step in steps]
    assert np.array_equal(rows.phase, np.concatenate([one.phase for one in alone]))
    for name in rows.columns:
        column = np.concatenate([one[name] for one in alone])
        np.testing.assert_allclose(rows[name], column, rtol=1e-12, atol=1e-12, err_msg=name)


@pytest.mark.parametrize("lanes", [1, 3, 2500])
def test_speeds_are_the_same_however_many_lanes_are_searched(lanes: int) -> None:
    """More lanes are worked on with fewer speeds at once; no digit depends on it."""
    names = ["meadow-jet", "wheelbarrow", "tail-stall", "small-tail-flaps", "textbook-rotation"]
    batch = batch_of([prepare(load_scenario(name)).setup for name in names])
    which = np.arange(lanes) % len(names)
    dropped = which % 2 == 0
    found = search_speeds(one_block(batch, which), dropped)
    for i in range(min(lanes, len(names))):
        alone = search_speeds(one_block(batch, which[i : i + 1]), dropped[i : i + 1])
        for name, speed in vars(alone).items():
            alike = getattr(found, name)[i :: len(names)]
            np.testing.assert_array_equal(alike, np.broadcast_to(speed, alike.shape))
