"""What no single key can show: measurements that contradict each other.

Works on the readings of a scenario, so that it speaks up even when other keys are wrong.
A CG behind the main wheels is not a mistake: the roll answers it with a verdict.
"""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from sim.scenario.balance import balance
from sim.scenario.facts import Facts
from sim.scenario.merging import ALTERNATIVES, NEEDED, value_at
from sim.scenario.power import ThrustPoint
from sim.scenario.power_checks import power
from sim.scenario.problems import NOTHING, Problem, shown
from sim.scenario.units import quantity_text

GEOMETRY_KEYS = ("wing", "tail", "length", "body", "scrape_point")
SAME = 0.01
"""Share by which two statements of static thrust may differ."""


def contradictions(data: Mapping[str, Any], values: Mapping[str, Any]) -> list[Problem]:
    """Everything that contradicts itself in a scenario, in the order of the file."""
    facts = Facts(data, values)
    return [problem for check in CHECKS for problem in check(facts)]


def _alternatives(facts: Facts) -> Iterator[Problem]:
    for sides in ALTERNATIVES:
        there = [side for side in sides if any(facts.given(path) for path in side)]
        names = " or ".join(" and ".join(p.rpartition(".")[2] for p in side) for side in sides)
        first = sides[0][0]
        table = first.rpartition(".")[0]
        if not table or not isinstance(value_at(facts.data, table), dict):
            continue
        if len(there) > 1:
            path = next(path for path in there[1] if facts.given(path))
            yield facts.problem(path, f"only one of {names}")
        elif not there and first in NEEDED:
            yield Problem(first, NOTHING, f"exactly one of {names}")


def _geometry_road(facts: Facts) -> Iterator[Problem]:
    if facts.given("aeroplane.coefficients") or not (
        facts.given("aeroplane.wing") or facts.given("aeroplane.tail")
    ):
        return
    for key in GEOMETRY_KEYS:
        if not facts.given(f"aeroplane.{key}"):
            yield facts.problem(f"aeroplane.{key}", "needed beside wing and tail")


def _measured_drag(facts: Facts) -> Iterator[Problem]:
    path = "aeroplane.drag"
    if facts.given("aeroplane.coefficients") and facts.given(path):
        yield facts.problem(path, "left out beside coefficients, which hold the drag")


def _flaps(facts: Facts) -> Iterator[Problem]:
    wing = "aeroplane.wing"
    inboard, outboard = f"{wing}.flaps.inboard", f"{wing}.flaps.outboard"
    ends = facts.get(f"{wing}.span", outboard)
    if ends and ends[1] >= 0.5 * ends[0]:
        half = quantity_text(0.5 * ends[0], "length")
        yield facts.problem(outboard, f"less than half the span ({half})")
    ends = facts.get(inboard, outboard)
    if ends and ends[0] >= ends[1]:
        yield facts.problem(inboard, f"less than outboard ({quantity_text(ends[1], 'length')})")
    drop = "pilot.drop_flaps"
    fitted = facts.given(f"{wing}.flaps") or facts.given("aeroplane.coefficients")
    if facts.given(drop) and not fitted:
        yield facts.problem(drop, "left out when the wing has no flaps")


def _tail(facts: Facts) -> Iterator[Problem]:
    kind = facts.values.get("aeroplane.tail.kind")
    path = "aeroplane.tail.elevator_chord_fraction"
    if kind == "hinged" and not facts.given(path):
        yield facts.problem(path, 'needed when kind is "hinged": a plain number such as 0.35')
    if kind == "all-moving" and facts.given(path):
        yield facts.problem(path, 'left out when kind is "all-moving"')


def _order(facts: Facts) -> Iterator[Problem]:
    gear = "aeroplane.gear"
    main, nose = f"{gear}.main.station", f"{gear}.nose.station"
    stations = facts.get(main, nose)
    if stations and stations[1] >= stations[0]:
        text = quantity_text(stations[0], "length")
        yield facts.problem(nose, f"a station ahead of the main wheels (less than {text})")
    stations = facts.get(main, "aeroplane.scrape_point.station")
    if stations and stations[1] <= stations[0]:
        text = quantity_text(stations[0], "length")
        yield facts.problem(
            "aeroplane.scrape_point.station", f"a station behind the main wheels (more than {text})"
        )
    stations = facts.get(nose, "aeroplane.cg.station", main)
    if stations and stations[1] <= stations[0] < stations[2]:
        text = quantity_text(stations[0], "length")
        yield facts.problem(
            "aeroplane.cg.station", f"a station behind the nose wheel (more than {text})"
        )


