"""Take-off distance factors of full-size light aeroplanes, as trends.

UK CAA Safety Sense Leaflet 7c, Aeroplane Performance (2013) [second-hand]: take-off distance to
50 ft grows with +10 % weight 1.20, +1000 ft 1.10, +10 degC 1.10, dry grass 1.20, wet grass 1.30,
2 % uphill 1.10, tailwind of 10 % of lift-off speed 1.20, soft ground 1.25 or more. They are round
numbers meant to be on the safe side; ours is one invented aeroplane. Bands are wide and one-sided
reasons stand beside each.
"""

import math
from functools import cache

import pytest

from tests.documents import Document, laid, read, rolled

TOURER = """
title = "light tourer, four seats"
[aeroplane]
mass = "1100 kg"
pitch_inertia = "1800 kg*m^2"
cg = { station = "0 m", height = "1.2 m" }
[aeroplane.coefficients]
reference_area = "16 m^2"
reference_chord = "1.5 m"
lift_at_zero = 0.65
lift_slope = 4.6
max_lift = 2.0
moment_at_zero = -0.06
lift_point = { station = "50 mm", height = "1.7 m" }
drag_at_zero_lift = 0.042
induced_drag_factor = 0.055
tail_lift_slope = 0.45
tail_lift_per_elevator = -0.45
tail_lift_per_pitch_rate = 2.6
tail_max_lift = 0.25
tail_point = { station = "4.4 m", height = "1.3 m" }
throw = { up = "20 deg", down = "15 deg" }
throw_rate = "40 deg/s"
[aeroplane.gear]
main = { station = "0.5 m", axle_height = "0.22 m", wheel_diameter = "0.44 m" }
nose = { station = "-1.3 m", axle_height = "0.22 m", wheel_diameter = "0.44 m" }
[power]
kind = "measured"
static_thrust = "3400 N"
zero_thrust_airspeed = "80 m/s"
spool_time = "1 s"
power_at_start = "100 %"
[strip]
rolling_resistance = 0.03
length = "900 m"
screen_height = "15 m"
[air]
temperature = "15 degC"
elevation = "0 ft"
[pilot]
pull_at = "26 m/s"
climb_attitude = "14 deg"
gain = 5.0
lead = "0.5 s"
"""
PULL, THRUST, MASS, LIFT_OFF = 26.0, 3400.0, 1100.0, 29.0


def tourer(weight: float = 1.0, density: float = 1.0, thrust: float = 1.0) -> Document:
    """The tourer flown by the book: same indicated speed, raised with the root of the weight.

    `density` is relative to sea level; the pull is written as a true airspeed.
    """
    return laid(
        read(TOURER),
        aeroplane__mass=f"{MASS * weight!r} kg",
        pilot__pull_at=f"{PULL * math.sqrt(weight / density)!r} m/s",
        power__static_thrust=f"{THRUST * thrust!r} N",
    )


def screen(document: Document) -> float:
    """Distance from rest to 15 m above the strip [m]."""
    event = rolled(document).event("screen-height")
    assert event is not None
    return event.distance


@cache
def base() -> float:
    """The same at sea level on pavement, calm, 15 degC [m]."""
    return screen(tourer())


def factor(document: Document) -> float:
    """Take-off distance against the base."""
    return screen(document) / base()


def engine(density: float) -> float:
    """Power left to an engine without supercharger, `sigma - (1 - sigma)/7.55` [-].

    Gagg & Farrar (1934), from memory; 1000 ft, sigma 0.9711, gives 0.967.
    """
    return density - (1.0 - density) / 7.55


def thrust_left(density: float) -> float:
    """Thrust at a given airspeed from that power: T ~ P^(2/3) sigma^(1/3), momentum theory."""
    return float(engine(density) ** (2 / 3) * density ** (1 / 3))


