"""Coast-downs: closed forms against an integrator, by hand, and against the time-step core."""

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from sim.prepare import prepare
from sim.roll.parameters import NEVER
from sim.roll.result import simulate_setup
from sim.scenario import load_scenario
from sim.strip.coast_down import (
    CoastPastMarks,
    CoastToStop,
    place_after,
    reduce_past_marks,
    reduce_to_stop,
    resistance_in_time,
    resistance_past_marks,
    resistance_to_stop,
    slowing,
    stopping,
)
from sim.strip.reading import ImpossibleReading, Label, Measured, Roller
from sim.study.fit import roller_of

G = 9.80665
PLAIN = Roller(3.0, G, 0.8)
HERE = Label("coast_down[1]", {"speed": "8 m/s"})

AIRS: list[dict[str, float]] = [
    {"drag_per_square": 0.02},
    {"lift_per_square": 0.2, "drag_per_square": 0.01},  # B below zero
    {"lift_per_square": 0.1, "drag_per_square": 0.013},  # B exactly zero at 0.13
    {"drag_per_square": 0.02, "headwind": 3.0},
    {"drag_per_square": 0.02, "lift_per_square": 0.1, "headwind": -3.0, "slope": 0.02},
    {"drag_per_square": 0.02, "headwind": -12.0},  # never any air from ahead
    {"drag_per_square": 0.3, "slope": -0.03},
]


def integrated(mu: float, speed: float, roller: Roller) -> Any:
    """The same roll by scipy's integrator, from the forces themselves."""

    def rates(_: float, y: Any) -> list[float]:
        wind = y[1] + roller.headwind
        square = wind * wind if wind > 0.0 else 0.0
        load = roller.mass * G * math.cos(roller.slope) - roller.lift_per_square * square
        force = mu * load + roller.drag_per_square * square
        return [y[1], -force / roller.mass - G * math.sin(roller.slope)]

    def stopped(_: float, y: Any) -> float:
        return float(y[1])

    stopped.terminal = True  # type: ignore[attr-defined]
    return solve_ivp(
        rates, (0, 200), [0.0, speed], events=stopped, rtol=1e-10, atol=1e-12,
        max_step=0.1, dense_output=True,
    )  # fmt: skip


def test_without_air_it_is_the_schoolbook_case() -> None:
    """V^2/(2 mu g) and V/(mu g); slope adds its own share."""
    assert stopping(0.13, 8.0, PLAIN) == pytest.approx((32.0 / (0.13 * G), 8.0 / (0.13 * G)))
    assert place_after(0.13, 8.0, 2.0, PLAIN) == pytest.approx(16.0 - 2.0 * 0.13 * G)
    hill = replace(PLAIN, slope=math.atan(0.03))
    a = G * (0.13 * math.cos(hill.slope) + math.sin(hill.slope))
    assert slowing(0.13, hill) == pytest.approx((a, 0.0))
    assert stopping(0.13, 8.0, hill)[0] == pytest.approx(32.0 / a)


def test_a_handbook_case_of_drag_alone_growing_with_speed() -> None:
    """Closed form of a = A + B V^2, s = ln((A + B V1^2)/A)/(2 B): a standard text's result."""
    air = replace(PLAIN, drag_per_square=0.03)
    a, b = slowing(0.13, air)
    assert stopping(0.13, 9.0, air)[0] == pytest.approx(math.log1p(b * 81.0 / a) / (2.0 * b))


@pytest.mark.parametrize("air", AIRS)
def test_closed_forms_against_an_integrator(air: dict[str, float]) -> None:
    roller = replace(PLAIN, **air)
    other = integrated(0.13, 8.0, roller)
    distance, time = stopping(0.13, 8.0, roller)
    assert distance == pytest.approx(other.y[0, -1], rel=1e-8)
    assert time == pytest.approx(other.t[-1], rel=1e-8)
    for moment in (0.3 * time, 0.7 * time, 0.999 * time):
        assert place_after(0.13, 8.0, moment, roller) == pytest.approx(
            other.sol(moment)[0], abs=1e-7
        )
    assert place_after(0.13, 8.0, 2.0 * time, roller) == pytest.approx(distance)


@pytest.mark.parametrize("air", AIRS)
@pytest.mark.parametrize("mu", [0.05, 0.13, 0.4])
def test_the_root_finds_what_it_was_made_from(air: dict[str, float], mu: float) -> None:
    roller = replace(PLAIN, **air)
    distance, time = stopping(mu, 8.0, roller)
    assert resistance_to_stop(8.0, distance, roller) == pytest.approx(mu, abs=1e-9)
    assert resistance_in_time(8.0, time, roller) == pytest.approx(mu, abs=1e-9)
    marks = np.array([0.2, 0.4, 0.6]) * distance
    times = np.array(
        [brentq(lambda t, m=m: place_after(mu, 8.0, t, roller) - m, 0.0, time) for m in marks]
    )
    found = resistance_past_marks(marks, times, np.ones(3), roller)
    assert found == pytest.approx((mu, 8.0), abs=1e-6)


