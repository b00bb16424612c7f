"""One report for every verdict: the jets that the other tests of the show room look at."""

from functools import lru_cache

import numpy as np
import pytest

from sim.prepare.prepared import Estimate, Prepared
from sim.report import Report, build_report
from sim.roll.verdict import Verdict
from tests.jets import jet

CALM = dict(
    aft_z=0.1, law_gain=1.0, climb_attitude=np.radians(4), law_lead=1.0, main_x=-0.08
)  # a steady hand and a tail out of the way
HELD_DOWN = CALM | dict(
    wing_max_lift_up=2.0, hold_elevator=np.radians(-12), pull_place=45.0,
    flap_start=np.radians(30), pull_elevator=np.radians(2),
)  # fmt: skip
JETS = {
    Verdict.SITS_ON_TAIL: dict(main_x=0.02),
    Verdict.DOES_NOT_MOVE: dict(main_friction=1.0, nose_friction=1.0),
    Verdict.ABORTED: dict(abort_place=30.0),
    Verdict.LEAPS_AND_STALLS: dict(law_on=0.0),
    Verdict.SETTLES_BACK: dict(aft_z=0.1, law_gain=0.4, climb_attitude=0.0, main_x=-0.08),
    Verdict.SCRAPES_TAIL: dict(law_gain=0.4),
    Verdict.WHEELBARROWS: HELD_DOWN,
    Verdict.NEVER_ROTATES: dict(pull_elevator=0.0, main_x=-0.2),
    Verdict.TOO_SLOW: dict(static_thrust=9.0),
    Verdict.AIRBORNE_TOO_LATE: CALM | dict(strip_length=30.0),
    Verdict.AIRBORNE: CALM | dict(headwind=2.0),
}
"""What is changed on the jet of the tests to bring each verdict about."""

ESTIMATE = Estimate("aeroplane.pitch_inertia", 0.18, "inertia", "from mass and length")


@lru_cache
def report_of(verdict: Verdict, with_advice: bool = True) -> Report:
    """The report of the jet with that verdict; built once."""
    prepared = Prepared(
        f"Jet of the tests, {verdict}",
        jet(**JETS[verdict]),
        estimates=(ESTIMATE,),
        notes=("Small wheels on grass: measure it.",),
        coefficients={"wing_area_m2": 0.33},
        resolve=lambda: {"title": "Jet of the tests", "aeroplane": {"mass_kg": 3.2}},
        track=0.31,
        attitude_to_fly=0.15,
        resistance_range=(0.09, 0.2),
        tail_limit_range=(0.12, 0.18),
        span=1.0,
    )
    return build_report(prepared, with_advice=with_advice)


@lru_cache
def dragging_report() -> Report:
    """Mains close to the CG, pulled early and held: it rolls on with its tail on the ground."""
    setup = jet(main_x=-0.03, pull_place=5.0, law_on=0.0, wing_max_lift_up=1.6)
    return build_report(Prepared("Jet dragging its tail", setup), with_advice=False)


@pytest.mark.parametrize("verdict", list(Verdict))
def test_there_is_a_jet_for_every_verdict(verdict):
    assert report_of(verdict).result.verdict == verdict
