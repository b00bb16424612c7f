"""Mistakes: each found, told in the builder's words, and all of them at once."""

import copy
import math

import pytest
from scipy.optimize import brentq

from sim.scenario import ScenarioError, load_scenario, parse_scenario
from sim.strip.surface import SURFACES
from tests.test_scenario_sample import FULL_SIZE, example

MISSING = object()


def changed(path, value, base=None):
    data = copy.deepcopy(base) if base else example()
    *tables, last = path.split(".")
    table = data
    for name in tables:
        table = table.setdefault(name, {})
    if value is MISSING:
        del table[last]
    else:
        table[last] = value
    return data


def problems(data):
    with pytest.raises(ScenarioError) as caught:
        parse_scenario(data, "here")
    return {problem.key: problem for problem in caught.value.problems}


def only(path, value, key=None, base=None):
    """The one problem that a single change makes."""
    found = problems(changed(path, value, base))
    assert set(found) == {key or path}
    return found[key or path]


def test_the_message_reads_as_promised():
    text = only("aeroplane.wing.flaps.outboard", "620 mm").text()
    assert text.splitlines()[0] == (
        'aeroplane.wing.flaps.outboard: given "620 mm"; allowed: less than half the span (500 mm).'
    )


@pytest.mark.parametrize(
    ("path", "value", "said"),
    [
        ("aeroplane.mass", 3.2, "a mass with its unit"),
        ("aeroplane.mass", "3.2", "a mass with its unit"),
        ("aeroplane.mass", "0 kg", "from 5 g"),
        ("aeroplane.mass", "-3 kg", "from 5 g"),
        ("aeroplane.mass", "1e9 kg", "to 200000 kg"),
        ("aeroplane.mass", math.nan, "a mass with its unit"),
        ("aeroplane.mass", True, "a mass with its unit"),
        ("aeroplane.mass", ["3 kg"], "a mass with its unit"),
        ("aeroplane.mass", {"value": 3}, "a mass with its unit"),
        ("aeroplane.mass", "3.2 m", "what is given is a length"),
        ("aeroplane.mass", MISSING, "a mass with its unit"),
        ("aeroplane.wing.sweep", "26 %", "what is given is a percentage"),
        ("aeroplane.wing.section.thickness", 0.09, "a percentage with its unit"),
        ("aeroplane.wing.section.max_lift", "1.0", "a plain number"),
        ("aeroplane.wing.section.max_lift", "1 m", "a plain number"),
        ("aeroplane.wing.section.name", "symetrical", "symmetrical"),
        ("aeroplane.wing", "a big one", "a table with span"),
        ("aeroplane.wing.flaps", [1], "a table with kind"),
        ("power.static_thrust", "2.4 kg", "is a mass"),
        ("power.kind", "electrical", '"electric"'),
        ("power.kind", 3, "measured"),
        ("strip.surface", 3, "mown grass"),
        ("strip.slope", "2 deg", "what is given is an angle"),
        ("pilot.hold", math.inf, "from -1 to 1"),
        ("pilot.hold", 10**400, "from -1 to 1"),
        ("pilot.hold", True, "from -1 to 1"),
        ("pilot.hold", 1.01, "from -1 to 1"),
        ("pilot.holds_attitude", "yes", "true or false"),
        ("pilot.holds_attitude", 1, "true or false"),
        ("pilot.pull_at", "20 kg", 'a place ("20 m") or an airspeed'),
        ("pilot.pull_at", 20, 'a time ("3 s")'),
        ("pilot.pull_at", "-1 m", "from 0 m"),
        ("pilot.abort_at", "3 s", 'a place ("20 m") or an airspeed ("12 m/s")'),
        ("title", 3, "a text in quotes"),
        ("title", "x" * 201, "at most 200"),
    ],
)
def test_one_wrong_value_is_one_problem(path, value, said):
    assert said in only(path, value).allowed


@pytest.mark.parametrize(
    ("path", "nearest"),
    [
        ("aeroplane.wing.spann", "span"),
        ("aeroplane.gear.main.wheel_diametre", "wheel_diameter"),
        ("pilot.pull_At", "pull_at"),
        ("areoplane", "aeroplane"),
        ("aeroplane.chord_fraction", "aeroplane.wing.flaps.chord_fraction"),
    ],
)
def test_an_unknown_key_is_answered_with_the_nearest(path, nearest):
    assert only(path, "1 m").nearest == nearest