def test_base_is_a_believable_tourer() -> None:
    result = rolled(tourer())
    off = result.event("lift-off")
    assert result.verdict == "airborne" and off is not None
    assert 200.0 < off.distance < 400.0 < base() < 700.0
    assert off.airspeed == pytest.approx(LIFT_OFF, abs=2.0)


def test_ten_per_cent_weight() -> None:
    # 1.20 in the leaflet, 1.23 here. Speed squared and mass each bring 10 % of ground roll, 1.21;
    # the climb with less excess of thrust adds to it.
    assert 1.17 < factor(tourer(weight=1.1)) < 1.32


def test_thousand_feet() -> None:
    # 1.10 in the leaflet. Air thinner by 2.9 % raises the true speed: 1.034 here. The rest is the
    # engine, which the program does not know: thrust is as given. With the thrust of an engine
    # without supercharger laid in by hand it is 1.073.
    sigma = 0.9711  # ISO 2533 at 304.8 m [computed]
    air_only = factor(laid(tourer(density=sigma), air__elevation="1000 ft"))
    both = factor(laid(tourer(density=sigma, thrust=thrust_left(sigma)), air__elevation="1000 ft"))
    assert 1.02 < air_only < 1.05
    assert 1.06 < both < 1.12


def test_ten_degrees() -> None:
    # 1.10 in the leaflet; density falls by 3.4 %, so it is the same story as 1000 ft: 1.032 by the
    # air, 1.078 with the engine's loss.
    sigma = 288.15 / 298.15
    air_only = factor(laid(tourer(density=sigma), air__temperature="25 degC"))
    both = factor(
        laid(tourer(density=sigma, thrust=thrust_left(sigma)), air__temperature="25 degC")
    )
    assert 1.02 < air_only < 1.06
    assert 1.07 < both < 1.14


def test_two_per_cent_uphill() -> None:
    # 1.10 in the leaflet, 1.12 here: 0.02 g against an acceleration of about 0.2 g, and the 15 m
    # are measured from a strip that goes on rising.
    assert 1.06 < factor(laid(tourer(), strip__slope="2 %")) < 1.20


def test_tailwind_of_a_tenth_of_lift_off_speed() -> None:
    # 1.20 in the leaflet, 1.16 here: a ground speed higher by a tenth is 1.21 of ground roll but
    # only 1.1 of climb.
    tailwind = factor(laid(tourer(), air__headwind=f"{-0.1 * LIFT_OFF} m/s"))
    assert 1.13 < tailwind < 1.25


@pytest.mark.parametrize(
    "resistance, low, high",
    [
        # Got 1.04, 1.21, 1.13, 1.53 in this order. Leaflet: dry grass 1.20. Hard turf 0.05:
        # Raymer, Table 17.1 [second-hand].
        # Long grass (20 cm in the leaflet) 0.10: widely repeated [from memory].
        pytest.param(0.05, 1.02, 1.20, id="hard turf"),
        pytest.param(0.10, 1.10, 1.35, id="long dry grass"),
        # Leaflet: wet grass 1.30; Raymer's 0.08 [second-hand] does not bring as much. The leaflet's
        # figure is on the safe side and leaves room for water and soft earth under the grass.
        pytest.param(0.08, 1.07, 1.30, id="wet grass"),
        # Leaflet: soft ground 1.25 or more; 0.10-0.30 [from memory], 0.15 here.
        pytest.param(0.15, 1.20, 2.00, id="soft ground"),
    ],
)
def test_surfaces(resistance: float, low: float, high: float) -> None:
    assert low < factor(laid(tourer(), strip__rolling_resistance=resistance)) < high


def test_factors_multiply() -> None:
    # The leaflet multiplies factors. Weight and slope together are a little more than the product:
    # each eats the same excess of thrust.
    weight = factor(tourer(weight=1.1))
    slope = factor(laid(tourer(), strip__slope="2 %"))
    both = factor(laid(tourer(weight=1.1), strip__slope="2 %"))
    assert both == pytest.approx(weight * slope, rel=0.06)
    assert both > weight * slope
