"""Where a value is looked for when nobody says: a range around what the scenario has."""

import math

from sim.scenario import Scenario
from sim.scenario.problems import fail
from sim.study.knobs import Knob, current_value

STATION_SHARE = 0.25
"""Stations and heights move by this share of the wheelbase either way."""
ANGLE = math.radians(15.0)
"""Angles move by this either way [rad]."""
FLAPS = (0.0, math.radians(40.0))
"""Flaps go from up to as far down as they help [rad]."""
WIND = 6.0
"""Wind moves by this either way [m/s]."""
TEMPERATURE = 25.0
"""Temperatures move by this either way [K]."""
SLOPE = 0.06
"""The slope of the strip moves by this either way [-]."""
SHARE = (0.5, 2.0)
"""Everything else goes from half to twice of what it is."""


def usual_range(scenario: Scenario, knob: Knob) -> tuple[float, float]:
    """Both ends [SI], within the bounds of the key.

    A trigger goes from the start of the strip to its end, from zero to 1.5 times its airspeed or
    twice its time, a surface through its range of resistance.

    Raises
    ------
    ScenarioError
        When the scenario has no value for the key, or it is zero and nothing tells a scale.

    """
    now = current_value(scenario, knob)
    low, high = _around(scenario, knob, now)
    low, high = max(low, knob.low), min(high, knob.high)
    if knob.form == "whole":
        low, high = math.ceil(low), math.floor(high)
    if not low < high:
        raise fail(knob.key, "no range", "--between FROM:TO: nothing here tells where to look")
    return low, high


def _around(scenario: Scenario, knob: Knob, now: float | None) -> tuple[float, float]:
    """Before the bounds of the key; nothing, 1 to 0, where there is no telling."""
    fixed = {"surface": (-1.0, 1.0), "place": (0.0, scenario.strip.length)}
    if knob.form in fixed:
        return fixed[knob.form]
    if "flaps." in knob.key and knob.dimension == "angle":
        return min(FLAPS[0], now or 0.0), max(FLAPS[1], now or 0.0)
    if now is None:
        return 1.0, 0.0
    step = _step(scenario, knob)
    if step is not None:
        return now - step, now + step
    if now == 0.0:
        narrow = knob.high - knob.low <= 4.0
        return (knob.low, knob.high) if narrow else (1.0, 0.0)
    shares = {"airspeed": (0.0, 1.5), "time": (0.0, 2.0)}.get(knob.form, SHARE)
    low, high = (share * now for share in shares)
    return min(low, high), max(low, high)


def _step(scenario: Scenario, knob: Knob) -> float | None:
    """Distance to look either way, for keys whose zero means nothing [SI]."""
    if knob.dimension == "length" and knob.key.endswith(("station", "height")):
        gear = scenario.aeroplane.gear
        return STATION_SHARE * abs(gear.main.station - gear.nose.station)
    if knob.key.endswith("slope") and knob.dimension == "fraction":
        return SLOPE
    steps = {"angle": ANGLE, "speed": WIND, "temperature": TEMPERATURE}
    return steps.get(knob.dimension) if knob.form == "number" else None
