"""Two points touching: the constants of the phase give the numbers of the general path."""

import numpy as np
import pytest

from sim.roll.block import Block, batch_of, new_status
from sim.roll.dynamics import (
    ELEVATOR,
    LAGGED,
    PITCH,
    SPOOL,
    STATE_SCALE,
    THREE_WHEELS,
    Phase,
    V,
    derivatives,
    posture_of_phase,
)
from sim.roll.engine import initial_states
from sim.roll.phases import AIRBORNE
from tests.oracle.aeroplanes import random_setup

LANES = 40


def moving(headwind: float, dropped: bool) -> tuple[Block, np.ndarray]:
    """Random jets on three wheels at random speeds, elevators and lagged angles."""
    batch = batch_of([random_setup(5, k) for k in range(LANES)])
    block = Block(batch, np.arange(LANES), new_status(batch.matrix))
    block.p.headwind[:] = headwind
    if dropped:
        block.s.drop_start[::2] = -0.5 * block.p.drop_duration[::2]
    rng = np.random.default_rng(2)
    y = initial_states(block)
    y[V] = rng.uniform(0.0, 30.0, LANES)
    y[ELEVATOR] += rng.uniform(-0.3, 0.3, LANES)
    y[LAGGED] += rng.uniform(-0.1, 0.1, LANES)
    y[SPOOL] = rng.uniform(0.0, 1.0, LANES)
    return block, y


@pytest.mark.parametrize("dropped", [False, True])
@pytest.mark.parametrize("headwind", [2.0, -10.0])
@pytest.mark.parametrize("direction", [1, 0, -1])
def test_rates_loads_and_uses_are_those_of_the_general_path(
    direction: int, headwind: float, dropped: bool
) -> None:
    block, y = moving(headwind, dropped)
    phase, time = Phase(THREE_WHEELS, direction), block.s.time
    y[V] *= direction
    usual, f = derivatives(phase, block, time, y)
    quick, g = derivatives(phase, block, time, y, posture_of_phase(phase, block, y))
    assert np.abs(usual[V]).max() > 1.0 or direction == 0
    np.testing.assert_allclose(quick / STATE_SCALE, usual / STATE_SCALE, rtol=1e-12, atol=1e-11)
    for one, other in zip(g.reaction.loads, f.reaction.loads, strict=True):
        np.testing.assert_allclose(one, other, rtol=1e-12, atol=1e-10)
    for name in ("alpha", "wing_use", "tail_use", "wing_lift", "tail_lift", "drag", "moment"):
        one, other = getattr(g.air, name), getattr(f.air, name)
        np.testing.assert_allclose(one, other, rtol=1e-11, atol=1e-11, err_msg=name)


def test_lanes_whose_flaps_stay_do_not_feel_that_others_drop() -> None:
    phase = Phase(THREE_WHEELS, 1)
    rates = []
    for dropped in (False, True):
        block, y = moving(1.0, dropped)
        posed = posture_of_phase(phase, block, y)
        rates.append(derivatives(phase, block, block.s.time, y, posed)[0])
    np.testing.assert_array_equal(rates[0][:, 1::2], rates[1][:, 1::2])
    assert (rates[0][V, ::2] != rates[1][V, ::2]).any()


def test_only_phases_with_two_points_have_constants() -> None:
    block, y = moving(1.0, False)
    assert posture_of_phase(AIRBORNE, block, y) is None
    posed = posture_of_phase(Phase(THREE_WHEELS, 1), block, y)
    assert posed is not None and posed.standing is not None
    np.testing.assert_array_equal(posed.standing.alpha, y[PITCH])
