"""The oracle against closed forms, so that it can be trusted against the time-step core."""

import math

import numpy as np
import pytest
from scipy.integrate import quad

from sim.roll.aero_table import INDUCED, INDUCED_PAIRS, TAIL_OWN

from .aeroplanes import random_setup, with_changes
from .contact import AFT, MAIN, NOSE, Contacts
from .forces import DROP, TOP_RATIO, Air, limited, thrust_curve
from .grazing import close_decisions, near_miss
from .motion import OM, PERC, TH, ZD, E, Motion, V, Z
from .plain import plain_setup
from .roll import Event, OracleRoll, oracle_roll
from .verdict import VERDICTS, speed_needed, verdict

G = 9.81
WING_LIFT, WING_MOMENT, TAIL_LIFT, TAIL_MOMENT = 0, 5, 10, 15


def first(roll: OracleRoll, name: str) -> Event:
    return next(e for e in roll.events if e.name == name)


# --- ground roll -----------------------------------------------------------------------------
def test_constant_force_roll() -> None:
    setup = plain_setup(
        air_density=0.0,
        static_thrust=20.0,
        main_friction=0.1,
        nose_friction=0.1,
        strip_length=60.0,
        slope=0.03,
    )
    a = 20.0 / 4.0 - G * math.sin(0.03) - 0.1 * G * math.cos(0.03)
    end = first(oracle_roll(setup), "strip-end")
    assert end.time == pytest.approx(math.sqrt(2.0 * 60.0 / a), rel=1e-9)
    assert end.ground_speed == pytest.approx(math.sqrt(2.0 * 60.0 * a), rel=1e-9)
    assert end.main_load + end.nose_load == pytest.approx(4.0 * G * math.cos(0.03), rel=1e-12)


def test_quadratic_drag_roll_of_a_dynamics_text() -> None:
    """a = 2 - 4e-5 V^2 to 250 km/h: printed 1268 m (read); exact 1267.81 m, 35.908 s (computed)."""
    setup = plain_setup(
        static_thrust=8.0,
        zero_lift_drag_start=4.0 * 4e-5 / (0.5 * 1.225 * 0.45),
        pull_airspeed=250.0 / 3.6,
    )
    pull = first(oracle_roll(setup), "pull")
    assert pull.distance == pytest.approx(1267.81, abs=0.005)
    assert pull.time == pytest.approx(35.908, abs=0.0005)


SLOPE_DEFECT = 2e-7
"""The limit's slope at zero is one less 2 (1 + k)/(1 + exp(x0/w)) = 7e-8."""


def test_roll_with_lift_drag_and_friction() -> None:
    """a = A + B V^2 from a rolling start: the textbook logarithm and atanh."""
    mu, cl, cd, thrust, length = 0.1, 0.3, 0.06, 15.0, 50.0
    setup = plain_setup(
        {WING_LIFT: cl},
        static_thrust=thrust,
        zero_lift_drag_start=cd,
        main_friction=mu,
        nose_friction=mu,
        strip_length=length,
        initial_speed=3.0,
    )
    a = thrust / 4.0 - mu * G
    b = -0.5 * 1.225 * 0.45 * (cd - mu * cl) / 4.0
    end = first(oracle_roll(setup), "strip-end")
    speed = math.sqrt(((a + b * 9.0) * math.exp(2.0 * b * length) - a) / b)
    root = math.sqrt(-b / a)
    time = (math.atanh(speed * root) - math.atanh(3.0 * root)) / math.sqrt(-a * b)
    assert end.ground_speed == pytest.approx(speed, rel=1e-8)
    assert end.time == pytest.approx(time, rel=1e-8)


def test_coasts_to_a_stop() -> None:
    setup = plain_setup(air_density=0.0, main_friction=0.2, nose_friction=0.2, initial_speed=5.0)
    roll = oracle_roll(setup)
    stop = first(roll, "stop")
    assert roll.end == "stop"
    assert stop.distance == pytest.approx(25.0 / (2.0 * 0.2 * G), rel=1e-9)
    assert stop.time == pytest.approx(5.0 / (0.2 * G), rel=1e-9)