def test_a_percentage_for_a_plain_number_is_answered_with_the_number():
    assert only("pilot.pull", "100 %").nearest == "1"
    assert only("pilot.hold", "-25%").nearest == "-0.25"
    assert only("pilot.pull", "%").nearest is None


def test_an_override_that_makes_a_table_is_blamed_for_it():
    with pytest.raises(ScenarioError) as caught:
        load_scenario("meadow-jet", ["power.battery.cells=5"])
    (problem,) = caught.value.problems
    assert problem.key == "power.battery"
    assert problem.source == "override power.battery.cells=5" and problem.line is None


def test_a_wrong_word_is_answered_with_the_nearest():
    assert only("strip.surface", "moan grass").nearest == '"mown grass"'
    assert only("aeroplane.tail.kind", "all moving").nearest == '"all-moving"'


def test_every_surface_of_the_strip_room_is_a_word():
    for word in SURFACES:
        assert parse_scenario(changed("strip.surface", word)).strip.surface == word


@pytest.mark.parametrize(
    ("path", "value", "key", "said"),
    [
        ("aeroplane.wing.flaps.outboard", "500 mm", None, "less than half the span (500 mm)"),
        ("aeroplane.wing.span", "500 mm", "aeroplane.wing.flaps.outboard", "(250 mm)"),
        ("aeroplane.wing.flaps.inboard", "295 mm", None, "less than outboard (295 mm)"),
        ("aeroplane.gear.nose.station", "690 mm", None, "ahead of the main wheels"),
        ("aeroplane.scrape_point.station", "690 mm", None, "behind the main wheels"),
        ("aeroplane.cg.station", "215 mm", None, "behind the nose wheel"),
        ("aeroplane.scrape_point.height", "-155 mm", None, "1 mm below the ground"),
        ("aeroplane.cg.height", "-160 mm", None, "6 mm below the ground"),
        ("aeroplane.gear.nose.axle_height", MISSING, None, "exactly one of"),
        ("aeroplane.gear.ground_attitude", "2 deg", None, "only one of"),
        ("aeroplane.gear.nose.axle_height", "400 mm", None, "within 30 deg"),
        ("aeroplane.gear.nose.station", "689 mm", "aeroplane.cg.station", "behind the nose wheel"),
        ("strip.rolling_resistance", 0.1, None, "only one of surface or rolling_resistance"),
        ("strip.surface", MISSING, None, "exactly one of surface or rolling_resistance"),
        ("air.pressure", "990 hPa", None, "only one of elevation or pressure"),
        ("aeroplane.wing.section.surface_max_lift", 0.9, None, "only one of"),
        ("aeroplane.tail.kind", "hinged", "aeroplane.tail.elevator_chord_fraction", "needed"),
        ("aeroplane.tail.elevator_chord_fraction", 0.3, None, "left out"),
        ("aeroplane.tail", MISSING, None, "needed beside wing and tail"),
        ("aeroplane.body", MISSING, None, "needed beside wing and tail"),
        ("aeroplane.scrape_point", MISSING, None, "needed beside wing and tail"),
        ("power.zero_thrust_airspeed", MISSING, None, "one of zero_thrust_airspeed"),
        ("power.static_thrust", MISSING, None, "needed, or points"),
        ("power.jet_power", "1 kW", None, 'left out when kind is "measured"'),
        ("aeroplane.wing.flaps", MISSING, None, None),
    ],
)
def test_measurements_that_contradict_each_other(path, value, key, said):
    if said is None:
        parse_scenario(changed(path, value))
    else:
        assert said in only(path, value, key).allowed


@pytest.mark.parametrize(
    ("axle", "diameter", "nose_up"),
    [(-0.072, 0.064, False), (-0.172, 0.064, True), (-0.122, 0.104, True), (-0.122, 0.04, False)],
)
def test_the_ground_line_is_the_one_under_both_wheels(axle, diameter, nose_up):
    """The attitude found by turning the aeroplane until both wheels are equally low."""

    def low(station, height, radius, theta):
        return -station * math.sin(theta) + height * math.cos(theta) - radius

    def unevenness(theta):
        return low(0.215, axle, diameter / 2, theta) - low(0.690, -0.122, 0.032, theta)

    theta = brentq(unevenness, -0.5, 0.5, xtol=1e-14)
    assert (theta > 0.0) == nose_up
    limit = brentq(
        lambda z: low(1.230, z, 0.0, theta) - low(0.690, -0.122, 0.032, theta), -1.0, 1.0
    )
    data = changed("aeroplane.gear.nose.axle_height", f"{axle} m")
    data["aeroplane"]["gear"]["nose"]["wheel_diameter"] = f"{diameter} m"
    parse_scenario(changed("aeroplane.scrape_point.height", f"{limit + 1e-7:.12f} m", data))
    low_point = changed("aeroplane.scrape_point.height", f"{limit - 1e-7:.12f} m", data)
    assert set(problems(low_point)) == {"aeroplane.scrape_point.height"}


