"""When the nose wheel leaves and how hard it pitches: hand calculation and a rigid-body case."""

from dataclasses import replace

import numpy as np
import pytest

from sim.checks.budget import nose_load_budget
from sim.prepare import prepare
from sim.roll.block import batch_of
from sim.roll.contacts import contact_points, solve
from sim.roll.parameters import Setup
from sim.roll.quasi_static import one_block, search_speeds
from sim.roll.result import simulate_setup
from sim.scenario import load_scenario
from tests.documents import Document, laid, ready, trolley

MASS, AREA, CHORD, RHO, MU, THRUST = 4.0, 0.45, 0.30, 1.225, 0.08, 25.0
WING, MOMENT, DRAG = 0.35, -0.06, 0.06
TAIL = -0.70 * 0.9 * 0.09 / AREA  # tail CL -0.70 on 0.09 m2 at 0.9 of the pressure, on S


def unload_speed(g: float, axle: float, accelerating: bool = True) -> float:
    """The hand calculation, by moments about a main axle `axle` m above the ground [m/s].

    Everything is a constant plus a multiple of q = rho/2 V^2, and so is the forward acceleration;
    the nose load is zero where their sum is. Nose down counts positive:
    weight m g 0.05, thrust T (0.16 - axle); per q S: wing -CL 0.07, tail +CL 0.85, -Cm c, drag
    -CD (0.14 - axle); inertia -m a (0.15 - axle), m a = T - mu m g + q S (mu CL - CD).
    """
    lift = WING + TAIL
    fixed = MASS * g * 0.05 + THRUST * (0.16 - axle)
    per_q = AREA * (-WING * 0.07 + TAIL * 0.85 - MOMENT * CHORD - DRAG * (0.14 - axle))
    if accelerating:
        fixed -= (0.15 - axle) * (THRUST - MU * MASS * g)
        per_q -= (0.15 - axle) * AREA * (MU * lift - DRAG)
    return float(np.sqrt(-2.0 * fixed / per_q / RHO))


def textbook() -> Document:
    """The case as a scenario; wheels of 10 mm, for a file has no wheels without a radius."""
    coefficients = {
        "reference_area": f"{AREA} m^2",
        "reference_chord": f"{CHORD} m",
        "lift_at_zero": WING,
        "moment_at_zero": MOMENT,
        "lift_point": {"station": "-20 mm", "height": "150 mm"},
        "drag_point": {"station": "0 mm", "height": "140 mm"},
        "drag_at_zero_lift": DRAG,
        "tail_lift_at_zero": TAIL,
        "tail_point": {"station": "900 mm", "height": "150 mm"},
        "max_lift": 5.0,
    }
    document = trolley(f"{MASS} kg", f"{THRUST} N", MU, "0 m")
    return laid(
        document,
        aeroplane__pitch_inertia="0.2 kg*m^2",
        aeroplane__cg={"station": "0 mm", "height": "150 mm"},
        aeroplane__coefficients=coefficients,
        aeroplane__gear={
            "main": {"station": "50 mm", "axle_height": "5 mm", "wheel_diameter": "10 mm"},
            "nose": {"station": "-400 mm", "axle_height": "5 mm", "wheel_diameter": "10 mm"},
        },
        power__thrust_line={"height": "160 mm"},
        strip__length="60 m",
    )


def without_wheels(setup: Setup) -> Setup:
    """Axles on the ground and radius zero: friction acts at the ground; g as in the calculation."""
    p = setup.parameters
    flat = replace(p, main_z=-0.15, nose_z=-0.15, main_radius=0.0, nose_radius=0.0, gravity=9.81)
    return replace(setup, parameters=flat)


def nose_off(setup: Setup) -> float:
    """Airspeed at which the roll's nose wheel leaves [m/s]."""
    event = simulate_setup(setup).event("nose-wheel-off")
    assert event is not None
    return event.airspeed


