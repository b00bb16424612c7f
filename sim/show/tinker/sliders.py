"""The sliders of a scenario: which keys, in plain words, from where to where."""

from dataclasses import dataclass, replace
from math import floor, log10
from typing import Any

from sim.checks.stance import stance
from sim.prepare.prepared import Prepared
from sim.scenario import Scenario, ScenarioError, with_overrides
from sim.show.tinker.balance import STATION, kept_of_weighing, weighed_station
from sim.study.knobs import Knob, current_value, knob_of
from sim.study.usual_range import usual_range

WORDS: dict[str, str] = {
    "aeroplane.gear.main.station": "main wheels, station",
    "aeroplane.gear.ground_attitude": "ground attitude, by the nose leg",
    "aeroplane.cg.station": "CG, station",
    "aeroplane.wing.flaps.deflection": "flap deflection",
    "aeroplane.tail.throw.up": "up throw of the tail",
    "aeroplane.coefficients.throw.up": "up throw of the tail",
    "power.static_thrust": "static thrust",
    "power.bench.thrust": "thrust on the bench",
    "strip.rolling_resistance": "rolling resistance, all wheels",
    "air.headwind": "headwind",
    "pilot.pull_at": "pull at",
}
"""Keys that have a slider where the scenario has them -> plain words, in the order shown."""
OF_WEIGHED = " (set by hand, in place of the weighing)"
"""Behind the words of the CG where the scenario has a weighing."""
OF_CHANGED = ", without the changes"
"""Behind the words of the CG where the scenario has changes, which bring masses of their own."""
STEPS = 200
"""A slider has about so many steps."""


@dataclass(frozen=True)
class Slider:
    """One slider; numbers in the unit of `unit`.

    Attributes
    ----------
    knob: the key behind it.
    words: what it is.
    unit: as written in a file, "" for plain numbers.
    low, high, step: of the slider.
    value: as loaded.
    decimals: of a text made from its place.

    """

    knob: Knob
    words: str
    unit: str
    low: float
    high: float
    step: float
    value: float
    decimals: int

    def record(self) -> dict[str, Any]:
        """For the page."""
        return {
            "key": self.knob.key,
            "words": self.words,
            "unit": self.unit,
            "low": self.low,
            "high": self.high,
            "step": self.step,
            "decimals": self.decimals,
        }


def sliders_of(scenario: Scenario, prepared: Prepared, system: str = "si") -> tuple[Slider, ...]:
    """Sliders for the keys of `WORDS` that this scenario can be altered by."""
    found = (_slider(scenario, prepared, key, system) for key in WORDS)
    return tuple(slider for slider in found if slider is not None)


def places(
    sliders: tuple[Slider, ...], scenario: Scenario, prepared: Prepared, system: str = "si"
) -> dict[str, float]:
    """Where the sliders of an altered scenario stand, by key, in their units."""
    found = {}
    for slider in sliders:
        value = _now(scenario, prepared, slider.knob)
        if value is not None:
            shown = slider.knob.display(value, _units(system)).value
            found[slider.knob.key] = round(shown, slider.decimals + 2)
    return found


def _slider(scenario: Scenario, prepared: Prepared, key: str, system: str) -> Slider | None:
    """None where the key means nothing to the scenario, or nothing tells where to look."""
    knob = knob_of(scenario, key)
    now = _now(scenario, prepared, knob)
    if now is None or _without_effect(prepared, key):
        return None
    try:
        kept = kept_of_weighing(scenario, prepared) if key == STATION else []
        whole = with_overrides(scenario, [*kept, knob.override(now)])
        low, high = usual_range(whole, replace(knob))
    except ScenarioError:
        return None
    units = _units(system)
    ends = sorted(knob.display(end, units).value for end in (low, high))
    step, decimals = _round_step((ends[1] - ends[0]) / STEPS)
    here = knob.display(now, units)
    inner = [round(end / step) * step for end in ends]
    return Slider(
        knob, _words(scenario, key), here.unit, round(inner[0], decimals),
        round(inner[1], decimals), step, here.value, decimals,
    )  # fmt: skip


def _words(scenario: Scenario, key: str) -> str:
    if key != STATION:
        return WORDS[key]
    changed = OF_CHANGED if scenario.changes else ""
    return WORDS[key] + changed + (OF_WEIGHED if scenario.aeroplane.weighing else "")


def _without_effect(prepared: Prepared, key: str) -> bool:
    """A pull that moves nothing may come when it likes."""
    p = prepared.setup.parameters
    return key == "pilot.pull_at" and p.pull_elevator == p.hold_elevator


def _now(scenario: Scenario, prepared: Prepared, knob: Knob) -> float | None:
    """What the key is, given or worked out [SI]."""
    given = current_value(scenario, knob)
    if given is not None:
        return given
    if knob.key == STATION:
        return weighed_station(scenario, prepared)
    parameters = prepared.setup.parameters
    if knob.key == "aeroplane.gear.ground_attitude":
        return stance(parameters).ground_attitude
    if knob.key == "strip.rolling_resistance":
        return float(parameters.main_friction)
    return None


def _round_step(least: float) -> tuple[float, int]:
    """A step of 1, 2 or 5 times a power of ten not smaller than `least`, and its decimals."""
    power = floor(log10(least))
    digit = next(n for n in (1, 2, 5, 10) if n * 10.0**power >= 0.999 * least)
    decimals = max(0, -power - (digit == 10))
    return round(digit * 10.0**power, decimals), decimals


def _units(system: str) -> str:
    return "imperial" if system == "imperial" else "metric"
