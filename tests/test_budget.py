"""The nose-load budget against the contact solver, and each part against a hand calculation."""

import numpy as np
import pytest

from sim.checks.budget import PARTS, Budget, nose_load_budget
from sim.prepare import prepare
from sim.roll.block import Block, batch_of
from sim.roll.contacts import MAIN, NOSE
from sim.roll.parameters import Setup
from sim.roll.quasi_static import one_block, rolling_forces
from sim.scenario import load_scenario
from tests.documents import laid, ready, trolley

SPEEDS = np.linspace(0.0, 24.0, 49)


def block_of(setup: Setup, flaps_dropped: bool = False) -> Block:
    """The same lane once for each of `SPEEDS`."""
    block = one_block(batch_of([setup]), np.zeros(SPEEDS.size, dtype=int))
    if flaps_dropped:
        block.s.drop_start[:] = -1e9
    return block


def shipped(name: str, *overrides: str) -> Setup:
    """Set-up of a shipped scenario."""
    return prepare(load_scenario(name, overrides)).setup


SETUPS = {
    "meadow-jet": shipped("meadow-jet"),
    "flaps-25": shipped("flaps-25"),
    "tail-stall": shipped("tail-stall"),
    "long nose leg, uphill, headwind": shipped(
        "long-nose-leg", "strip.slope=6 %", "air.headwind=3 m/s"
    ),
    "tilted thrust, soft tail": shipped(
        "flaps-10",
        'power.thrust_line={ height = "25 mm", tilt = "4 deg" }',
        "aeroplane.tail.twist_per_newton=0.1 deg/N",
        "aeroplane.tail.flap_mix=0.2",
    ),
    "textbook": shipped("textbook-rotation"),
}


@pytest.mark.parametrize("elevator", [0.0, 0.15, -0.1])
@pytest.mark.parametrize("name", SETUPS)
def test_parts_sum_to_the_load_the_contact_solver_finds(name: str, elevator: float) -> None:
    block = block_of(SETUPS[name])
    budget = nose_load_budget(block, SPEEDS, elevator)
    loads = rolling_forces(block, SPEEDS, elevator).reaction.loads
    assert set(budget.parts) == set(PARTS)
    total = sum(budget.parts[part] for part in PARTS)
    assert budget.nose_load == pytest.approx(total, rel=1e-9, abs=1e-9)
    assert budget.nose_load == pytest.approx(loads[NOSE], rel=1e-9, abs=1e-9)
    assert budget.main_load == pytest.approx(loads[MAIN], rel=1e-9)


def test_with_flaps_dropped_in_the_roll() -> None:
    setup = shipped(
        "meadow-jet", 'pilot.drop_flaps={ at = "20 m", to = "25 deg", duration = "1 s" }'
    )
    up = nose_load_budget(block_of(setup), SPEEDS, 0.1)
    down = nose_load_budget(block_of(setup, flaps_dropped=True), SPEEDS, 0.1)
    loads = rolling_forces(block_of(setup, flaps_dropped=True), SPEEDS, 0.1).reaction.loads
    assert down.nose_load == pytest.approx(loads[NOSE], rel=1e-9, abs=1e-9)
    assert not np.any(up.parts["flaps"])
    assert np.all(down.parts["downwash of the flaps"][1:] < 0.0)


Q_AREA = 0.5 * 1.225 * 10.0**2 * 0.45
LEVER, AXLE, MASS, THRUST, MU, G = 0.45, 0.03, 4.0, 25.0, 0.08, 9.80665