def test_rolls_back_where_the_slope_is_steeper_than_friction() -> None:
    setup = plain_setup(
        air_density=0.0,
        main_friction=0.1,
        nose_friction=0.1,
        initial_speed=3.0,
        slope=0.2,
        abort_place=0.0,
    )
    roll = oracle_roll(setup)
    up = G * (math.sin(0.2) + 0.1 * math.cos(0.2))
    down = G * (math.sin(0.2) - 0.1 * math.cos(0.2))
    assert [f.s for f in roll.phases] == [1, -1]
    assert roll.phases[0].end == pytest.approx(3.0 / up, rel=1e-9)
    assert roll.final_state["V"] == pytest.approx(-down * (90.0 - 3.0 / up), rel=1e-9)


def test_does_not_move_a_little_below_friction() -> None:
    setup = plain_setup(
        air_density=0.0,
        main_friction=0.1,
        nose_friction=0.1,
        static_thrust=0.999 * 0.1 * 4.0 * G,
        spool_rate=2.0,
        initial_spool=0.0,
    )
    roll = oracle_roll(setup)
    assert (roll.end, roll.events) == ("does-not-move", [])
    waits = oracle_roll(with_changes(setup, pull_time=1.0))
    assert (waits.end, [e.name for e in waits.events]) == ("does-not-move", ["pull"])


def test_breaks_loose_when_the_spooling_thrust_passes_friction() -> None:
    setup = plain_setup(
        air_density=0.0,
        main_friction=0.1,
        nose_friction=0.1,
        static_thrust=1.25 * 0.1 * 4.0 * G,
        spool_rate=2.0,
        initial_spool=0.0,
    )
    roll = oracle_roll(setup)
    assert [f.s for f in roll.phases] == [0, 1]
    assert roll.phases[0].end == pytest.approx(math.log(5.0) / 2.0, abs=1e-9)


# --- rotation --------------------------------------------------------------------------------
def hand_case() -> dict[int, float]:
    tail = -0.70 * 0.09 / 0.45 * 0.9
    return {
        WING_LIFT: 0.35,
        WING_MOMENT: -0.06,
        TAIL_LIFT: tail,
        TAIL_MOMENT: tail * (-0.90 - 0.02) / 0.30,
    }


def test_hand_rotation_case() -> None:
    """Invented numbers worked by hand on two routes (computed): nose off at 9.1727 m/s, R = 0."""
    setup = plain_setup(
        hand_case(),
        static_thrust=25.0,
        thrust_z=0.01,
        drag_z=-0.01,
        lift_x=0.02,
        zero_lift_drag_start=0.06,
        main_friction=0.08,
        nose_friction=0.08,
        main_z=-0.15,
        nose_z=-0.15,
        main_radius=0.0,
        nose_radius=0.0,
    )
    off = first(oracle_roll(setup), "nose-wheel-off")
    assert off.ground_speed == pytest.approx(9.1727, abs=5e-5)
    needed = speed_needed(setup, dropped=False)
    assert needed is not None
    assert 0.0 <= needed - off.ground_speed < 0.1 + 1e-9


def test_free_rotation_about_the_mains_like_a_pendulum() -> None:
    """CG behind the mains, no air, no friction: energy gives omega, a quadrature the time."""
    setup = plain_setup(air_density=0.0, main_x=0.04, initial_speed=1.0)
    c = Contacts(setup.parameters)
    end = c.pitch_on(MAIN, AFT)

    def omega(theta: float) -> float:
        fall = c.arm(MAIN, theta)[1] - c.arm(MAIN, 0.0)[1]
        return math.sqrt(2.0 * 4.0 * G * fall / (0.2 + 4.0 * c.arm(MAIN, theta)[0] ** 2))

    time = quad(lambda r: 2.0 * r / omega(r * r), 0.0, math.sqrt(end), epsabs=1e-13)[0]
    strike = first(oracle_roll(setup), "tail-strike")
    assert strike.time == pytest.approx(time, abs=1e-8)
    assert strike.pitch == pytest.approx(end, abs=1e-12)
    assert strike.ground_speed == pytest.approx(1.0, abs=1e-12)


