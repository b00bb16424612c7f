"""Ground rolls with a known answer: textbook problems and the closed form, through scenarios.

All of them roll an aeroplane whose forces act at its CG; the speed to be reached is written as
the airspeed of the pull, and the answer read at the event `pull`.
"""

import math

import numpy as np
import pytest

from sim.roll.result import Event, Result
from tests.documents import Document, laid, rolled, trolley

G = 9.80665
RHO = 1.225
FOOT, POUND = 0.3048, 0.45359237
SLUG_PER_FT3 = 14.593902937 / FOOT**3


def distance(a: float, b: float, speed: float, start: float = 0.0) -> float:
    """Place at which a speed is reached when dV/dt = a + b V^2 [m]; separation of variables."""
    if b == 0.0:
        return (speed**2 - start**2) / (2.0 * a)
    return math.log((a + b * speed**2) / (a + b * start**2)) / (2.0 * b)


def duration(a: float, b: float, speed: float) -> float:
    """Time from rest to a speed, b < 0 [s]."""
    return math.atanh(speed * math.sqrt(-b / a)) / math.sqrt(-a * b)


def pull(result: Result) -> Event:
    """Where the speed asked for was reached."""
    event = result.event("pull")
    assert event is not None
    return event


def quadratic_drag(drag: float) -> Event:
    """1000 kg, 2 m/s2 of thrust, `drag` times V^2 [m/s2] against it, to 250 km/h."""
    area = 100.0
    document = trolley(
        "1000 kg",
        "2000 N",
        0.0,
        "250 km/h",
        reference_area="100 m^2",
        drag_at_zero_lift=2000.0 * drag / (RHO * area),
    )
    return pull(rolled(document))


def test_dynamics_text_problem_without_drag() -> None:
    # A standard problem of dynamics texts: a = 2 m/s2 to 250 km/h, printed 1206 m [read];
    # exactly 1205.63 m and 34.722 s [computed].
    event = quadratic_drag(0.0)
    assert round(event.distance) == 1206
    assert event.distance == pytest.approx((250 / 3.6) ** 2 / 4.0, rel=1e-7)
    assert event.distance == pytest.approx(1205.63, abs=0.005)
    assert event.time == pytest.approx(34.722, abs=0.0005)


def test_dynamics_text_problem_with_drag() -> None:
    # The same with a = 2 - 4e-5 V^2: printed 1268 m [read]; 1267.81 m, 35.908 s [computed].
    event = quadratic_drag(4e-5)
    assert round(event.distance) == 1268
    assert event.distance == pytest.approx(1267.81, abs=0.005)
    assert event.time == pytest.approx(35.908, abs=0.0005)
    assert event.distance == pytest.approx(distance(2.0, -4e-5, 250 / 3.6), rel=1e-6)
    assert event.time == pytest.approx(duration(2.0, -4e-5, 250 / 3.6), rel=1e-6)


@pytest.mark.parametrize("headwind", [0.0, 4.0])
@pytest.mark.parametrize("resistance", [0.0, 0.12])
@pytest.mark.parametrize("lift", [0.0, 0.5])
def test_closed_form_all_along(headwind: float, resistance: float, lift: float) -> None:
    # a = T/m - mu g + rho S/(2m) (mu CL - CD) U^2, CD = CD0 + k CL^2 [computed]. Without wind the
    # whole trace must follow the closed form; with wind the roll starts at U = headwind and the
    # ground distance is that of the closed form less headwind times time.
    mass, thrust, area, k = 4.0, 30.0, 0.4, 0.08
    document = laid(
        trolley(
            f"{mass} kg",
            f"{thrust} N",
            resistance,
            "11 m/s",
            reference_area=f"{area} m^2",
            lift_at_zero=lift,
            drag_at_zero_lift=0.05,
            induced_drag_factor=k,
        ),
        air__headwind=f"{headwind} m/s",
    )
    result = rolled(document)
    drag = 0.05 + k * lift**2
    a = thrust / mass - resistance * G
    b = 0.5 * RHO * area / mass * (resistance * lift - drag)
    assert result.trace is not None
    till = result.trace["time"] <= pull(result).time
    air = result.trace["airspeed"][till]
    time = np.array([duration(a, b, u) - duration(a, b, headwind) for u in air])
    place = np.array([distance(a, b, u, headwind) for u in air]) - headwind * time
    assert air[-1] == pytest.approx(11.0, rel=1e-6)
    assert result.trace["time"][till] == pytest.approx(time, rel=1e-5, abs=1e-6)
    assert result.trace["distance"][till] == pytest.approx(place, rel=1e-5, abs=1e-6)


