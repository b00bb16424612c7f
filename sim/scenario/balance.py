"""Mass and balance as written: one of its roads, whole, and a CG the aeroplane can hold."""

from collections.abc import Iterator, Mapping

from sim.aeroplane.weighing import Wheels, level_station, nose_axle_height, tilted_height
from sim.scenario.facts import Facts
from sim.scenario.merging import value_at
from sim.scenario.problems import NOTHING, Problem
from sim.scenario.units import quantity_text

WEIGHING = "aeroplane.weighing"
TILTED = f"{WEIGHING}.tilted"
GIVEN_HEIGHTS = (
    "aeroplane.wing.root_leading_edge.height",
    "aeroplane.tail.root_leading_edge.height",
    "aeroplane.scrape_point.height",
    "power.thrust_line.height",
)


def balance(facts: Facts) -> Iterator[Problem]:
    """Keys missing from mass and CG or from the weighing, and a height that cannot be."""
    if not isinstance(facts.data.get("aeroplane"), Mapping):
        return
    if not facts.given(WEIGHING):
        yield from _mass_and_station(facts)
    elif isinstance(value_at(facts.data, WEIGHING), Mapping):
        yield from _mains(facts)
        yield from _height(facts)


def _mass_and_station(facts: Facts) -> Iterator[Problem]:
    if not facts.given("aeroplane.mass"):
        allowed = 'a mass with its unit, such as "3.2 kg", or a table weighing instead'
        yield Problem("aeroplane.mass", NOTHING, allowed)
    cg = value_at(facts.data, "aeroplane.cg")
    if not facts.given("aeroplane.cg.station") and (cg is None or isinstance(cg, Mapping)):
        allowed = 'a length with its unit, such as "550 mm", or a table aeroplane.weighing instead'
        yield Problem("aeroplane.cg.station", NOTHING, allowed)


def _mains(facts: Facts) -> Iterator[Problem]:
    sides = [f"{WEIGHING}.main_left", f"{WEIGHING}.main_right"]
    missing = [side for side in sides if not facts.given(side)]
    if facts.given(f"{WEIGHING}.mains"):
        return
    if len(missing) == 2:
        yield Problem(f"{WEIGHING}.mains", NOTHING, "mains, or main_left and main_right")
    for side in missing if len(missing) == 1 else ():
        yield Problem(side, NOTHING, "both main_left and main_right, or mains alone")


def wheels_of(facts: Facts) -> Wheels | None:
    """The axles it was weighed on, None when one cannot be told."""
    gear = f"{WEIGHING}.gear" if facts.given(f"{WEIGHING}.gear") else "aeroplane.gear"
    names = ("station", "axle_height", "wheel_diameter")
    main = facts.get(*(f"{gear}.main.{name}" for name in names))
    nose = facts.get(f"{gear}.nose.station", f"{gear}.nose.wheel_diameter")
    if main is None or nose is None:
        return None
    heights, attitude = facts.get(f"{gear}.nose.axle_height"), facts.get(f"{gear}.ground_attitude")
    if heights:
        return Wheels(nose[0], heights[0], main[0], main[1])
    if not attitude:
        return None
    height = nose_axle_height((main[0], main[1], main[2]), (nose[0], nose[1]), attitude[0])
    return Wheels(nose[0], height, main[0], main[1])


def _height(facts: Facts) -> Iterator[Problem]:
    """A CG below the axles, or above everything that is known, is a slip in the weighing."""
    tilted = facts.get(f"{TILTED}.angle", f"{TILTED}.nose")
    nose = facts.get(f"{WEIGHING}.nose")
    mains = facts.get(f"{WEIGHING}.mains")
    mains = mains or facts.get(f"{WEIGHING}.main_left", f"{WEIGHING}.main_right")
    wheels = wheels_of(facts)
    if not (tilted and nose and mains and wheels) or wheels.nose_station >= wheels.main_station:
        return
    mass = nose[0] + sum(mains)
    station = level_station(nose[0], sum(mains), wheels)
    height = tilted_height(station, tilted[1] / mass, tilted[0], wheels)
    low, high = _reach(facts, wheels)
    if not low <= height <= high:
        text, lowest, highest = (quantity_text(h, "length") for h in (height, low, high))
        yield facts.problem(
            f"{TILTED}.nose",
            f"a reading that puts the CG between the axles and the top of the aeroplane"
            f" ({lowest} to {highest}, not {text}): check the angle and both weighings",
        )


def _reach(facts: Facts, wheels: Wheels) -> tuple[float, float]:
    """Lowest and highest height the CG can have [m]."""
    axles = [wheels.nose_height, wheels.main_height]
    known = [h[0] for h in map(facts.get, GIVEN_HEIGHTS) if h]
    depth = facts.get("aeroplane.body.depth")
    spare = depth[0] if depth else 0.5 * (wheels.main_station - wheels.nose_station)
    return min(axles), max(axles + known) + spare