def by_hand() -> Budget:
    """Level aeroplane at 10 m/s: mains 50 mm behind the CG, nose wheel 400 mm ahead of it."""
    wheel = {"axle_height": "30 mm", "wheel_diameter": "60 mm"}
    setup = ready(
        laid(
            trolley("4 kg", "25 N", MU, "0 m"),
            aeroplane__pitch_inertia="0.2 kg*m^2",
            aeroplane__cg={"station": "0 mm", "height": "150 mm"},
            aeroplane__coefficients={
                "reference_area": "0.45 m^2",
                "reference_chord": "0.30 m",
                "lift_at_zero": 0.35,
                "lift_per_flap": 1.2,
                "moment_at_zero": -0.06,
                "moment_per_flap": -0.5,
                "flaps_deflection": "0.2 rad",
                "lift_point": {"station": "-20 mm", "height": "150 mm"},
                "drag_point": {"station": "0 mm", "height": "140 mm"},
                "drag_at_zero_lift": 0.06,
                "tail_lift_at_zero": -0.05,
                "tail_lift_per_elevator": -0.4,
                "tail_point": {"station": "900 mm", "height": "150 mm"},
                "throw": {"up": "20 deg", "down": "20 deg"},
                "max_lift": 5.0,
            },
            aeroplane__gear={
                "main": {"station": "50 mm", **wheel},
                "nose": {"station": "-400 mm", **wheel},
            },
            power__thrust_line={"height": "160 mm"},
        )
    ).setup
    block = one_block(batch_of([setup]), np.zeros(1, dtype=int))
    return nose_load_budget(block, np.array([10.0]), 0.25)


LIFT = 0.35 + 1.2 * 0.2 - 0.05 - 0.4 * 0.25
ACCELERATION = (THRUST - MU * (MASS * G - Q_AREA * LIFT) - Q_AREA * 0.06) / MASS
HAND = {
    # moment about the main axle, nose down positive, over the distance between the axles [N]
    "weight": MASS * G * 0.05,
    "forward acceleration": -MASS * ACCELERATION * (0.15 - AXLE),  # inertia pulls back at the CG
    "thrust": THRUST * (0.16 - AXLE),  # pushes above the axle: nose down
    "drag": -Q_AREA * 0.06 * (0.14 - AXLE),  # pulls back above the axle: nose up
    "wing and body": -Q_AREA * (0.35 * 0.07 - 0.06 * 0.30),  # lift ahead of the axle: nose up
    "flaps": -Q_AREA * 0.2 * (1.2 * 0.07 - 0.5 * 0.30),  # here their moment beats their lift
    "tail, its own angle": -Q_AREA * 0.05 * 0.85,  # pushes down behind the axle: nose up
    "elevator": -Q_AREA * 0.4 * 0.25 * 0.85,
    "downwash of the wing": 0.0,
    "downwash of the flaps": 0.0,
    "tail stall": 0.0,
}


@pytest.mark.parametrize("part", PARTS)
def test_each_part_by_hand(part: str) -> None:
    # Air density is 1.2250000 to eight digits; far below its limit a lift is carried to 1e-7.
    assert by_hand().parts[part][0] == pytest.approx(HAND[part] / LEVER, rel=1e-6, abs=1e-6)


def test_signs_of_the_parts_of_a_measured_jet() -> None:
    budget = nose_load_budget(block_of(SETUPS["flaps-25"]), SPEEDS, 0.17)
    fast = {part: float(values[-1]) for part, values in budget.parts.items()}
    loads = {"weight", "thrust"}
    unloads = {"forward acceleration", "drag", "elevator", "downwash of the flaps"}
    assert all(fast[part] > 0.0 for part in loads)
    assert all(fast[part] < 0.0 for part in unloads)


def test_a_stalled_tail_gives_back_load() -> None:
    setup = SETUPS["tail-stall"]
    budget = nose_load_budget(block_of(setup), SPEEDS, setup.parameters.pull_elevator)
    assert budget.parts["tail stall"][-1] > 1.0
    assert budget.parts["tail stall"][-1] < -budget.parts["elevator"][-1]


def test_reading_between_the_points() -> None:
    budget = by_hand()
    assert budget.at(10.0) == {part: float(budget.parts[part][0]) for part in PARTS}
