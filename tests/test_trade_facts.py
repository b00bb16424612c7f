"""Trade facts of ducted-fan model jets on mown grass as directions of effect.

Common practice, no source: mains about 140 mm behind the CG give a high rotation speed and a
large pitch jump at lift-off; 50 mm further forward lowers both; flaps near the root lower the
rotation speed; changes together gain more than the best of them alone. The pitch acceleration is
the one as the last wheel leaves: its load is zero there, so across lift-off it is continuous.
With a pilot who holds an attitude, peak rates depend on the pilot, so the stick is held here.
"""

from functools import cache
from typing import Any

import pytest

from sim.roll.result import Event, Result
from tests.documents import laid, read, rolled

HERON = """
title = "Heron, an invented jet of 1 m span, mains 140 mm behind the CG"
[aeroplane]
mass = "3.3 kg"
length = "1.22 m"
body = { width = "120 mm", depth = "115 mm" }
cg = { station = "500 mm", height = "2 mm" }
scrape_point = { station = "1150 mm", height = "20 mm" }
[aeroplane.wing]
span = "1.00 m"
root_chord = "460 mm"
tip_chord = "190 mm"
sweep = "22 deg"
root_leading_edge = { station = "350 mm", height = "-5 mm" }
incidence = "1 deg"
section = { name = "symmetrical", thickness = "9 %", max_lift = 1.05 }
[aeroplane.wing.flaps]
kind = "plain"
inboard = "75 mm"
outboard = "300 mm"
chord_fraction = 0.22
deflection = "0 deg"
[aeroplane.tail]
kind = "all-moving"
span = "480 mm"
root_chord = "190 mm"
tip_chord = "110 mm"
sweep = "28 deg"
root_leading_edge = { station = "900 mm", height = "10 mm" }
pivot = { station = "985 mm" }
section = { name = "symmetrical", thickness = "6 %", max_lift = 0.9 }
throw = { up = "12 deg", down = "10 deg" }
[aeroplane.gear]
main = { station = "640 mm", axle_height = "-120 mm", wheel_diameter = "70 mm" }
nose = { station = "170 mm", axle_height = "-126 mm", wheel_diameter = "65 mm" }
[power]
kind = "measured"
static_thrust = "24 N"
zero_thrust_airspeed = "72 m/s"
spool_time = "0.6 s"
thrust_line = { height = "5 mm" }
[strip]
surface = "mown grass"
length = "150 m"
[air]
temperature = "18 degC"
[pilot]
pull_at = "20 m"
holds_attitude = false
"""
MAINS = {"aeroplane__gear__main__station": "590 mm"}
FLAPS = {"aeroplane__wing__flaps__deflection": "15 deg"}
THRUST = {"power__static_thrust": "27.6 N"}  # +15 %, as 10 % more motor speed per volt brings
GRASS = {"strip__surface": "short grass"}
TOGETHER = MAINS | FLAPS | THRUST | GRASS


@cache
def _roll(changes: tuple[tuple[str, str], ...]) -> Result:
    return rolled(laid(read(HERON), **dict(changes)))


def roll(**changes: Any) -> Result:
    """The heron with changes; the lattice is solved once for each."""
    return _roll(tuple(changes.items()))


def event(result: Result, name: str) -> Event:
    """An event that must have happened."""
    found = result.event(name)
    assert found is not None
    return found


@pytest.mark.parametrize(
    "change", [MAINS, FLAPS, THRUST, GRASS], ids=["mains", "flaps", "thrust", "grass"]
)
def test_each_change_shortens_the_ground_roll(change: dict[str, str]) -> None:
    before, after = event(roll(), "lift-off"), event(roll(**change), "lift-off")
    assert after.distance < before.distance - 3.0


def test_together_they_gain_more_than_the_best_alone() -> None:
    places = [event(roll(**c), "lift-off").distance for c in (MAINS, FLAPS, THRUST, GRASS)]
    assert event(roll(**TOGETHER), "lift-off").distance < min(places) - 3.0


def test_mains_forward_and_flaps_lower_the_rotation_speed() -> None:
    speeds = [event(roll(**c), "nose-wheel-off").airspeed for c in ({}, MAINS, FLAPS)]
    assert speeds[1] < speeds[0] - 1.0
    assert speeds[2] < speeds[0] - 0.5


def test_thrust_leaves_the_rotation_speed_nearly_alone() -> None:
    # The forward acceleration helps the nose up, the thrust above the axles holds it down.
    speeds = [event(roll(**c), "nose-wheel-off").airspeed for c in ({}, THRUST)]
    assert speeds[1] == pytest.approx(speeds[0], rel=0.02)


def test_mains_forward_make_rotation_gentler_with_the_stick_held() -> None:
    stations = ("640 mm", "615 mm", "590 mm")
    rolls = [roll(aeroplane__gear__main__station=s) for s in stations]
    jumps = [r.figures["jump"] for r in rolls]
    peaks = [r.figures["rate_peak"] for r in rolls]
    rates = [event(r, "lift-off").pitch_rate for r in rolls]
    assert jumps[0] > jumps[1] > jumps[2] > 0.0
    assert peaks[0] > peaks[1] > peaks[2] > 0.0
    assert rates[0] > rates[1] > rates[2] > 0.0
    assert jumps[2] < 0.8 * jumps[0]


def test_pitch_acceleration_is_continuous_across_lift_off() -> None:
    result = roll()
    trace = result.trace
    assert trace is not None
    off = event(result, "lift-off").time
    near = abs(trace["time"] - off) < 2e-4
    assert near.sum() >= 2
    around = trace["pitch_acceleration"][near]
    assert around == pytest.approx(result.figures["jump"], rel=0.02)