def ground_attitude(facts: Facts) -> float | None:
    """Pitch of the reference line on three wheels [rad], None when it cannot be told.

    Both wheels touch: `dx sin(theta) + dz cos(theta) = dR`, nose less main, radii R.
    """
    gear = "aeroplane.gear"
    given = facts.get(f"{gear}.ground_attitude")
    if given:
        return given[0]
    names = ("station", "axle_height", "wheel_diameter")
    main = facts.get(*(f"{gear}.main.{name}" for name in names))
    nose = facts.get(*(f"{gear}.nose.{name}" for name in names))
    if not main or not nose or nose[0] >= main[0]:
        return None
    dx, dz, dr = main[0] - nose[0], nose[1] - main[1], 0.5 * (nose[2] - main[2])
    # beyond a ratio of one the smaller wheel hangs inside the larger: told as a wrong attitude
    ratio = min(1.0, max(-1.0, dr / math.hypot(dx, dz)))
    return math.asin(ratio) - math.atan2(dz, dx)


def _stance(facts: Facts) -> Iterator[Problem]:
    theta = ground_attitude(facts)
    names = ("station", "axle_height", "wheel_diameter")
    main = facts.get(*(f"aeroplane.gear.main.{name}" for name in names))
    if theta is None or main is None:
        return
    if abs(theta) > math.radians(30.0):
        text = quantity_text(theta, "angle")
        allowed = f"axle heights that leave the aeroplane within 30 deg of level (not {text})"
        yield facts.problem("aeroplane.gear.nose.axle_height", allowed)
        return
    for part, name in (("scrape_point", "the scrape point"), ("cg", "the CG")):
        place = facts.get(f"aeroplane.{part}.station", f"aeroplane.{part}.height")
        if place is None:
            continue
        ahead, above = main[0] - place[0], place[1] - main[1]
        gap = ahead * math.sin(theta) + above * math.cos(theta) + 0.5 * main[2]
        if gap < 0.0:
            below = quantity_text(-gap, "length")
            lowest = quantity_text(place[1] - gap / math.cos(theta), "length")
            yield facts.problem(
                f"aeroplane.{part}.height",
                f"more than {lowest}: standing on its wheels {name} is {below} below the ground",
            )


def _tails_of_coefficients(facts: Facts) -> Iterator[Problem]:
    road = "aeroplane.coefficients"
    per_elevator = f"{road}.tail_lift_per_elevator"
    lift = facts.get(per_elevator)
    if lift and lift[0] > 0.0:
        yield facts.problem(per_elevator, "zero or negative: up elevator lowers the tail's lift")
    terms = ("at_zero", "slope", "per_elevator", "per_pitch_rate")
    has_tail = any(facts.values.get(f"{road}.tail_lift_{term}", 0.0) for term in terms)
    if has_tail and not facts.given(f"{road}.tail_point"):
        yield facts.problem(f"{road}.tail_point", "needed when the tail has lift")
    if facts.values.get(per_elevator, 0.0) and not facts.given(f"{road}.throw"):
        yield facts.problem(f"{road}.throw", "needed when the elevator has an effect")


CHECKS: tuple[Callable[[Facts], Iterator[Problem]], ...] = (
    _alternatives,
    balance,
    _geometry_road,
    _measured_drag,
    _order,
    _stance,
    _flaps,
    _tail,
    _tails_of_coefficients,
    power,
)


def point_contradictions(
    points: Sequence[ThrustPoint], static_thrust: float | None
) -> list[Problem]:
    """Thrust points out of order, or against the static thrust beside them."""
    problems = []
    for i in range(1, len(points)):
        if points[i].airspeed <= points[i - 1].airspeed:
            given = quantity_text(points[i].airspeed, "speed")
            before = quantity_text(points[i - 1].airspeed, "speed")
            key = f"power.points[{i + 1}].airspeed"
            problems.append(Problem(key, shown(given), f"more than the point before ({before})"))
    first = points[0]
    if first.thrust <= 0.0:
        given = shown(quantity_text(first.thrust, "force"))
        problems.append(Problem("power.points[1].thrust", given, "thrust forward at first"))
    stated = static_thrust if static_thrust and first.airspeed <= 0.0 else first.thrust
    if abs(first.thrust - stated) > SAME * abs(stated):
        allowed = f"the static thrust again ({quantity_text(stated, 'force')})"
        given = shown(quantity_text(first.thrust, "force"))
        problems.append(Problem("power.points[1].thrust", given, allowed))
    return problems