def test_mains_only_against_the_reduced_equation() -> None:
    rng = np.random.default_rng(5)
    c = Contacts(random_setup(3, 0).parameters)
    mu = c.friction[MAIN]
    for theta, omega, fx, fz, moment in rng.uniform(-1.0, 1.0, (20, 5)):
        total = (fx * 20.0, fz * 30.0 - c.weight, moment * 5.0)
        r_x, r_z = c.arm(MAIN, theta)
        left = c.inertia + c.mass * r_x * (r_x + mu * r_z)
        right = total[2] + (r_x + mu * r_z) * (c.mass * r_z * omega**2 - total[1])
        qddot = c.accelerate(theta, omega, total, (MAIN,), 1.0)[0]
        assert qddot[2] == pytest.approx(right / left, rel=1e-11)


def test_impacts_obey_their_rules() -> None:
    rng = np.random.default_rng(6)
    c = Contacts(random_setup(3, 0).parameters)
    thrown = 0
    for vz, omega, v in rng.uniform((-2.0, -2.0, 0.5), (0.0, 2.0, 20.0), (60, 3)):
        points = (MAIN, NOSE)
        theta = c.pitch_on(*points)
        before = [float(v), float(vz), float(omega)]
        after, impulse, speed = c.impact(theta, before, points, 1.0)
        assert min(*impulse.values(), *speed.values()) >= -1e-12
        assert all(impulse[i] * speed[i] == pytest.approx(0.0, abs=1e-12) for i in points)
        drag = sum(c.friction[i] * impulse[i] for i in points)
        assert c.mass * (before[0] - after[0]) == pytest.approx(drag, abs=1e-12)
        assert c.kinetic(after) <= c.kinetic(before) + 1e-12
        thrown += min(impulse.values()) == 0.0
    assert 0 < thrown < 60


# --- in the air ------------------------------------------------------------------------------
def test_straight_up_from_the_first_instant() -> None:
    setup = plain_setup(
        air_density=0.0, static_thrust=1.1 * 4.0 * G, thrust_tilt=math.pi / 2.0, initial_speed=5.0
    )
    roll = oracle_roll(setup)
    time = math.sqrt(2.0 * 2.0 / (0.1 * G))
    names = [(e.name, e.time) for e in roll.events[:2]]
    assert names == [("nose-wheel-off", 0.0), ("lift-off", 0.0)]
    assert first(roll, "screen-height").time == pytest.approx(time, rel=1e-9)
    assert first(roll, "screen-height").distance == pytest.approx(5.0 * time, rel=1e-9)
    assert roll.end == "screen-height"


def test_projectile() -> None:
    motion = Motion(plain_setup(air_density=0.0))
    motion.mode.touching = ()
    y = [0.0, 1.0, 0.1, 8.0, 2.0, 0.3] + [0.0] * 6
    rates = motion.rates(motion.evaluate(0.0, y))
    assert rates[:6] == pytest.approx([8.0, 2.0, 0.3, 0.0, -G, 0.0], abs=1e-12)


def test_lift_stands_across_the_wind_and_drag_along_it() -> None:
    air = Air(
        plain_setup(
            {WING_LIFT: 0.5}, zero_lift_drag_start=0.1, lift_x=0.1, drag_z=0.2, headwind=2.0
        )
    )
    fx, fz, moment = air.flow((1.0, 0.0, 10.0, 5.0, 0.0), 0.0, 0.0, 0.0).force
    size = 0.5 * 1.225 * 169.0 * 0.45
    sin, cos = 5.0 / 13.0, 12.0 / 13.0
    assert fx == pytest.approx(size * (-0.5 * sin - 0.1 * cos), rel=SLOPE_DEFECT)
    assert fz == pytest.approx(size * (0.5 * cos - 0.1 * sin), rel=SLOPE_DEFECT)
    assert moment == pytest.approx(size * (0.1 * 0.5 * cos + 0.2 * 0.1 * cos), rel=SLOPE_DEFECT)


