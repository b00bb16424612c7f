"""Checks of the parts of whole scenarios: loads agree with the roll, limits are the builder's."""

import math
from functools import lru_cache

import numpy as np
import pytest

from sim.aeroplane.hinge import moment_per_angle_at_lift, moment_per_lift
from sim.aeroplane.span_load import span_loads
from sim.checks.finding import Finding, Standing
from sim.checks.spar import MATERIALS
from sim.prepare import prepare
from sim.prepare.parts import Parts
from sim.report import Report, build_report
from sim.roll.aero_table import TAIL_LIFT, WING_LIFT
from sim.scenario import ScenarioError, load_scenario, parse_scenario
from sim.study.strength import findings, hardest, kept, modulus, over_the_stick, servo_moment
from sim.study.strength_air import (
    flap_moment,
    in_level_flight,
    in_the_roll,
    shapes_of_roll,
    spread,
    tail_moment,
)

LIMITS = "aeroplane.limits"


@lru_cache(maxsize=32)
def report(name: str = "workshop", *keys: str, changes: tuple[str, ...] = ()) -> Report:
    return build_report(prepare(load_scenario(name, keys, changes)), with_advice=False)


def parts(found: Report) -> Parts:
    assert found.prepared.parts is not None
    return found.prepared.parts()


def by_name(found: Report) -> dict[str, Finding]:
    return {f.name: f for f in findings(found)}


def test_lattice_strips_add_up_to_the_coefficients_of_the_roll() -> None:
    """Free air, stiff tail, no stall: what is spread is what the table says."""
    for name in ("flaps-25", "workshop"):
        jet = report(name, "aeroplane.tail.twist_per_newton=0 deg/N")
        plane, setup = parts(jet).plane, jet.prepared.setup
        assert plane is not None
        at = in_level_flight(setup, np.array([25.0, 40.0]), 0.05, (0.2, 0.18))
        free, area = setup.table.values[0], setup.parameters.reference_area
        for load, rows in zip(span_loads(plane), (WING_LIFT, TAIL_LIFT), strict=True):
            whole = 2.0 * at.pressure * (load.lift @ at.inputs).sum(axis=0)
            assert whole == pytest.approx(at.pressure * area * (free[rows] @ at.inputs), rel=1e-9)


def test_lattice_of_the_roll_carries_what_the_roll_carries() -> None:
    """Near the ground, the tail stiff: lag, interpolation and stall leave under a twentieth."""
    jet = report("workshop", "aeroplane.tail.twist_per_newton=0 deg/N")
    plane, at = parts(jet).plane, in_the_roll(jet, (0.0, 0.0))
    assert plane is not None
    load = shapes_of_roll(jet, plane)[1]
    row = int(np.argmax(np.abs(at.tail)))
    linear = 2.0 * at.pressure[row] * float((load.lift @ at.inputs[:, row]).sum())
    assert linear == pytest.approx(at.tail[row], rel=0.05)
    assert 2.0 * spread(load, at, at.tail).strips.sum(axis=0) == pytest.approx(at.tail, abs=1e-9)


def test_level_flight_carries_the_weight() -> None:
    jet = report()
    p, setup = jet.prepared.setup.parameters, jet.prepared.setup
    at = in_level_flight(setup, np.array([30.0]), 0.0)
    assert at.wing + at.tail == pytest.approx(p.mass * p.gravity, rel=2e-3)
    up = in_level_flight(setup, np.array([30.0]), 0.1)
    assert up.tail < at.tail and up.wing < at.wing + 1.0  # up elevator pushes the tail down


def test_a_floppy_tail_carries_less_and_a_stalled_one_no_more_than_it_can() -> None:
    stiff, soft = (report("workshop", f"aeroplane.tail.twist_per_newton={t} deg/N") for t in (0, 1))
    swept = [over_the_stick(r, np.array([50.0])) for r in (stiff, soft)]
    loads = [abs(float(hardest(at).tail[0])) for at in swept]
    assert loads[1] < 0.5 * loads[0]
    p = soft.prepared.setup.parameters
    most = 0.5 * p.air_density * 25.0 * p.reference_area * p.tail_max_lift
    slow = in_level_flight(stiff.prepared.setup, np.array([5.0]), p.elevator_up_limit)
    assert abs(float(slow.tail[0])) <= most * (1.0 + 1e-12)


def test_a_tail_that_stalls_is_loaded_most_before_the_stick_is_full_over() -> None:
    """The load told is its largest lift, 0.5 rho V^2 S C_max, not what a stalled tail carries."""
    jet = report("tail-stall", f"{LIMITS}.top_speed=45 m/s")
    p, plane, top = jet.prepared.setup.parameters, parts(jet).plane, np.array([45.0])
    assert plane is not None
    told = by_name(jet)["tail lift, full stick at top speed"]
    most = 0.5 * p.air_density * 45.0**2 * p.reference_area * p.tail_max_lift
    assert told.value == pytest.approx(most, rel=2e-3)
    stops = [
        in_level_flight(jet.prepared.setup, top, float(stick))
        for stick in (p.elevator_up_limit, -p.elevator_down_limit)
    ]
    assert all(abs(float(at.tail[0])) < 0.8 * told.value for at in stops)
    assert told.note is not None and "stalls it" in told.note.template
    assert servo_moment(plane, over_the_stick(jet, top)) > 1.1 * servo_moment(plane, tuple(stops))
    note = by_name(report())["tail lift, full stick at top speed"].note
    assert note is not None and "stalls it" not in note.template