def test_hand_calculation_itself() -> None:
    # Invented numbers, two independent routes agree: 9.1727 m/s, and 13.3155 m/s with the forward
    # acceleration wrongly left out [computed].
    assert unload_speed(9.81, 0.0) == pytest.approx(9.1727, abs=5e-5)
    assert unload_speed(9.81, 0.0, accelerating=False) == pytest.approx(13.3155, abs=5e-5)


def test_roll_unloads_the_nose_wheel_at_the_hand_calculated_speed() -> None:
    setup = without_wheels(ready(textbook()).setup)
    assert nose_off(setup) == pytest.approx(9.1727, abs=1e-4)
    assert nose_off(setup) == pytest.approx(unload_speed(9.81, 0.0), rel=1e-6)


def test_search_without_stepping_finds_the_same_speed() -> None:
    block = one_block(batch_of([without_wheels(ready(textbook()).setup)]), np.zeros(1, dtype=int))
    needed = search_speeds(block, np.array([False])).needed[0]
    assert needed == pytest.approx(9.1727, abs=2e-3)  # straight lines between grid speeds


@pytest.mark.parametrize("radius_mm", [2.5, 5.0, 40.0])
def test_through_a_scenario_with_wheels_of_any_size(radius_mm: float) -> None:
    # With wheels the drag of rolling acts at the axle: arms to the axle, g as standard [computed].
    wheel = {"axle_height": f"{radius_mm} mm", "wheel_diameter": f"{2 * radius_mm} mm"}
    document = laid(
        textbook(),
        aeroplane__gear={
            "main": {"station": "50 mm", **wheel},
            "nose": {"station": "-400 mm", **wheel},
        },
    )
    expected = unload_speed(9.80665, radius_mm / 1000.0)
    assert nose_off(ready(document).setup) == pytest.approx(expected, rel=1e-6)


def test_shipped_textbook_scenario_is_this_case() -> None:
    assert nose_off(prepare(load_scenario("textbook-rotation")).setup) == pytest.approx(
        unload_speed(9.80665, 0.005), rel=1e-6
    )


def test_forward_acceleration_left_out_of_the_budget() -> None:
    setup = without_wheels(ready(textbook()).setup)
    speeds = np.linspace(9.0, 13.5, 4501)
    block = one_block(batch_of([setup]), np.zeros(speeds.size, dtype=int))
    budget = nose_load_budget(block, speeds, 0.0)
    whole = np.interp(0.0, -budget.nose_load, speeds)
    without = np.interp(0.0, budget.parts["forward acceleration"] - budget.nose_load, speeds)
    assert whole == pytest.approx(9.1727, abs=1e-4)
    assert without == pytest.approx(13.3155, abs=1e-4)


def test_rigid_body_pitch_acceleration_through_the_contact_solver() -> None:
    # Megson, Introduction to Aircraft Structural Analysis, p. 385 (landing case): moment
    # 2,200 kN m, I 5.65e8 N s2 mm, pitch acceleration 3.9 rad/s2 [read].
    setup = ready(trolley("25000 kg", "10 kN", 0.0, "0 m")).setup
    body = replace(setup.parameters, pitch_inertia=5.65e8 / 1000.0)
    block = one_block(batch_of([replace(setup, parameters=body)]), np.zeros(1, dtype=int))
    points = contact_points(block.p, np.ones(1), np.zeros(1))
    still = np.zeros(1)
    total = (still, still, np.array([2200e3]))
    free = solve(block, (), points, total, still, 1.0)
    assert round(float(free.pitch_rate_rate[0]), 1) == 3.9
    # On the mains the same moment turns it about them: I + m r_x^2, and weight adds its own arm.
    x = float(body.main_x)
    on_mains = solve(block, (0,), points, total, still, 1.0)
    expected = (2200e3 + x * 25000 * 9.80665) / (5.65e5 + 25000 * x**2)
    assert on_mains.pitch_rate_rate[0] == pytest.approx(expected, rel=1e-12)