def test_downwash_lag_leaves_lift_on_the_tail() -> None:
    columns = {TAIL_LIFT + 1: 0.3, 21: 0.5}
    air = Air(plain_setup(columns))
    now, late = (air.flow((1.0, 0.1, 10.0, 0.0, 0.0), lag, 0.0, 0.0).force for lag in (0.1, 0.06))
    size = 0.5 * 1.225 * 100.0 * 0.45
    assert late[1] - now[1] == pytest.approx(size * 0.2 * 0.04, rel=SLOPE_DEFECT)
    assert late[2] - now[2] == pytest.approx(size * 0.2 * 0.04 * -0.9, rel=SLOPE_DEFECT)


def test_soft_tail_carries_less() -> None:
    air = Air(plain_setup({TAIL_LIFT: -0.1, TAIL_OWN.start + 1: 0.5}, tail_twist_per_newton=1e-3))
    fz = air.flow((1.0, 0.0, 20.0, 0.0, 0.0), 0.0, 0.0, 0.0).force[1]
    size = 0.5 * 1.225 * 400.0 * 0.45
    assert fz == pytest.approx(-0.1 * size / (1.0 + size * 0.5 * 1e-3), rel=SLOPE_DEFECT)


def test_induced_drag_takes_effective_elevator_and_flap_goes_with_its_share() -> None:
    pair, flap = INDUCED.start + INDUCED_PAIRS.index((1, 3)), 2
    air = Air(
        plain_setup(
            {pair: 0.8, WING_LIFT + flap: 1.5},
            flap_start=0.1,
            flap_dropped=0.3,
            elevator_effect=0.9,
            elevator_fade=3.0,
            elevator_mix_dropped=0.02,
        )
    )
    fx, fz, _ = air.flow((1.0, 0.05, 10.0, 0.0, 0.0), 0.05, 0.1, 0.5).force
    size = 0.5 * 1.225 * 100.0 * 0.45
    effective = 0.9 * 0.11 * (1.0 + 3.0 * 0.11**2) ** -0.4
    assert fx == pytest.approx(-size * 0.8 * 0.05 * effective, rel=1e-9)
    assert fz == pytest.approx(size * 1.5 * 0.2, rel=SLOPE_DEFECT)


def test_coefficients_follow_the_basis() -> None:
    setup = random_setup(1, 1)
    values, scale = setup.table.values, setup.table.height_scale
    u, w = 1.0 / (1.0 + (0.2 / scale) ** 2), 0.35 * math.tanh(0.1 / 0.35)
    expected = sum(values[3 * i + j] * u**i * w**j for i in range(5) for j in range(3))
    assert np.any(values[1:])
    assert Air(setup).columns(0.2, 0.1) == pytest.approx(list(expected), rel=1e-12)


def test_law_by_hand() -> None:
    """raw 0.03, mid 0.05, half 0.25: command 0.0300426; 4 tanh(0.0200426/0.2) = 0.39951."""
    motion = Motion(plain_setup())
    motion.mode.law = True
    y = [0.0] * 12
    y[E], y[PERC] = 0.01, 0.1
    assert motion.elevator_rate(y, 0.2) == pytest.approx(0.399515, abs=2e-6)


def test_limit_of_lift() -> None:
    h = 1e-5
    assert limited(TOP_RATIO) == pytest.approx(1.0, abs=1e-8)
    assert max(limited(x) for x in np.linspace(0.0, 5.0, 2001)) <= limited(TOP_RATIO) + 1e-12
    assert (limited(h) - limited(-h)) / (2.0 * h) == pytest.approx(1.0, abs=SLOPE_DEFECT)
    assert (limited(1.5 + h) - limited(1.5 - h)) / (2.0 * h) == pytest.approx(-DROP, abs=1e-3)
    assert limited(4.0) == pytest.approx(limited(5.0), abs=1e-9)
    assert limited(-1.3) == pytest.approx(-limited(1.3), abs=1e-15)