def twin_jet() -> Document:
    """Anderson, Aircraft Performance and Design (1999), Example 6.6, as printed."""
    area = 73000.0 / 76.84
    # Thrust is held at its value for 0.7 V_LO, which the book folds into K_T = T/W - mu = 0.301.
    thrust = (0.301 + 0.04) * 73000.0 * POUND * G
    document = trolley(
        "73000 lb",
        f"{thrust!r} N",
        0.04,
        f"{205.1 * FOOT!r} m/s",
        reference_area=f"{area * FOOT**2!r} m^2",
        lift_at_zero=0.1,
        drag_at_zero_lift=0.015 + 0.0177,
        induced_drag_factor=0.02 + 0.588 / (math.pi * 0.9 * 5.92),
    )
    return laid(document, strip__length="1000 m")


def test_twin_jet_ground_roll_as_printed() -> None:
    # Anderson, Example 6.6: K_A -4.525e-7, roll 2,242 ft [read]. The book's formula is the exact
    # integral for constant thrust, so nothing but its rounding and its g of 32.2 ft/s2 (here
    # 32.174) stands between it and a roll: 32.2/32.174 is +0.08 % of distance, 1.8 ft.
    event = pull(rolled(twin_jet()))
    k_a = (
        -0.002377 / (2 * 76.84) * (0.0327 + (0.02 + 0.588 / (math.pi * 0.9 * 5.92)) * 0.01 - 0.004)
    )
    assert k_a == pytest.approx(-4.525e-7, abs=0.001e-7)
    with_our_g = distance(G / FOOT * 0.301, G / FOOT * k_a, 205.1)
    density = 0.002377 * SLUG_PER_FT3  # 1.2251, ours is 1.2250
    assert density == pytest.approx(RHO, rel=1e-3)
    assert event.distance / FOOT == pytest.approx(with_our_g, rel=2e-5)
    assert event.distance / FOOT * G / FOOT / 32.2 == pytest.approx(2242.0, abs=1.0)
    assert event.distance / FOOT == pytest.approx(2242.0, rel=1.5e-3)


def test_twin_jet_rotation_distance_leaves_out_acceleration() -> None:
    # The same example allows 3 s at V_LO for rotation: 615 ft, 2,857 ft in all [read]. An aeroplane
    # under way goes on accelerating at 0.282 g: 41 ft more in these 3 s [computed]. The program
    # rolls on; the printed figure is the first term of what it finds.
    result = rolled(twin_jet())
    assert result.trace is not None
    event = pull(result)
    later = np.interp(event.time + 3.0, result.trace["time"], result.trace["distance"])
    rotation = (later - event.distance) / FOOT
    slowing = 0.301 - 4.5243e-7 * 205.1**2
    assert round(3.0 * 205.1) == 615
    assert rotation == pytest.approx(3.0 * 205.1 + 4.5 * slowing * G / FOOT, abs=0.5)
    assert event.distance / FOOT + 615.3 == pytest.approx(2857.0, abs=3.5)


TUTORIAL_LIFT_OFF = 64.16
TUTORIAL_PHI = (16 * 1.2 / 15.8) ** 2 / (1 + (16 * 1.2 / 15.8) ** 2)
TUTORIAL_DENSITY = 1.2256