def test_authority_kept_by_hand() -> None:
    jet = report()
    p, slope = jet.prepared.setup.parameters, jet.prepared.setup.table.values[0, TAIL_LIFT.stop + 6]
    area = 0.5 * p.air_density * 50.0**2 * p.reference_area
    assert kept(jet, 50.0) == pytest.approx(1.0 / (1.0 + area * slope * math.radians(0.12)))


def test_bending_lies_near_that_of_an_elliptic_load() -> None:
    found, half = by_name(report("workshop", f"{LIMITS}.tail_spar.root=0 mm")), 0.24
    lift = found["tail lift, full stick at top speed"].value
    moment = found["bending of each half, full stick at top speed"].value
    assert moment == pytest.approx(0.5 * lift * 4.0 * half / (3.0 * math.pi), rel=0.05)


def test_spar_stress_by_hand_and_limit_of_a_judgement() -> None:
    found = by_name(report())
    when = "full stick at top speed"
    stress, moment = found[f"spar stress, {when}"], found[f"bending of each half, {when}"]
    assert stress.value == pytest.approx(moment.value / (math.pi * 0.004**3 / 32.0))
    assert stress.limit == MATERIALS["glass fibre"].stress.low and "judgement" in stress.source
    given = (
        f"{LIMITS}.tail_spar.most_stress=400 MPa",
        f"{LIMITS}.tail_spar.most_stress_is=measured",
    )
    told = by_name(report("workshop", *given))["spar stress, full stick at top speed"]
    assert told.limit == 400e6 and "measured" in told.source and told.standing == Standing.HOLDS


def test_a_stiffer_spar_is_a_change_like_others() -> None:
    base, after = report(), report("workshop", changes=("tail-spar",))
    name = "spar stress, full stick at top speed"
    assert by_name(base)[name].standing == Standing.FAILS
    assert by_name(after)[name].standing == Standing.HOLDS
    needed = "speed that unloads the nose wheel"
    assert by_name(after)[needed].value < by_name(base)[needed].value - 1.0


def test_a_flat_bar_has_its_own_modulus() -> None:
    keys = ["shape=flat bar", "height=3 mm", "width=20 mm", "material=spruce"]
    given = tuple(f"{LIMITS}.tail_spar.{key}" for key in keys)
    spar = parts(report("flaps-10", *given)).limits.tail_spar
    assert spar is not None and modulus(spar) == pytest.approx(3e-8)


def test_pivot_moves_the_servo_load() -> None:
    """About its centre of lift an all-moving tail asks nothing; ahead of it, lift times the arm."""
    jet = report()
    plane, at = parts(jet).plane, hardest(over_the_stick(jet, np.array([50.0])))
    assert plane is not None and plane.tail.pivot_station is not None
    load = span_loads(plane)[1]
    places = [spread(load, at, at.tail).moment / at.tail]
    centre = plane.cg_station + float(places[0][0])
    moment = tail_moment(plane, load, at)
    assert moment is not None
    assert moment == pytest.approx(at.tail * (plane.tail.pivot_station - centre))
    here = report("workshop", f"aeroplane.tail.pivot.station={1e3 * centre} mm")
    moved = parts(here).plane
    assert moved is not None and servo_moment(moved, (at,)) < 1e-6 * abs(moment)
    # the other way the centre lies a little elsewhere
    name = "tail servo, full stick at top speed"
    assert by_name(here)[name].value < 0.1 * by_name(jet)[name].value
    # a thin surface carries what incidence gives it at the quarter of its mean chord, nearly
    quarter = plane.tail.surface.quarter_station
    assert centre == pytest.approx(quarter, abs=0.05 * plane.tail.surface.mean_chord)


def test_no_pivot_no_servo_load() -> None:
    raw = load_scenario("workshop").raw
    tail = {k: v for k, v in raw["aeroplane"]["tail"].items() if k != "pivot"}
    data = raw | {"aeroplane": raw["aeroplane"] | {"tail": tail}}
    found = by_name(build_report(prepare(parse_scenario(data)), with_advice=False))
    assert found["tail servo"].missing == ("aeroplane.tail.pivot",)


def test_flap_load_by_hand() -> None:
    """A plain flap at the local lift the wing has on average over it: strips change a fifth."""
    jet = report("flaps-25")
    inner = parts(jet)
    plane = inner.plane
    assert plane is not None and plane.flaps is not None
    at = in_level_flight(jet.prepared.setup, np.array([15.0]), 0.0, (math.radians(25.0), 0.3))
    found = float(flap_moment(plane, span_loads(plane)[0], at)[0])
    flaps, wing = plane.flaps, plane.wing
    middle = 0.5 * (flaps.inboard + flaps.outboard)
    area = 2.0 * (flaps.chord_fraction * wing.chord_at(middle)) ** 2
    area *= flaps.outboard - flaps.inboard
    lift = float(at.wing[0] / at.pressure[0]) / wing.area
    share = flaps.chord_fraction
    by_hand = moment_per_lift(share) * lift + moment_per_angle_at_lift(share) * math.radians(25.0)
    assert found < 0.0  # the air blows a flap that is down back up
    assert found == pytest.approx(float(at.pressure[0]) * area * by_hand, rel=0.2)


