"""The least certain numbers are shown as ranges, each end simulated."""

import pytest

import sim
from sim.prepare import prepare
from sim.roll.verdict import Verdict
from sim.show.terminal_assumptions import assumption_lines
from sim.study.ranges import range_setups


def test_more_rolling_resistance_lifts_off_later_and_both_ends_are_told() -> None:
    report = sim.make_report(sim.load_scenario("meadow-jet"))
    grass = next(e for e in report.ranges if e.name == "rolling resistance")
    lift_off = report.result.event("lift-off")
    assert lift_off is not None
    # mown grass 0.09 to 0.20 for 75 mm, by hand for the 70 mm mains: root of 75/70 is 1.03510
    assert grass.low.value == pytest.approx(0.02 + 0.07 * 1.03510, abs=1e-6)
    assert grass.high.value == pytest.approx(0.06 + 0.14 * 1.03510, abs=1e-6)
    assert grass.low.lift_off_place < lift_off.distance < grass.high.lift_off_place
    line = next(
        text for text in assumption_lines(report) if "uncertain: rolling resistance" in text
    )
    assert f"{grass.low.lift_off_place:.1f} m" in line
    assert f"{grass.high.lift_off_place:.1f} m" in line


def test_a_weaker_tail_lifts_off_later_where_the_tail_decides() -> None:
    report = sim.make_report(sim.load_scenario("small-tail-flaps"))
    tail = next(e for e in report.ranges if e.name.startswith("largest lift of the tail"))
    assert tail.low.value < report.prepared.setup.parameters.tail_max_lift < tail.high.value
    assert tail.high.lift_off_place < tail.low.lift_off_place


def test_a_measured_resistance_is_not_a_range() -> None:
    scenario = sim.load_scenario("meadow-jet", ["strip.rolling_resistance=0.12"])
    report = sim.make_report(scenario)
    assert [e.name for e in report.ranges] == ["largest lift of the tail, on the wing's area"]
    assert report.result.verdict is Verdict.AIRBORNE


def test_at_both_ends_each_axle_has_its_own_wheel() -> None:
    """Mains of 70 mm, nose wheel of 65 mm: the part above pavement goes with 1/sqrt(D)."""
    ends = range_setups(prepare(sim.load_scenario("meadow-jet")))[:2]
    for (name, value, setup), firm, table in zip(ends, (0.02, 0.06), (0.09, 0.20), strict=True):
        p = setup.parameters
        assert name == "rolling resistance" and p.main_friction == value
        assert (p.main_friction - firm) * 0.070**0.5 == pytest.approx((table - firm) * 0.075**0.5)
        assert (p.nose_friction - firm) * 0.065**0.5 == pytest.approx((table - firm) * 0.075**0.5)