def test_signs() -> None:
    """The same stop means less rolling resistance with drag, uphill or against the wind; more
    with a lift that unloads the wheels."""

    def found(**air: float) -> float:
        return resistance_to_stop(8.0, 25.0, replace(PLAIN, **air))

    plain = found()
    assert found(drag_per_square=0.02) < plain
    assert found(slope=0.02) == pytest.approx(plain - 0.02, abs=5e-5)
    assert found(slope=-0.02) > plain
    assert found(lift_per_square=0.1) > plain
    assert found(drag_per_square=0.02, headwind=3.0) < found(drag_per_square=0.02)


def test_what_never_stops_is_endless() -> None:
    downhill = replace(PLAIN, slope=-0.2)
    assert stopping(0.1, 8.0, downhill) == (math.inf, math.inf)


def core_roll(headwind: float, slope: str) -> tuple[Any, float, float]:
    """The meadow jet rolling out without thrust in the time-step core, and where it stops."""
    overrides = ["strip.rolling_resistance=0.13", f"air.headwind={headwind} m/s"]
    prepared = prepare(load_scenario("meadow-jet", [*overrides, f"strip.slope={slope}"]))
    p = replace(
        prepared.setup.parameters, static_thrust=0.0, initial_speed=9.0, strip_length=1e4,
        pull_place=NEVER, pull_airspeed=NEVER, pull_time=NEVER, abort_place=NEVER,
        abort_airspeed=NEVER,
    )  # fmt: skip
    stop = simulate_setup(replace(prepared.setup, parameters=p)).event("stop")
    assert stop is not None
    return prepared, stop.distance, stop.time


@pytest.mark.parametrize(("headwind", "slope"), [(0.0, "0 %"), (2.0, "1 %"), (-2.0, "-1 %")])
def test_the_time_step_core_coasts_down_alike(headwind: float, slope: str) -> None:
    """Two roads: contact solver and integrator there, closed form with constant lift here."""
    prepared, distance, time = core_roll(headwind, slope)
    roller = roller_of(prepared)
    assert resistance_to_stop(9.0, distance, roller) == pytest.approx(0.13, abs=2e-5)
    assert resistance_in_time(9.0, time, roller) == pytest.approx(0.13, abs=2e-5)


def test_uncertainty_of_a_stop_by_hand() -> None:
    """mu ~ V^2/s: 5 % of speed is 10 % of mu, 0.1 m of 25 m is 0.4 %."""
    reading = CoastToStop(HERE, Measured(8.0, 0.4), distance=Measured(25.0, 0.1))
    reduced = reduce_to_stop(reading, PLAIN)
    assert reduced.value() == pytest.approx(32.0 / (25.0 * G))
    assert reduced.deviation() / reduced.value() == pytest.approx(math.hypot(0.1, 0.004), rel=1e-3)
    timed = reduce_to_stop(CoastToStop(HERE, Measured(8.0, 0.4), time=Measured(6.0, 0.1)), PLAIN)
    assert timed.value() == pytest.approx(8.0 / (6.0 * G))
    assert timed.deviation() / timed.value() == pytest.approx(math.hypot(0.05, 1 / 60), rel=1e-3)


def past(marks: list[float], times: list[float], spread: float = 0.02) -> CoastPastMarks:
    return CoastPastMarks(
        HERE,
        tuple(Measured(m, 0.01) for m in marks),
        tuple(Measured(t, spread) for t in times),
    )


def test_two_marks_are_exact_by_hand() -> None:
    """5 m in 0.7 s, 10 m in 1.6 s: V = 5/0.7 + 0.35 a, 10 = 1.6 V - 1.28 a."""
    a = (1.6 * 5 / 0.7 - 10) / (1.28 - 1.6 * 0.35)
    reduced = reduce_past_marks(past([5, 10], [0.7, 1.6]), PLAIN)
    assert reduced.value() == pytest.approx(a / G, rel=1e-6)
    assert reduced.deviation() > 0.0


def test_more_marks_are_better_than_two() -> None:
    full = [place_after(0.13, 8.0, t, PLAIN) for t in (1.0, 2.0, 3.0, 4.0)]
    two = reduce_past_marks(past([full[1], full[3]], [2.0, 4.0]), PLAIN)
    four = reduce_past_marks(past(full, [1.0, 2.0, 3.0, 4.0]), PLAIN)
    assert four.value() == pytest.approx(0.13, abs=1e-6)
    assert four.deviation() < two.deviation()


def test_a_roll_that_speeds_up_is_refused_one_within_its_clock_is_not() -> None:
    with pytest.raises(ImpossibleReading, match="slows down"):
        reduce_past_marks(past([5, 10], [1.6, 2.3]), PLAIN)
    assert reduce_past_marks(past([5, 10], [1.0, 1.99]), PLAIN).value() < 0.0


def test_a_speed_at_which_it_flies_is_refused() -> None:
    light = replace(PLAIN, lift_per_square=0.2)
    with pytest.raises(ImpossibleReading, match="lift off"):
        reduce_to_stop(CoastToStop(HERE, Measured(13.0, 0.1), distance=Measured(80, 1)), light)