def tutorial(lift: float, drag: float) -> Document:
    """AER1011 Flight Physics, week 9; the air is ours, so areas are scaled by 1.2256/1.2250."""
    document = trolley(
        "10000 kg",
        "30 kN",
        0.02,
        f"{TUTORIAL_LIFT_OFF} m/s",
        reference_area=f"{56.0 * TUTORIAL_DENSITY / RHO!r} m^2",
        lift_at_zero=lift,
        drag_at_zero_lift=drag,
        induced_drag_factor=0.056,
        ground_effect_factor=TUTORIAL_PHI,
    )
    return document


def test_tutorial_one_point_average_against_integration() -> None:
    # AER1011 Flight Physics, week 9: V_LO 64.16 m/s, phi 0.5962, 789.41 m by the acceleration at
    # 0.7 V_LO [read]; the same constants integrate to 792.20 m [computed].
    #
    # Its wing carries CL = CLmax = 1.0 along the whole run, so that from the stall speed of
    # 53.5 m/s on lift is larger than weight and the rolling resistance "negative". No roll can
    # follow that. The distance is therefore checked with the same acceleration at every speed and
    # no lift: mu CL taken off the drag coefficient.
    assert round(TUTORIAL_PHI, 4) == 0.5962
    stall = math.sqrt(2 * 1e4 * 9.81 / (TUTORIAL_DENSITY * 56.0))
    assert 1.2 * stall == pytest.approx(TUTORIAL_LIFT_OFF, abs=0.005)
    net = 0.015 + TUTORIAL_PHI * 0.056 - 0.02
    a, b = 3.0 - 0.02 * 9.81, -0.5 * TUTORIAL_DENSITY * 56.0 * net / 1e4
    one_point = TUTORIAL_LIFT_OFF**2 / (2 * (a + b * (0.7 * TUTORIAL_LIFT_OFF) ** 2))
    assert one_point == pytest.approx(789.41, abs=0.1)
    assert distance(a, b, TUTORIAL_LIFT_OFF) == pytest.approx(792.20, abs=0.1)
    event = pull(rolled(tutorial(0.0, net)))
    assert event.distance == pytest.approx(distance(3.0 - 0.02 * G, b, TUTORIAL_LIFT_OFF), rel=1e-6)
    assert event.distance == pytest.approx(792.20, abs=0.15)  # 9.80665 for 9.81 shortens by 0.02 m
    assert abs(event.distance - 789.41) > 2.0  # and it is not the one-point average


def test_tutorial_with_its_own_lift_is_off_at_the_stall_speed() -> None:
    # The same tutorial with its lift left in: the wheels leave where lift equals weight, at
    # sqrt(2 m g/(rho S CL)) = 53.46 m/s, after the closed form's distance to that speed [computed].
    result = rolled(tutorial(1.0, 0.015))
    off = result.event("nose-wheel-off") or result.event("lift-off")
    assert off is not None
    leaves = math.sqrt(2 * 1e4 * G / (TUTORIAL_DENSITY * 56.0))
    assert off.airspeed == pytest.approx(leaves, rel=1e-3)
    net = 0.015 + TUTORIAL_PHI * 0.056 - 0.02
    b = -0.5 * TUTORIAL_DENSITY * 56.0 * net / 1e4
    assert off.distance == pytest.approx(distance(3.0 - 0.02 * G, b, off.airspeed), rel=1e-5)


@pytest.mark.parametrize("thrust, resistance", [(1000, 0.0), (3000, 0.05)])
def test_seventy_per_cent_rule(thrust: float, resistance: float) -> None:
    # Rule of general aviation, common practice without a source: give up when 70 % of lift-off
    # speed is not there at half the strip. Constant acceleration: sqrt(1/2) exactly [computed].
    document = trolley("1000 kg", f"{thrust} N", resistance, "40 m/s")
    whole = pull(rolled(document)).distance
    half = pull(rolled(laid(document, pilot__pull_at=f"{0.5 * whole!r} m")))
    assert half.airspeed / 40.0 == pytest.approx(math.sqrt(0.5), rel=1e-6)
