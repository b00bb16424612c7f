"""A lane in plain numbers: the same physics as in rows, but for rounding."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from sim.roll.aero_table import BASIS_TERMS, COLUMNS, AeroTable
from sim.roll.alone import Alone
from sim.roll.arithmetic import Numbers, Rows
from sim.roll.block import FIELD_NAMES, Block, Status, batch_of, new_status
from sim.roll.dynamics import (
    ELEVATOR,
    LAGGED,
    PERCEIVED,
    PITCH,
    RATE,
    SPOOL,
    STATE_SCALE,
    ZDOT,
    Phase,
    V,
    Z,
    derivatives,
    posture_of_phase,
)
from sim.roll.engine import Settings, initial_states, roll
from sim.roll.phases import PHASES
from sim.roll.result import Many, simulate_many
from sim.roll.right_hand_side import RightHandSide
from tests.oracle.aeroplanes import random_setup, with_changes

AEROPLANES = 25
ROLLS = 90
FIRST = 40
"""Events compared: bouncing on for a minute makes any difference of rounding grow without end."""
SPREAD = {V: 12.0, Z: 0.02, ZDOT: 2.0, PITCH: 0.3, RATE: 2.0, ELEVATOR: 0.3, PERCEIVED: 0.2,
          LAGGED: 0.2}  # fmt: skip
"""How far states are moved from those at the start, either way."""


def lane_of(index: int, **changes: float) -> tuple[Block, np.ndarray]:
    """One random jet in a random state of motion, its pilot and flaps somewhere on their way."""
    batch = batch_of([with_changes(random_setup(11, index), **changes)])
    block = Block(batch, np.arange(1), new_status(batch.matrix))
    rng = np.random.default_rng(index)
    y = initial_states(block)
    y[V] += 12.0
    for state, far in SPREAD.items():
        y[state] += rng.uniform(-far, far)
    y[SPOOL] = rng.uniform(0.0, 1.0)
    s = block.s
    s.law[:], s.elevator_slope[:] = rng.integers(2), rng.uniform(-1.0, 1.0)
    s.drop_start[:] = rng.choice([np.inf, -0.3])
    return block, y


def numbers_of(f: Any) -> dict[str, Any]:
    """What a roll is watched and told by."""
    air = ("along", "across", "moment", "alpha", "wing_use", "tail_use", "wing", "tail", "drag")
    found = {name: getattr(f.air, name) for name in air}
    found |= {f"load {i}": load for i, load in enumerate(f.reaction.loads)}
    found |= {name: getattr(f, name) for name in ("thrust", "height", "climb", "rate", "wind")}
    found |= {"friction": f.reaction.friction, "grip": f.reaction.grip}
    found["forward"], found["backward"] = f.break_forward or 0.0, f.break_backward or 0.0
    return {name: float(np.ravel(value)[0]) for name, value in found.items()}


def kinds_in(told: Any) -> set[type]:
    """Types of all the values of which something is made."""
    if isinstance(told, Sequence):
        return set().union(*(kinds_in(part) for part in told))
    return {type(told)}


@pytest.mark.parametrize("phase", PHASES, ids=str)
def test_rates_and_forces_are_those_of_rows(phase: Phase) -> None:
    moved = np.zeros(len(STATE_SCALE), dtype=bool)
    for index in range(AEROPLANES):
        block, y = lane_of(index)
        rates, f = derivatives(phase, block, block.s.time, y, posture_of_phase(phase, block, y))
        block.batch = replace(block.batch, plain_numbers=True)
        side, out = RightHandSide(phase, block, y), np.full_like(y, np.nan)
        g = side.rates(block.s.time, y, out)
        np.testing.assert_allclose(out / STATE_SCALE, rates / STATE_SCALE, rtol=1e-11, atol=1e-10)
        assert numbers_of(g) == pytest.approx(numbers_of(f), rel=1e-10, abs=1e-10)
        assert kinds_in(g) <= {float, type(None)}
        moved |= rates[:, 0] != 0.0
    still = {0: 4, -1: 0, 1: 0}[phase.direction] if phase.locked else 0
    print(f"{phase}: {np.count_nonzero(moved)} states change")
    assert np.count_nonzero(moved) >= (4 if phase.locked else 9) - still


def test_a_block_kept_ready_is_that_of_the_lane_and_status_asked_for() -> None:
    batch = batch_of([random_setup(11, index) for index in range(2)])
    for time, lane in enumerate((0, 1, 1, 0)):
        status = new_status(batch.matrix)[:, [lane]]
        Status(*status).time[:] = float(time)
        block = batch.block(np.array([lane]), status)
        assert block.lanes.tolist() == [lane]
        assert block.p.mass[0] == batch.matrix[FIELD_NAMES.index("mass"), lane]
        assert block.status is status
        assert block.s.time[0] == time


def test_every_term_of_a_table_counts_as_in_rows() -> None:
    rng = np.random.default_rng(2)
    table = AeroTable(rng.normal(size=(BASIS_TERMS, COLUMNS)), 0.3)
    batch = batch_of([replace(random_setup(11, 3), table=table)])
    block = Block(batch, np.arange(1), new_status(batch.matrix))
    for height, pitch in ((0.1, 0.3), (0.25, -0.2), (0.6, 0.05)):
        turn = np.cos(pitch), np.sin(pitch)
        rows = block.coefficients(np.array([height]), np.array([pitch]), turn)[:, 0]
        numbers = Alone(block).passing_coefficients(height, pitch, turn)
        np.testing.assert_allclose(numbers, rows, rtol=1e-12, atol=1e-12)


@pytest.fixture(scope="module")
def both() -> tuple[Many, Many]:
    setups = [random_setup(4, k) for k in range(ROLLS)]
    return simulate_many(setups), simulate_many(setups, Settings(block_size=1, plain_numbers=True))


def test_whole_rolls_end_alike(both: tuple[Many, Many]) -> None:
    rows, alone = both
    assert alone.verdicts == rows.verdicts
    print(f"{len(set(rows.verdicts))} verdicts among {ROLLS} rolls")
    assert len(set(rows.verdicts)) >= 8
    worst = 0.0
    for lane in range(ROLLS):
        one, other = rows.result(lane), alone.result(lane)
        assert [e.name for e in one.events] == [e.name for e in other.events]
        if len(one.events) <= FIRST:
            assert other.figures == pytest.approx(one.figures, rel=1e-8, abs=1e-8, nan_ok=True)
        for a, b in zip(one.events[:FIRST], other.events[:FIRST], strict=True):
            worst = max(worst, abs(a.time - b.time), abs(a.distance - b.distance) / 10.0)
    print(f"events differ by at most {worst:.1e} s, or ten times that in metres")
    assert 0.0 < worst < 1e-8


def test_only_a_lane_alone_and_only_if_asked_for() -> None:
    setups = [random_setup(4, k) for k in range(2)]
    for plain, lanes, kind in ((False, 1, Block), (True, 2, Block), (True, 1, Alone)):
        batch = replace(batch_of(setups[:lanes]), plain_numbers=plain)
        block = Block(batch, np.arange(lanes), new_status(batch.matrix))
        assert type(RightHandSide(Phase((), 1), block, initial_states(block)).block) is kind


def test_where_numbers_have_no_value_rows_answer() -> None:
    phase, divided = Phase((), 1), {"reaction_time": 0.0}
    for state, value, changes in ((V, 1e200, {}), (PITCH, np.inf, {}), (RATE, 1e300, {}),
                                  (ZDOT, np.nan, {}), (PERCEIVED, 0.1, divided)):  # fmt: skip
        block, y = lane_of(3, **changes)
        y[state] = value
        block.batch = replace(block.batch, plain_numbers=True)
        side, out, wanted = RightHandSide(phase, block, y), np.zeros_like(y), np.zeros_like(y)
        with np.errstate(all="ignore"):
            f = side.rates(block.s.time, y, out)
            derivatives(phase, block, block.s.time, y, None, wanted)
        assert type(f.air.moment) is float
        assert not np.isfinite(wanted).all()
        assert not np.isfinite(out).all()  # so that the step is refused


VALUES = (-3.0, -0.4, 0.0, 0.7, 2.5)


@pytest.mark.parametrize("name", ["exp", "tan", "tanh", "sign", "copysign", "arctan2", "maximum",
                                  "minimum", "clip", "where", "plain"])  # fmt: skip
def test_functions_of_numbers_are_those_of_rows(name: str) -> None:
    rows, numbers = getattr(Rows, name), getattr(Numbers, name)
    others = {"copysign": 1, "arctan2": 1, "maximum": 1, "minimum": 1, "clip": 2, "where": 2}
    for first in VALUES:
        rest = [0.3, 1.1][: others.get(name, 0)]
        of_rows = rows(np.array([first]), *rest)
        assert numbers(first, *rest) == pytest.approx(of_rows[0], rel=1e-15, abs=1e-300)


def test_sums_of_numbers_are_those_of_rows() -> None:
    rng = np.random.default_rng(5)
    columns, slopes = rng.normal(size=(20, 1)), rng.normal(size=(4, 1))
    for inputs in ((0.2, 0.1, -0.3, 0.05), (0.2, None, -0.3, None)):
        rows = Rows.four_sums(columns, [None if i is None else np.array([i]) for i in inputs])
        numbers = Numbers.four_sums(columns[:, 0].tolist(), inputs)
        np.testing.assert_allclose(numbers, rows[:, 0], rtol=1e-14)
        by_hand = columns.reshape(4, 5) @ [1.0, *(i or 0.0 for i in inputs)]
        np.testing.assert_allclose(numbers, by_hand, rtol=1e-14)
        more = Numbers.four_more(numbers, slopes[:, 0].tolist(), 0.5)
        np.testing.assert_allclose(more, Rows.four_more(rows, slopes, 0.5)[:, 0], rtol=1e-14)


def test_a_tail_without_lift_is_rolled_as_in_rows() -> None:
    setups = [random_setup(202, k).but(tail_max_lift=0.0) for k in range(4)]
    with np.errstate(all="ignore"):
        rows = simulate_many(setups)
        alone = simulate_many(setups, Settings(block_size=1, plain_numbers=True))
    assert alone.verdicts == rows.verdicts


def test_a_batch_rolled_again_another_way_is_made_ready_anew() -> None:
    batch = batch_of([random_setup(4, 2)])
    states = [roll(batch, Settings(plain_numbers=plain)).states for plain in (True, False, True)]
    assert not batch.plain_numbers  # it is the caller's
    np.testing.assert_array_equal(states[0], states[2])
    np.testing.assert_array_equal(states[1], roll(batch_of([random_setup(4, 2)])).states)
    np.testing.assert_allclose(states[0], states[1], rtol=1e-9, atol=1e-9)
    assert (states[0] != states[1]).any()