def test_flap_servo_stalls_where_its_torque_is_reached() -> None:
    keys = (f"{LIMITS}.flap_servo.torque=0.1 N*m", f"{LIMITS}.flap_servo.count=2")
    found = by_name(report("flaps-25", *keys))
    stall = found["flap servo, speed where these flaps stall it"]
    assert stall.standing == Standing.TOLD and 10.0 < stall.value < 40.0
    assert found["flap servo, in the roll"].limit == pytest.approx(0.1)


def test_no_limit_is_invented() -> None:
    """Of a scenario without limits only rules of thumb, own geometry and the roll have one."""
    for name in ("meadow-jet", "flaps-25", "textbook-rotation", "tail-strike"):
        for found in findings(report(name)):
            if not math.isnan(found.limit):
                assert found.matter in ("stance", "ground clearance", "tail twist"), found
            if found.standing == Standing.NOT_KNOWN:
                assert found.missing, found


def test_given_coefficients_have_no_span_loading() -> None:
    found = by_name(report("textbook-rotation"))["span loading"]
    assert found.missing == ("aeroplane.wing", "aeroplane.tail")


def test_a_nose_wheel_that_lets_go_before_the_pull_is_told() -> None:
    late = ("pilot.hold=1", "pilot.pull_at=400 m", "aeroplane.gear.main.station=640 mm")
    name = "nose-wheel load over weight, least before the pull"
    light, base = by_name(report("workshop", *late))[name], by_name(report())[name]
    assert base.standing == Standing.HOLDS
    assert light.standing == Standing.FAILS and light.note is not None
    assert "hardly steers" in light.note.template


def test_mains_too_far_forward_sit_on_the_tail() -> None:
    found = findings(report("workshop", "aeroplane.gear.main.station=545 mm"))
    tips = [f for f in found if f.name == "tip-back angle"]
    assert tips and all(f.standing == Standing.FAILS for f in tips)


def test_nothing_is_held_against_a_tail_that_cannot_strike() -> None:
    found = [f for f in findings(report("textbook-rotation")) if f.matter == "stance"]
    assert not [f for f in found if f.standing == Standing.FAILS]
    assert [f.missing for f in found if f.name == "tail-strike angle"] == [
        ("aeroplane.scrape_point",)
    ]


def test_clearance_of_fan_and_flaps_by_hand() -> None:
    found = by_name(report())["fan, lowest point"]
    # axis 6 mm up, 45 mm of radius; axle -118 mm, wheel 31 mm: standing 110 mm, level
    assert found.limit == 0.040 and found.value == pytest.approx(0.110, abs=0.002)
    flaps = by_name(report("flaps-25"))["flaps, trailing edge"]
    straight = by_name(report("flaps-25", "aeroplane.wing.flaps.deflection=0 deg"))
    assert flaps.value < straight["flaps, trailing edge"].value - 0.005


def test_clearance_wants_the_surface_for_its_grass() -> None:
    raw = load_scenario("workshop").raw
    strip = {k: v for k, v in raw["strip"].items() if k != "surface"} | {"rolling_resistance": 0.1}
    found = by_name(
        build_report(prepare(parse_scenario(raw | {"strip": strip})), with_advice=False)
    )
    assert found["fan, lowest point"].missing == ("strip.surface",)


def test_rough_ground_and_touchdown_follow_the_given_keys() -> None:
    base, rough = by_name(report()), by_name(report("workshop", "strip.roughness=E"))
    name = "one main wheel, rough ground"
    p = report().prepared.setup.parameters
    static = 0.5 * (1.0 - report().stance.nose_share) * p.mass * p.gravity
    # three classes up: 64 times the spectrum, eight times what comes on top of the standing load
    on_top = base[name].value - static
    assert rough[name].value - static == pytest.approx(8.0 * on_top)
    hard = by_name(report("workshop", f"{LIMITS}.sink_speed=1.5 m/s"))
    touch = "one main wheel, touchdown on both"
    assert hard[touch].standing == Standing.FAILS != base[touch].standing


@pytest.mark.parametrize(
    "spar",
    [
        {"shape": "tube", "diameter": "8 mm"},
        {"shape": "rod", "diameter": "8 mm", "bore": "6 mm"},
        {"shape": "tube", "diameter": "6 mm", "bore": "6 mm"},
        {"shape": "flat bar", "height": "3 mm"},
    ],
)
def test_a_spar_without_its_measures_is_refused(spar: dict[str, str]) -> None:
    with pytest.raises(ScenarioError, match="tail_spar"):
        load_scenario("flaps-10", [f"{LIMITS}.tail_spar.{k}={v}" for k, v in spar.items()])
