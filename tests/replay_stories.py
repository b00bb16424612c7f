"""Stories of rolls for the tests of the replay page."""

from copy import deepcopy
from functools import cache
from typing import Any

from sim.prepare import prepare
from sim.report import Report, build_report
from sim.scenario import load_scenario
from sim.show.replay.story import story

ROLLS = {"works": "meadow-jet", "fails": "long-grass"}
"""What the rolls are for -> shipped scenario."""

BREAKS_OUT = (
    "</script><script>window.broken = 1</script><!-- <img src=x onerror=broken=1> ]]> & \u2028"
)


@cache
def stories() -> dict[str, dict[str, Any]]:
    """One roll that works and one that does not; callers leave them as they are."""
    return {name: story(report_of(scenario)) for name, scenario in ROLLS.items()}


def report_of(scenario: str) -> Report:
    """Report of a shipped scenario, without what other changes would bring."""
    return build_report(prepare(load_scenario(scenario)), with_advice=False)


def hostile(told: dict[str, Any]) -> dict[str, Any]:
    """The story with words that try to become part of the page."""
    bad = deepcopy(told)
    for name in ("title", "verdict", "verdict_words", "reason"):
        bad[name] = f"{BREAKS_OUT} {name}"
    for record in (*bad["events"], *bad["balance"]):
        record["words"] = BREAKS_OUT
    for unit in bad["units"].values():
        unit["unit"] = BREAKS_OUT
    bad["cautions"] = [BREAKS_OUT]
    return bad
