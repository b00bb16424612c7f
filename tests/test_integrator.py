"""The integrator against scipy's, and its order on a smooth stretch of a roll."""

from typing import Any

import numpy as np
import pytest
from scipy.integrate import RK45

from sim.roll import integrator
from sim.roll.block import Block, batch_of, new_status
from sim.roll.dynamics import ELEVATOR, SPOOL, STATE_SCALE, Phase, V, Z
from sim.roll.engine import initial_states
from sim.roll.locate import first_crossing
from sim.roll.phases import AIRBORNE, THREE_WHEELS
from sim.roll.right_hand_side import RightHandSide
from tests.jets import jet


def test_the_tableau_is_that_of_dormand_and_prince() -> None:
    np.testing.assert_allclose(integrator.NODES[:6], RK45.C, rtol=1e-15)
    for row, ours in zip(RK45.A[1:], integrator.STAGES[1:6], strict=True):
        np.testing.assert_allclose(ours, row[: len(ours)], rtol=1e-14)
    np.testing.assert_allclose(integrator.STAGES[6], RK45.B, rtol=1e-14)
    np.testing.assert_allclose(np.abs(integrator.ERROR), np.abs(RK45.E), rtol=1e-13)
    np.testing.assert_allclose(integrator.DENSE, RK45.P, rtol=1e-13)


def swinging(t: Any, y: Any) -> Any:
    return np.array([y[1], -np.sin(y[0]) - 0.1 * y[1] + 0.3 * np.cos(t)])


def test_one_step_and_its_inside_equal_those_of_scipy() -> None:
    start, size = np.array([0.4, -0.2]), 0.3
    solver = RK45(swinging, 0.0, start, t_bound=10.0, first_step=size, rtol=1e-3, atol=1e-3)
    solver.step()
    assert solver.t == size
    first = swinging(np.zeros(1), start[:, None])

    def rates(time: Any, y: Any, out: Any) -> None:
        out[:] = swinging(time, y)

    step = integrator.take_step(rates, np.zeros(1), np.array([size]), start[:, None], first)
    np.testing.assert_allclose(step.end[:, 0], solver.y, rtol=1e-14)
    inside, terms = solver.dense_output(), integrator.dense_terms(step.stages)
    for s in (0.0, 0.13, 0.5, 0.9, 1.0):
        ours = integrator.dense_value(step.start, step.size, terms, s)[:, 0]
        np.testing.assert_allclose(ours, inside(s * size), rtol=1e-13)


def run(phase: Phase, steps: int, span: float, y: np.ndarray, block: Block) -> np.ndarray:
    """Go through a smooth stretch in equal steps."""
    time, size = np.zeros(1), np.full(1, span / steps)
    side, first = RightHandSide(phase, block, y), np.empty_like(y)
    side.rates(time, y, first)
    for k in range(steps):
        step = integrator.take_step(side.rates, time + k * size, size, y, first)
        y, first = step.end, step.stages[-1]
    return y


@pytest.mark.parametrize(
    ("phase", "law", "span"),
    [(Phase(THREE_WHEELS, 1), 1.0, 0.3), (Phase((0,), 1), 0.0, 0.1), (AIRBORNE, 1.0, 0.1)],
)
def test_order_five_on_a_smooth_stretch(phase: Phase, law: float, span: float) -> None:
    batch = batch_of([jet(elevator_fade=1.0, thrust_z=0.02, tail_twist_per_newton=0.001)])
    block = Block(batch, np.zeros(1, dtype=int), new_status(batch.matrix))
    block.s.elevator_slope[:], block.s.law[:] = 0.3, law
    y = initial_states(block)
    y[V], y[ELEVATOR], y[SPOOL] = 15.0, 0.1, 0.5
    if not phase.touching:
        y[Z] += 1.0
    best = run(phase, 1024, span, y, block)
    errors = [
        np.abs((run(phase, n, span, y, block) - best) / STATE_SCALE).max() for n in (8, 16, 32)
    ]
    orders = np.log2(np.array(errors[:-1]) / np.array(errors[1:]))
    print(phase, errors, orders)
    assert errors[-1] > 1e-12  # or rounding is what is measured
    assert 4.7 < orders[-1] < 5.5


def test_each_lane_finds_its_own_crossing_whatever_its_company() -> None:
    places = np.array([0.1, 1 / 3, 0.7234, 0.999999])

    def value(which: Any, s: Any) -> Any:
        return np.tanh(3.0 * (places[which] - s)) * (1.5 + np.cos(9.0 * s))

    together = first_crossing(value, 4, value(np.arange(4), np.ones(4)))
    np.testing.assert_allclose(together, places, atol=2e-12)
    assert (together <= places).all()
    for k in range(4):
        end = value(np.array([k]), np.ones(1))
        alone = first_crossing(lambda w, s, k=k: value(w + k, s), 1, end)
        assert alone[0] == together[k]


def test_the_next_step_shrinks_and_grows_within_its_bounds() -> None:
    size = np.ones(4)
    tried = integrator.next_size(size, np.array([0.0, 1.0, 32.0, 1e12]))
    np.testing.assert_allclose(tried, [5.0, 0.9, 0.45, 0.2])
