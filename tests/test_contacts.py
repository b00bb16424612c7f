"""The contact solver against its formulae, and impacts against hand calculation."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.roll.block import Block, batch_of, new_status
from sim.roll.contacts import (
    AFT,
    MAIN,
    NOSE,
    Contact,
    contact_points,
    gap_acceleration,
    solve,
    solve_at_rest,
)
from sim.roll.impacts import SUBSETS, choose_sets, impact
from tests.jets import jet

A_FORCE = (np.array([7.0]), np.array([12.0]), np.array([1.3]))


def one_block(**changes: float) -> Block:
    batch = batch_of([jet(**changes)])
    return Block(batch, np.zeros(1, dtype=int), new_status(batch.matrix))


def points_of(block: Block, pitch: float) -> tuple[Contact, Contact, Contact]:
    return contact_points(block.p, np.cos([pitch]), np.sin([pitch]))


@pytest.mark.parametrize("pitch", [-0.05, 0.03, 0.2])
@pytest.mark.parametrize("rate", [0.0, 1.7])
def test_one_wheel_turns_as_the_formula_says(pitch: float, rate: float) -> None:
    # thddot [I + m r_x (r_x + mu r_z)] = M + (r_x + mu r_z)(m r_z w^2 + m g cos(slope) - F_z)
    block = one_block(slope=0.04)
    p, at = block.p, points_of(block, pitch)[MAIN]
    r = solve(block, (MAIN,), points_of(block, pitch), A_FORCE, np.array([rate]), 1.0)
    arm = at.along + at.friction * at.up
    weight = p.mass * p.gravity * np.cos(p.slope)
    right = A_FORCE[2] + arm * (p.mass * at.up * rate**2 + weight - A_FORCE[1])
    expected = right / (p.pitch_inertia + p.mass * at.along * arm)
    np.testing.assert_allclose(r.pitch_rate_rate, expected, rtol=1e-12)
    assert abs(gap_acceleration(at, r, rate)[0]) < 1e-12
    along = A_FORCE[0] - p.mass * p.gravity * np.sin(p.slope) - at.friction * r.loads[MAIN]
    np.testing.assert_allclose(r.speed_rate, along / p.mass, rtol=1e-12)


def test_three_wheels_at_rest_share_the_weight_by_their_distances() -> None:
    block = one_block(main_friction=0.0, nose_friction=0.0)
    still = (np.zeros(1), np.zeros(1), np.zeros(1))
    r = solve(block, (MAIN, NOSE), points_of(block, 0.0), still, np.zeros(1), 1.0)
    weight = 3.2 * 9.80665
    assert r.loads[NOSE][0] == pytest.approx(weight * 0.13 / (0.13 + 0.345), rel=1e-12)
    assert r.loads[MAIN][0] == pytest.approx(weight * 0.345 / (0.13 + 0.345), rel=1e-12)


def test_rolling_loads_by_moments_about_the_nose_axle() -> None:
    # moments about the CG: M + N_m (x_m + mu z_m) + N_n (x_n + mu z_n) = 0, sum N = W - F_z
    block = one_block()
    r = solve(block, (MAIN, NOSE), points_of(block, 0.0), A_FORCE, np.zeros(1), 1.0)
    total = 3.2 * 9.80665 - 12.0
    main_arm, nose_arm = -0.13 + 0.13 * -0.122, 0.345 + 0.13 * -0.112
    nose = (-1.3 - total * main_arm) / (nose_arm - main_arm)
    assert r.loads[NOSE][0] == pytest.approx(nose, rel=1e-12)
    assert r.loads[MAIN][0] == pytest.approx(total - nose, rel=1e-12)
    assert r.speed_rate[0] == pytest.approx((7.0 - 0.13 * total) / 3.2, rel=1e-12)


@given(
    push=st.floats(-6.0, 6.0), lift=st.floats(-10.0, 20.0), moment=st.floats(-1.0, 1.0),
    mains=st.floats(0.02, 1.3), nose=st.floats(0.02, 1.3), pitch=st.floats(-0.1, 0.2),
)  # fmt: skip
@settings(max_examples=200, deadline=None)
def test_friction_at_rest_balances_and_is_shared_by_mu_n(
    push: float, lift: float, moment: float, mains: float, nose: float, pitch: float
) -> None:
    block = one_block(main_friction=mains, nose_friction=nose, slope=0.02)
    points, zero = points_of(block, pitch), np.zeros(1)
    force = (np.array([push]), np.array([lift]), np.array([moment]))
    r = solve_at_rest(block, (MAIN, NOSE), points, force, zero)
    free = [solve(block, (MAIN, NOSE), points, force, zero, s).speed_rate[0] for s in (1.0, -1.0)]
    if min(r.loads[MAIN][0], r.loads[NOSE][0]) < 0.0:
        return  # such a set is not at rest
    inside = abs(r.grip[0]) < 1.0 - 1e-9
    assert inside == (free[0] < 0.0 < free[1]) or abs(abs(r.grip[0]) - 1.0) < 1e-6
    friction = [r.grip[0] * points[i].friction * r.loads[i] for i in (MAIN, NOSE)]
    turning = moment + sum(
        r.loads[i] * points[i].along + f * points[i].up
        for i, f in zip((MAIN, NOSE), friction, strict=True)
    )
    assert abs(turning[0]) < 1e-9
    if inside:
        assert sum(friction)[0] == pytest.approx((push + block.weight_along)[0], abs=1e-9)


def hit(
    block: Block, points: list[tuple[float, float, float]], velocity: tuple[float, float, float]
) -> tuple[np.ndarray, float]:
    """Velocities after an impact of up to three points given as (r_x, r_z, mu), and the loss."""
    spare = [(1.0, 0.0, 0.0)] * (3 - len(points))
    contacts = tuple(
        Contact(np.array([x]), np.array([z]), 0.0, np.array([mu])) for x, z, mu in points + spare
    )
    at_zero = np.array([[k < len(points)] for k in range(3)])
    speeds = tuple(np.array([v]) for v in velocity)
    after = impact(block, contacts, at_zero, speeds)  # type: ignore[arg-type]
    return np.array([after.speed[0], after.climb[0], after.rate[0]]), float(after.loss[0])


def test_a_falling_nose_throws_the_mains_off() -> None:
    # rotating nose down about the mains, frictionless: J at the nose alone with m = I = 1,
    # x_m = -0.1, x_n = 0.4, rate -1, climb -0.1: J (1 + 0.16) = 0.5, mains then rise at
    # J (1 - 0.04) = 0.41379
    block = one_block(mass=1.0, pitch_inertia=1.0)
    after, loss = hit(block, [(-0.1, -0.1, 0.0), (0.4, -0.1, 0.0)], (5.0, -0.1, -1.0))
    impulse = 0.5 / 1.16
    np.testing.assert_allclose(after, [5.0, -0.1 + impulse, -1.0 + 0.4 * impulse], rtol=1e-12)
    assert after[1] - 0.1 * after[2] == pytest.approx(0.96 * impulse, rel=1e-12)
    assert loss == pytest.approx(0.5 * 0.5 * impulse, rel=1e-12)


def test_a_nose_far_ahead_of_the_centre_of_percussion_stays_with_the_mains() -> None:
    # 1 + x_m x_n / k^2 > 0 with k^2 = I/m throws the mains off; here it is negative: both stay
    block = one_block(mass=1.0, pitch_inertia=0.01)
    after, _ = hit(block, [(-0.1, -0.1, 0.0), (0.4, -0.1, 0.0)], (5.0, -0.1, -1.0))
    np.testing.assert_allclose(after, [5.0, 0.0, 0.0], atol=1e-12)


def test_a_flat_landing_on_one_wheel_with_drag() -> None:
    # J = m I v / (I + m x (x + mu z)); V falls by mu J / m
    block = one_block(mass=3.0, pitch_inertia=0.2)
    after, _ = hit(block, [(-0.1, -0.12, 0.2)], (12.0, -0.8, 0.0))
    arm = -0.1 + 0.2 * -0.12
    impulse = 0.8 / (1 / 3.0 + -0.1 * arm / 0.2)
    np.testing.assert_allclose(
        after, [12.0 - 0.2 * impulse / 3.0, -0.8 + impulse / 3.0, arm * impulse / 0.2], rtol=1e-12
    )


def test_slow_approaches_of_two_points_are_stopped_together_one_alone_is_not() -> None:
    block = one_block()
    after, _ = hit(block, [(-0.1, -0.1, 0.1), (0.4, -0.1, 0.1)], (5.0, -5e-5, 0.0))
    np.testing.assert_array_equal(after, [5.0, 0.0, 0.0])
    alone, _ = hit(block, [(-0.1, -0.1, 0.1)], (5.0, -5e-5, 0.0))
    assert alone[0] < 5.0
    assert abs(alone[1] - 0.1 * alone[2]) < 1e-18


point = st.tuples(st.floats(-0.7, 0.5), st.floats(-0.25, 0.0), st.floats(0.0, 0.6))


@given(
    points=st.lists(point, min_size=1, max_size=3, unique_by=lambda p: round(p[0], 2)),
    velocity=st.tuples(st.floats(-3, 30), st.floats(-3, 1), st.floats(-6, 6)),
    inertia=st.floats(0.05, 0.4),
)
@settings(max_examples=300, deadline=None)
def test_an_impact_never_gains_energy_and_leaves_nothing_falling(
    points: list[tuple[float, float, float]],
    velocity: tuple[float, float, float],
    inertia: float,
) -> None:
    block = one_block(pitch_inertia=inertia)
    after, loss = hit(block, points, velocity)

    def kinetic(v: np.ndarray) -> float:
        return float(0.5 * 3.2 * (v[0] ** 2 + v[1] ** 2) + 0.5 * inertia * v[2] ** 2)

    before = kinetic(np.array(velocity))
    assert kinetic(after) <= before * (1 + 1e-12) + 1e-15
    assert loss == pytest.approx(before - kinetic(after), abs=1e-9)
    rising = [after[1] + x * after[2] for x, _, _ in points]
    # three points on a plane cannot all be stopped apart from standing still: two are enough
    assert min(rising) > -1e-6 * (1.0 + max(abs(v) for v in velocity))


def test_the_set_after_an_arrival_has_no_negative_load_and_nothing_accelerates_down() -> None:
    rng = np.random.default_rng(7)
    for _ in range(100):
        block = one_block(pitch_inertia=float(rng.uniform(0.1, 0.3)))
        points = points_of(block, float(rng.uniform(-0.05, 0.3)))
        force = tuple(rng.uniform(low, high, 1) for low, high in ((0, 20), (-10, 40), (-4, 4)))
        lying = np.array([[True], [bool(rng.integers(2))], [bool(rng.integers(2))]])
        motion = (np.array([8.0]), rng.uniform(-1, 1, 1) * (lying.sum() == 1))
        chosen = SUBSETS[int(choose_sets(block, lying, points, force, motion)[0])]  # type: ignore[arg-type]
        assert all(lying[i, 0] for i in chosen)
        r = solve(block, chosen, points, force, motion[1], 1.0)  # type: ignore[arg-type]
        assert min([r.loads[i][0] for i in chosen], default=0.0) >= -1e-8
        left = [i for i in (MAIN, NOSE, AFT) if lying[i, 0] and i not in chosen]
        assert min([gap_acceleration(points[i], r, motion[1])[0] for i in left], default=0) >= -1e-8
