"""What was believed before anything was measured: the keys a fit may move, and how far.

A key asked for with a tolerance of its own has that; else the usual uncertainty of the scenario
(`sim.study.usual_spread`, the range of the surface) or a judgement of this page.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from sim.prepare.prepared import Prepared
from sim.scenario import Scenario
from sim.scenario.problems import fail
from sim.strip.reading import Measured
from sim.study.distributions import varied_of
from sim.study.knobs import Knob, current_value, knob_of
from sim.study.usual_spread import USUAL_SPREAD

RESISTANCE = "strip.rolling_resistance"
GRIP = "tow tests and coast-downs"
"""Where it is known from, if they were done."""
TOLERANCES: dict[str, str] = {
    **{key: usual.tolerance for usual in USUAL_SPREAD for key in usual.keys if usual.tolerance},
    "power.static_thrust": "+/- 10 %",
    "power.bench.thrust": "+/- 10 %",
    "aeroplane.drag.zero_lift": "+/- 30 %",
    "aeroplane.wing.section.max_lift": "+/- 15 %",
    "aeroplane.wing.section.surface_max_lift": "+/- 15 %",
    "aeroplane.tail.effectiveness": "+/- 30 %",
}
"""Judgements, no source. Thrust is wider than for one day's spread: the pack, the intake in the
grass and the scale all count."""
USUAL_KEYS = (RESISTANCE, "power.static_thrust", "power.bench.thrust")
"""Fitted when nobody says: those of them the scenario has."""


@dataclass(frozen=True)
class Prior:
    """A key and what it was believed to be [SI]."""

    knob: Knob
    believed: Measured
    text: str


def priors_of(
    scenario: Scenario, prepared: Prepared, texts: Sequence[str], grip: Measured | None = None
) -> tuple[Prior, ...]:
    """Read the keys of a fit, `KEY` or `KEY=VALUE +/- TOLERANCE`; the usual ones when none.

    Parameters
    ----------
    scenario, prepared
        what they are keys of.
    texts
        as asked for.
    grip
        rolling resistance measured by tow tests and coast-downs, if it was.

    Raises
    ------
    ScenarioError
        For keys that cannot be turned, without a value or a tolerance, or twice.

    """
    asked = list(texts) or [key for key in USUAL_KEYS if _has(scenario, key)]
    found = tuple(_prior(scenario, prepared, text, grip) for text in asked)
    keys = [prior.knob.key for prior in found]
    for key in keys:
        if keys.count(key) > 1:
            raise fail(key, "given twice", "each key once")
    return found


def _has(scenario: Scenario, key: str) -> bool:
    return key == RESISTANCE or current_value(scenario, knob_of(scenario, key)) is not None


def _prior(scenario: Scenario, prepared: Prepared, text: str, grip: Measured | None) -> Prior:
    key, equals, _ = (part.strip() for part in text.partition("="))
    if equals:
        varied = varied_of(scenario, text)
        believed = Measured(varied.distribution.middle, varied.distribution.deviation)
        return Prior(varied.knob, believed, text)
    knob = knob_of(scenario, key)
    if key == RESISTANCE:
        return _resistance(knob, prepared, grip)
    tolerance = TOLERANCES.get(key)
    if tolerance is None:
        raise fail(key, "no tolerance", f'"{key}=VALUE +/- TOLERANCE": how well is it known?')
    value = current_value(scenario, knob)
    if value is None:
        value = {e.key: e.value for e in prepared.estimates}.get(key)
    if value is None:
        raise fail(key, "no value", f'"{key}=VALUE +/- TOLERANCE": the scenario leaves it out')
    varied = varied_of(scenario, f"{key}={knob.text(value)} {tolerance}")
    believed = Measured(varied.distribution.middle, varied.distribution.deviation)
    return Prior(varied.knob, believed, f"{tolerance} (judgement)")


def _resistance(knob: Knob, prepared: Prepared, grip: Measured | None) -> Prior:
    """From tow tests and coast-downs, else the range it has: a quarter of it either way."""
    if grip is not None:
        return Prior(knob, grip, GRIP)
    middle = float(prepared.setup.parameters.main_friction)
    if prepared.resistance_range is None:
        return Prior(knob, Measured(middle, 0.25 * middle), "+/- 25 % (judgement)")
    low, high = prepared.resistance_range
    return Prior(knob, Measured(middle, 0.25 * (high - low)), "the range of the surface")
