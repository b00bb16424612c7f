"""The shipped workshop: every change a builder would weigh does what the trade knows of it."""

from functools import cache

import pytest

import sim
from sim.prepare import prepare
from sim.roll.result import Result, simulate_setup

CHANGES = tuple(sim.load_scenario("workshop").changes)


@cache
def rolled(*names: str) -> Result:
    """The workshop's jet with changes laid over it."""
    return simulate_setup(prepare(sim.load_scenario("workshop", changes=names)).setup)


def at(event: str, *names: str) -> sim.Event:
    """An event that has to be there."""
    found = rolled(*names).event(event)
    assert found is not None, (event, names)
    return found


def test_eight_changes_each_with_hours_and_all_but_the_throw_with_masses() -> None:
    changes = sim.load_scenario("workshop").changes
    assert len(changes) == 8
    for name, change in changes.items():
        assert change.text and change.hours is not None and change.cost is not None, name
        assert change.added or name == "more-throw"


def test_together_all_eight_go_and_take_off_in_the_strip() -> None:
    assert rolled(*CHANGES).event("lift-off") is not None


@pytest.mark.parametrize(
    "name", ["long-nose-leg", "mains-forward", "inboard-flaps", "hot-motor", "tail-spar"]
)
def test_cures_of_the_trade_lower_the_place_of_lift_off(name: str) -> None:
    """Common practice, no source."""
    assert at("lift-off", name).distance < at("lift-off").distance - 5.0


def test_mains_forward_and_flaps_lower_the_rotation_speed() -> None:
    """Common practice, no source."""
    alone = at("nose-wheel-off").airspeed
    assert at("nose-wheel-off", "mains-forward").airspeed < alone - 1.0
    assert at("nose-wheel-off", "inboard-flaps").airspeed < alone - 1.0


def test_changes_together_gain_more_than_the_best_single_one() -> None:
    """Common practice, no source."""
    pair = at("lift-off", "mains-forward", "inboard-flaps").distance
    assert pair < min(at("lift-off", name).distance for name in ("mains-forward", "inboard-flaps"))


def test_more_motor_gives_more_thrust_and_more_current_still() -> None:
    """Common practice, no source: 10 % more Kv, +8 to 21 % static thrust, +18 to 33 % current."""
    before = prepare(sim.load_scenario("workshop")).coefficients
    after = prepare(sim.load_scenario("workshop", changes=("hot-motor",))).coefficients
    thrust = after["static_thrust_N"] / before["static_thrust_N"]
    current = after["current_A"] / before["current_A"]
    assert 1.08 < thrust < 1.21 and 1.18 < current < 1.33 and current > thrust


def test_large_wheels_on_legs_moved_leave_the_cg_short_by_what_the_file_tells() -> None:
    """By hand: 212 g less 148 g counted 40 mm too far aft, in 3.19 kg."""
    names = ("large-wheels", "mains-forward")
    masses = prepare(sim.load_scenario("workshop", changes=names)).masses
    assert masses is not None
    extra = 0.212 - 0.148
    true = masses.total.station - extra * (0.690 - 0.650) / masses.total.mass
    assert 1000.0 * (masses.total.station - true) == pytest.approx(0.8, abs=0.05)
    moved = [row for row in masses.rows if row.change == "mains-forward"]
    wheels = {row.item: row.mass for row in masses.rows if row.change == "large-wheels"}
    assert sum(row.mass for row in moved) == pytest.approx(0.034)
    assert moved[0].mass == wheels["main wheels and legs, old"]
    assert "small wheels" in sim.load_scenario("workshop").changes["mains-forward"].text


def test_the_light_pack_is_set_back_to_keep_the_balance() -> None:
    masses = prepare(sim.load_scenario("workshop", changes=("light-pack",))).masses
    assert masses is not None
    assert masses.total.mass == pytest.approx(3.08 - 0.145)
    assert masses.total.station == pytest.approx(masses.base.station, abs=1e-3)