def test_a_given_ground_attitude_turns_the_ground_line():
    # 5 deg nose up: the tail, 540 mm behind the mains, comes down by about 47 mm
    data = changed("aeroplane.gear.nose.axle_height", MISSING)
    data = changed("aeroplane.gear.ground_attitude", "5 deg", data)
    theta = math.radians(5.0)
    limit = -0.122 + (0.540 * math.sin(theta) - 0.032) / math.cos(theta)
    parse_scenario(changed("aeroplane.scrape_point.height", f"{limit + 1e-6:.9f} m", data))
    low_point = changed("aeroplane.scrape_point.height", f"{limit - 1e-6:.9f} m", data)
    assert set(problems(low_point)) == {"aeroplane.scrape_point.height"}


def test_a_small_wheel_inside_a_large_one_is_told():
    data = changed("aeroplane.gear.nose.station", "689 mm")
    data["aeroplane"]["cg"]["station"] = "700 mm"
    data["aeroplane"]["gear"]["nose"]["wheel_diameter"] = "50 mm"
    assert set(problems(data)) == {"aeroplane.gear.nose.axle_height"}


@pytest.mark.parametrize("text", ["60 degC", "140 degF", "-50 degC", "-58 degF", "333.15 K"])
def test_a_bound_is_allowed_in_whatever_unit(text):
    assert parse_scenario(changed("air.temperature", text)).air.temperature > 223.0


def test_a_cg_behind_the_mains_is_no_mistake():
    assert parse_scenario(changed("aeroplane.cg.station", "900 mm")).aeroplane.cg.station == 0.9


def test_all_mistakes_are_told_at_once():
    data = example()
    data["aeroplane"]["mass"] = 3.2
    data["aeroplane"]["wing"]["spam"] = "1 m"
    data["aeroplane"]["wing"]["flaps"]["outboard"] = "620 mm"
    data["aeroplane"]["gear"]["nose"]["station"] = "800 mm"
    data["strip"]["rolling_resistance"] = 0.1
    data["power"]["static_thrust"] = "2.4 kg"
    del data["pilot"]["pull_at"]
    assert set(problems(data)) == {
        "aeroplane.mass",
        "aeroplane.wing.spam",
        "aeroplane.wing.flaps.outboard",
        "aeroplane.gear.nose.station",
        "strip.rolling_resistance",
        "power.static_thrust",
        "pilot.pull_at",
    }


POINTS = [{"airspeed": "0 m/s", "thrust": "24 N"}, {"airspeed": "20 m/s", "thrust": "18 N"}]


def measured_by(points, **more):
    return example() | {"power": {"kind": "measured", "points": points} | more}


def test_thrust_points():
    power = parse_scenario(measured_by(POINTS)).power
    assert [(p.airspeed, p.thrust) for p in power.thrust_points] == [(0.0, 24.0), (20.0, 18.0)]
    later = [{"airspeed": "10 m/s", "thrust": "21 N"}, *POINTS[1:]]
    power = parse_scenario(measured_by(later, static_thrust="24 N")).power
    assert [p.airspeed for p in power.thrust_points] == [0.0, 10.0, 20.0]
    assert parse_scenario(example()).power.thrust_points is None


@pytest.mark.parametrize(
    ("points", "more", "key"),
    [
        ("24 N", {}, "power.points"),
        (POINTS[:1], {}, "power.points"),
        (POINTS[::-1], {}, "power.points[2].airspeed"),
        ([POINTS[0], POINTS[0]], {}, "power.points[2].airspeed"),
        ([POINTS[0], 3], {}, "power.points[2]"),
        ([POINTS[0], {"airspeed": "3 m/s"}], {}, "power.points[2].thrust"),
        ([POINTS[0], POINTS[1] | {"wind": 1}], {}, "power.points[2].wind"),
        ([{"airspeed": "0 m/s", "thrust": "0 N"}, POINTS[1]], {}, "power.points[1].thrust"),
        (POINTS, {"static_thrust": "30 N"}, "power.points[1].thrust"),
        (POINTS, {"fall_off": "linear"}, "power.fall_off"),
    ],
)
def test_thrust_points_that_are_no_curve(points, more, key):
    assert set(problems(measured_by(points, **more))) == {key}