def test_ideal_fan() -> None:
    """70 mm, 1 kW, ducted, rho 1.225: 26.62 N static (momentum theory, computed)."""
    area = math.pi / 4.0 * 0.07**2
    curve = thrust_curve(plain_setup(thrust_kind=1, jet_power=1000.0, exit_area=area))
    assert curve(0.0) == pytest.approx(26.62, abs=0.005)
    thrust = curve(20.0)
    jet = 10.0 + math.sqrt(100.0 + thrust / (1.225 * area))  # the larger root of T in V_e
    assert 0.5 * 1.225 * area * jet * (jet**2 - 400.0) == pytest.approx(1000.0, rel=1e-12)


# --- the whole -------------------------------------------------------------------------------
@pytest.mark.parametrize("index", [0, 2, 3, 4, 7, 8, 10, 34])
def test_energy_balance_and_loads(index: int) -> None:
    roll = oracle_roll(random_setup(1, index))
    assert abs(roll.energy_error()) < 1e-9 * max(roll.work_thrust, 1.0)
    assert roll.impact_loss >= 0.0
    assert all(min(e.main_load, e.nose_load, e.tail_load) > -1e-7 for e in roll.events)


@pytest.mark.parametrize("index", [1, 5, 10])
def test_events_have_converged(index: int) -> None:
    setup = random_setup(2, index)
    rolls = [oracle_roll(setup, rtol=rtol) for rtol in (1e-10, 1e-12)]
    names = [[e.name for e in r.events] for r in rolls]
    assert names[0] == names[1]
    assert names[0]
    times = [np.array([e.time for e in r.events]) for r in rolls]
    assert np.max(np.abs(times[0] - times[1])) < 1e-7


def test_pitch_is_that_of_the_gear_on_three_wheels() -> None:
    c = Contacts(random_setup(3, 4).parameters)
    theta = c.pitch_on(MAIN, NOSE)
    height = c.radius[MAIN] - c.arm(MAIN, theta)[1]
    assert c.gap(NOSE, height, theta) == pytest.approx(0.0, abs=1e-15)


def test_drift_is_projected_out() -> None:
    c = Contacts(random_setup(3, 4).parameters)
    q, qdot = [0.0, 0.3, 0.05], [10.0, 0.2, 0.4]
    c.project((MAIN,), q, qdot)
    assert c.gap(MAIN, q[1], q[2]) == pytest.approx(0.0, abs=1e-15)
    assert qdot[1] + c.arm(MAIN, q[2])[0] * qdot[2] == pytest.approx(0.0, abs=1e-15)


def test_grazing_rules_see_what_they_should() -> None:
    t = np.linspace(0.0, 1.0, 21)
    assert near_miss(t, (t - 0.51) ** 2 + 1e-5) == pytest.approx(1e-5, abs=1e-9)
    assert near_miss(t, 1.0 + t) == math.inf
    assert close_decisions([(1.0, "place"), (1.00005, "release")])
    assert not close_decisions([(1.0, "arrive"), (1.00005, "release")])
    just = plain_setup(
        air_density=0.0, main_friction=0.1, nose_friction=0.1, static_thrust=0.1 * 4.0 * G + 1e-4
    )
    assert oracle_roll(just).grazing


def test_random_setups_repeat_and_reach_every_verdict() -> None:
    assert random_setup(1, 17).parameters == random_setup(1, 17).parameters
    assert random_setup(1, 17).parameters != random_setup(2, 17).parameters
    missing = set(VERDICTS)
    for index in range(240):
        setup = random_setup(1, index)
        missing.discard(verdict(setup, oracle_roll(setup)))
        if not missing:
            break
    assert not missing


def test_state_layout() -> None:
    """The columns other tests read by name stay where the right-hand side writes them."""
    motion = Motion(plain_setup(air_density=0.0))
    motion.mode.touching = ()
    y = [float(k) for k in range(12)]
    rates = motion.rates(motion.evaluate(0.0, y))
    assert (rates[0], rates[Z], rates[TH]) == (y[V], y[ZD], y[OM])
