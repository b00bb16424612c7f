"""What is taken as uncertain when nobody says: judgements, each with its reason, no source."""

from dataclasses import dataclass, replace

from sim.prepare.prepared import Prepared
from sim.scenario import Scenario
from sim.study.distributions import Varied, varied_of
from sim.study.knobs import SURFACE_KEY, current_value, knob_of


@dataclass(frozen=True)
class Usual:
    """A default: the first of these keys that has a value, its tolerance, and why."""

    keys: tuple[str, ...]
    tolerance: str
    why: str


USUAL_SPREAD: tuple[Usual, ...] = (
    Usual((SURFACE_KEY,), "low..typical..high", "the range of the surface"),
    Usual(
        ("power.static_thrust", "power.bench.thrust"), "+/- 3 %",
        "a scale, the air, how fresh the pack is",
    ),
    Usual(("aeroplane.mass",), "+/- 1 %", "a kitchen scale"),
    Usual(("aeroplane.cg.station",), "+/- 3 mm", "balanced on two fingers"),
    Usual(
        ("aeroplane.tail.section.max_lift", "aeroplane.tail.section.surface_max_lift",
         "aeroplane.coefficients.tail_max_lift"), "+/- 15 %", "nobody has measured it",
    ),
    Usual(("air.headwind",), "+/- 1 m/s", "it breathes"),
    Usual(("pilot.pull_at",), "", "a pilot's eye"),
)  # fmt: skip
"""Judgements, no source; those whose key the scenario leaves out are left as they are."""
PULL_TOLERANCES = {"place": "+/- 2 m", "airspeed": "+/- 1 m/s", "time": "+/- 0.3 s"}


def usual_spread(
    scenario: Scenario, prepared: Prepared
) -> tuple[tuple[Varied, ...], tuple[str, ...]]:
    """Defaults that this scenario has the keys for, and what was left alone."""
    estimated = {e.key: e.value for e in prepared.estimates}
    found, left = [], []
    for usual in USUAL_SPREAD:
        one = next(filter(None, (_try(scenario, k, usual, estimated) for k in usual.keys)), None)
        if one is None or (one.knob.key == SURFACE_KEY and prepared.resistance_range is None):
            left.append(f"{usual.keys[0]} as it is: not a number of its own in this scenario")
        else:
            found.append(one)
    return tuple(found), tuple(left)


def _try(scenario: Scenario, key: str, usual: Usual, estimated: dict[str, float]) -> Varied | None:
    knob = knob_of(scenario, key)
    value = current_value(scenario, knob)
    value = estimated.get(key) if value is None else value
    if value is None:
        return None
    tolerance = usual.tolerance or PULL_TOLERANCES[knob.form]
    middle = "" if ".." in tolerance else f"{knob.text(value)} "
    one = varied_of(scenario, f"{key}={middle}{tolerance}", usual.why)
    return replace(one, text=f"{key}={tolerance}")