def test_points_out_of_order_are_told_beside_other_mistakes():
    data = measured_by(POINTS[::-1]) | {"pilot": {"pull_at": 3}}
    assert set(problems(data)) == {"power.points[2].airspeed", "pilot.pull_at"}


def test_an_ideal_fan_takes_thrust_or_power_and_a_diameter():
    fan = {"kind": "ducted-fan", "exit_diameter": "62 mm"}
    for one in ({"static_thrust": "24 N"}, {"jet_power": "1 kW"}):
        assert parse_scenario(example() | {"power": fan | one}).power.exit_diameter == 0.062
    both = fan | {"static_thrust": "24 N", "jet_power": "1 kW"}
    assert set(problems(example() | {"power": fan})) == {"power.static_thrust"}
    assert set(problems(example() | {"power": both})) == {"power.static_thrust"}
    alone = {"kind": "ducted-fan", "jet_power": "1 kW"}
    assert set(problems(example() | {"power": alone})) == {"power.exit_diameter"}


@pytest.mark.parametrize(
    "given",
    [-0.1, "0.1", "10 %", {"low": 0.1}, {"low": 0.2, "typical": 0.1, "high": 0.3}, math.nan, [0.1]],
)
def test_a_rolling_resistance_that_is_none(given):
    data = changed("strip.surface", MISSING)
    assert only("strip.rolling_resistance", given, base=data).allowed.startswith("a plain number")


def test_a_range_of_rolling_resistance():
    data = changed("strip.surface", MISSING)
    wide = {"low": 0.09, "typical": 0.13, "high": 0.2}
    given = parse_scenario(changed("strip.rolling_resistance", wide, data))
    assert given.strip.rolling_resistance.typical == 0.13
    assert given.resolved()["strip"]["rolling_resistance"] == wide


@pytest.mark.parametrize(
    ("path", "value", "key", "said"),
    [
        ("tail_lift_per_elevator", 0.4, None, "zero or negative"),
        ("tail_point", MISSING, None, "needed when the tail has lift"),
        ("throw", MISSING, None, "needed when the elevator"),
        ("lift_slope", "5 deg", None, "what is given is an angle"),
        ("max_lift", MISSING, None, "a plain number"),
    ],
)
def test_mistakes_in_coefficients(path, value, key, said):
    where = f"aeroplane.coefficients.{path}"
    assert said in only(where, value, key, FULL_SIZE).allowed


def test_only_one_road_to_the_aerodynamics():
    both = changed("aeroplane.coefficients", FULL_SIZE["aeroplane"]["coefficients"])
    assert set(problems(both)) == {"aeroplane.wing"}
    neither = changed("aeroplane.coefficients", MISSING, FULL_SIZE)
    assert set(problems(neither)) == {"aeroplane.coefficients"}
    drag = changed("aeroplane.drag", {"zero_lift": 0.03}, FULL_SIZE)
    assert set(problems(drag)) == {"aeroplane.drag"}


def test_flaps_that_are_not_there_cannot_be_dropped():
    data = changed("pilot.drop_flaps", {"at": "15 m", "to": "20 deg"})
    assert parse_scenario(data).pilot.drop_flaps.at.value == 15.0
    del data["aeroplane"]["wing"]["flaps"]
    assert set(problems(data)) == {"pilot.drop_flaps"}


@pytest.mark.parametrize("data", [None, 3, "text", [], [{}], {3: 4}, {"a": object()}])
def test_things_that_are_no_scenario(data):
    with pytest.raises(ScenarioError) as caught:
        parse_scenario(data)
    assert caught.value.problems[0].source == "a dictionary"


def test_a_bottomless_dictionary():
    endless: dict = {}
    endless["aeroplane"] = endless
    assert set(problems(endless)) == {"scenario"}
    assert set(problems({f"key{i}": i for i in range(9000)})) == {"scenario"}


@pytest.mark.parametrize("path", ["aeroplane.mass", "pilot.hold", "strip.surface", "title", "huge"])
def test_a_number_too_long_to_print(path):
    assert only(path, 10**5000).given == "a huge number"


def test_everything_missing_is_told():
    assert set(problems({})) == {"aeroplane", "power", "strip", "pilot"}
