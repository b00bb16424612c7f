"""Two thousand scenarios drawn by hypothesis around the default jet: whole answers, no hang.

What is drawn here can be shrunk to the smallest scenario that fails; the wider, seeded draw with
every verdict counted stands in `test_random_scenarios.py`.
"""

from collections import Counter
from math import isfinite

import numpy as np
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from sim.prepare import prepare
from sim.roll.events import End
from sim.roll.result import simulate_many
from sim.roll.verdict import Verdict
from sim.scenario import ScenarioError, load_scenario, with_overrides

BASE = load_scenario("meadow-jet")
BATCH, EXAMPLES = 25, 84
SEEN: Counter[Verdict] = Counter()


def number(low: float, high: float, unit: str) -> st.SearchStrategy[str]:
    """A quantity as a builder would write it."""
    return st.floats(low, high).map(lambda value: f"{value:.4g}{unit}")


KEYS = {
    "aeroplane.mass": number(1.0, 6.0, " kg"),
    "aeroplane.gear.main.station": number(555.0, 720.0, " mm"),
    "aeroplane.gear.nose.axle_height": number(-138.0, -104.0, " mm"),
    "aeroplane.tail.throw.up": number(0.0, 25.0, " deg"),
    "aeroplane.tail.flap_mix": number(-0.2, 0.2, ""),
    "aeroplane.tail.section.max_lift": number(0.3, 1.3, ""),
    "aeroplane.tail.twist_per_newton": number(0.0, 0.3, " deg/N"),
    "aeroplane.wing.flaps.deflection": number(0.0, 45.0, " deg"),
    "aeroplane.wing.section.max_lift": number(0.7, 1.4, ""),
    "power.static_thrust": number(1.0, 50.0, " N"),
    "power.spool_time": st.one_of(st.just("0 s"), number(0.1, 2.0, " s")),
    "strip.surface": st.sampled_from(["pavement", "mown grass", "long grass", "soft ground"]),
    "strip.slope": number(-4.0, 6.0, " %"),
    "strip.length": number(15.0, 150.0, " m"),
    "air.headwind": number(-5.0, 8.0, " m/s"),
    "pilot.hold": number(-1.0, 1.0, ""),
    "pilot.pull": number(0.0, 1.0, ""),
    "pilot.pull_at": st.one_of(
        number(0.0, 80.0, " m"), number(0.0, 30.0, " m/s"), number(0.0, 8.0, " s")
    ),
    "pilot.gain": number(0.0, 1.5, ""),
    "pilot.holds_attitude": st.sampled_from(["true", "false"]),
    "pilot.climb_attitude": number(2.0, 18.0, " deg"),
    "pilot.rolling_start": number(0.0, 8.0, " m/s"),
    "pilot.abort_at": number(2.0, 60.0, " m"),
}
CHANGES = st.fixed_dictionaries({}, optional=KEYS)


@settings(
    max_examples=EXAMPLES,
    derandomize=True,
    deadline=None,
    phases=(Phase.generate, Phase.shrink),
    suppress_health_check=list(HealthCheck),
)
@given(st.lists(CHANGES, min_size=BATCH, max_size=BATCH))
def _roll(batches: list[dict[str, str]]) -> None:
    setups = []
    for changes in batches:
        try:
            scenario = with_overrides(BASE, [f"{key}={text}" for key, text in changes.items()])
        except ScenarioError as error:  # a stance that cannot be, told in the user's words
            assert error.problems
            continue
        setups.append(prepare(scenario).setup)
    many = simulate_many(setups)
    assert np.isfinite(many.outcome.states).all()
    for lane in range(len(setups)):
        result = many.result(lane)
        assert result.end is not End.RUNNING
        assert 0.0 <= result.figures["end_time"] <= 90.0 + 1e-9
        for event in (*result.events, *result.also):
            assert isfinite(event.distance) and isfinite(event.nose_load)
    SEEN.update(many.verdicts)


def test_scenarios_of_every_kind_end_with_a_verdict_and_whole_numbers() -> None:
    SEEN.clear()
    _roll()
    print({verdict.value: SEEN[verdict] for verdict in Verdict}, SEEN.total())
    assert SEEN.total() >= 2000
    assert len(SEEN) >= 8
