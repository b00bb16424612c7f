"""A tail that gives way: named as the cause only where a stiff one would raise the nose."""

import pytest

from sim.prepare import prepare
from sim.report import Report, build_report
from sim.roll.verdict import Verdict
from sim.scenario import load_scenario
from sim.show.units import formatter
from sim.study.advice import tail_stiff

KEY = "aeroplane.tail.twist_per_newton"


def report(*keys: str, advice: bool = False) -> Report:
    return build_report(prepare(load_scenario("workshop", keys)), with_advice=advice)


def words(found: Report) -> str:
    return found.reason.text(formatter())


def test_a_floppy_tail_is_named_where_a_stiff_one_would_rotate() -> None:
    floppy, stiff = report(f"{KEY}=1 deg/N"), report(f"{KEY}=0 deg/N")
    assert floppy.result.verdict == Verdict.TOO_SLOW
    assert floppy.outlook.floppy(floppy.result) and "gives way" in words(floppy)
    off = stiff.result.event("nose-wheel-off")
    assert off is not None and floppy.outlook.stiff is not None
    assert floppy.outlook.stiff.nose_off == pytest.approx(off.distance, abs=1e-6)
    assert floppy.outlook.stiff.needed == pytest.approx(stiff.outlook.needed, rel=1e-9)
    assert floppy.outlook.needed > floppy.outlook.stiff.needed + 5.0


def test_it_is_not_named_when_stiffness_would_not_help() -> None:
    heavy = "aeroplane.gear.main.station=800 mm"
    found = report(f"{KEY}=0.3 deg/N", heavy)
    assert found.result.verdict in (Verdict.TOO_SLOW, Verdict.NEVER_ROTATES)
    assert found.outlook.stiff is not None and not found.outlook.floppy(found.result)
    assert "gives way" not in words(found)


def test_it_is_not_named_when_the_nose_comes_up() -> None:
    found = report(f"{KEY}=0.12 deg/N")
    assert found.result.event("nose-wheel-off") is not None and "gives way" not in words(found)


def test_a_stiff_tail_has_no_twin() -> None:
    found = report(f"{KEY}=0 deg/N")
    assert found.outlook.stiff is None and tail_stiff(found.prepared) is None


def test_stiffness_is_one_of_the_trials_and_its_metres_are_those_of_the_roll() -> None:
    base, stiff = report(advice=True), report(f"{KEY}=0 deg/N")
    gain = {a.change.template: a.gain for a in base.advice}[
        "a tail that does not give way under its load"
    ]
    places = [r.result.event("lift-off").distance for r in (base, stiff)]  # type: ignore[union-attr]
    assert gain == pytest.approx(places[0] - places[1], abs=1e-6) and gain > 5.0
