"""The grammar of quantities: what it takes, what it refuses, and how it says so."""

import math
import time

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from sim.scenario import ScenarioError, parse_quantity, quantity_text, to_display
from sim.scenario import units as units_module
from sim.scenario.unit_table import DIMENSIONS, UNITS


def refused(text, kind):
    with pytest.raises(ScenarioError) as caught:
        parse_quantity(text, kind)
    (problem,) = caught.value.problems
    return problem


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("490mm", "length", 0.49),
        ("  490   mm ", "length", 0.49),
        (".5 m", "length", 0.5),
        ("5. m", "length", 5.0),
        ("-2.5e-1 m", "length", -0.25),
        ("+1E2 mm", "length", 0.1),
        ("0.15 kg*m^2", "inertia", 0.15),
        ("0.15 kg * m**2", "inertia", 0.15),
        ("0.15 m^2*kg", "inertia", 0.15),
        ("3 m*s^-1", "speed", 3.0),
        ("3 s^-1*m", "speed", 3.0),
        ("2 kg*m/s^2", "force", 2.0),
        ("2 kg*m/s/s", "force", 2.0),
        ("2 m/s*kg/s", "force", 2.0),
        ("90 °", "angle", math.pi / 2),
        ("20 °C", "temperature", 293.15),
        ("3 m²", "area", 3.0),
        ("7 mm*m^2/m^2", "length", 0.007),
    ],
)
def test_what_is_taken(text, kind, expected):
    assert parse_quantity(text, kind) == pytest.approx(expected, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("", "length"),
        ("m", "length"),
        ("3", "length"),
        ("3 3 m", "length"),
        ("3 m m", "length"),
        ("3 m*", "length"),
        ("3 *m", "length"),
        ("3 m//m", "length"),
        ("3 (m)", "length"),
        ("3 m^", "length"),
        ("3 m^2.0", "area"),
        ("3 m^22", "area"),
        ("3 m^5", "area"),
        ("1 m**9**9**9", "length"),
        ("1 m^2^3", "length"),
        ("3 1 m", "length"),
        ("3 m\n", "length"),
        ("0x10 m", "length"),
        ("1_000 m", "length"),
        ("٣ m", "length"),
        ("nan m", "length"),
        ("inf m", "length"),
        ("1e999 m", "length"),
        ("1e308 km", "length"),
        ("__import__('os')", "length"),
        ("3 __import__", "length"),
        ("3 meter.__class__", "length"),
        ("3 dimensionless", "fraction"),
        ("3 degC*m/m", "temperature"),
        ("3 degC^1*K^0", "temperature"),
        ("3 degF^2", "temperature"),
        ("m" * 100_000, "length"),
        ("1" * 100_000 + " m", "length"),
        ("1 m" + "*m/m" * 25_000, "length"),
        ("1 m*m/m*m/m*m/m", "length"),
    ],
)
def test_what_is_refused(text, kind):
    started = time.perf_counter()
    problem = refused(text, kind)
    assert time.perf_counter() - started < 0.5
    assert len(problem.text()) < 500
    assert DIMENSIONS[kind].noun in problem.allowed


@pytest.mark.parametrize("thing", [None, 3, 3.0, True, [], {}, b"3 m"])
def test_only_text_is_a_quantity(thing):
    assert refused(thing, "length").allowed.startswith("a length")


def test_a_scale_reading_in_kg_is_not_a_force_but_nearly():
    problem = refused("2.4 kg", "force")
    assert "is a mass" in problem.allowed
    assert problem.nearest == '"2.4 kgf"'
    assert parse_quantity("2.4 kgf", "force") == pytest.approx(23.53596, rel=1e-12)
    assert refused("85 oz", "force").nearest == '"85 ozf"'
    assert refused("3 kgf", "mass").nearest == '"3 kg"'
    assert refused("3 N", "mass").nearest is None


@pytest.mark.parametrize(
    ("text", "kind", "nearest"),
    [
        ("3 KG", "mass", '"3 kg"'),
        ("3 lbs", "mass", '"3 lb"'),
        ("3 inch", "length", '"3 in"'),
        ("3 Deg", "angle", '"3 deg"'),
        ("3 degs", "angle", '"3 deg"'),
        ("20 C", "temperature", '"20 degC"'),
        ("64 F", "temperature", '"64 degF"'),
        ("3 sec", "time", '"3 s"'),
        ("1400 kv", "motor_constant", '"1400 rpm/V"'),
        ("1400 rmp/V", "motor_constant", '"1400 rpm/V"'),
        ("30 kmh", "speed", '"30 km/h"'),
        ("12 km/hr", "speed", '"12 km/h"'),
        ("3 Nm", "torque", '"3 N*m"'),
        ("3 lbs", "force", '"3 lbf"'),
        ("3,2 kg", "mass", '"3.2 kg"'),
    ],
)
def test_the_nearest_unit_is_offered(text, kind, nearest):
    problem = refused(text, kind)
    assert problem.nearest == nearest
    assert math.isfinite(parse_quantity(nearest.strip('"'), kind))


@pytest.mark.parametrize("kind", [name for name in DIMENSIONS if name != "bare"])
def test_a_unit_offered_is_of_the_kind_asked_for(kind):
    strange = ("C", "F", "sec", "kv", "KV", "hz", "Amps", "mn", "inc", "mss", "Vlt", "oms")
    offered = [refused(f"3 {name}", kind).nearest for name in strange]
    for nearest in filter(None, offered):
        assert math.isfinite(parse_quantity(nearest.strip('"'), kind)), nearest


@pytest.mark.parametrize(
    ("text", "kind"),
    [("3 deg", "fraction"), ("3 %", "angle"), ("3 rad/s", "frequency"), ("3 Hz", "turn_rate")],
)
def test_angles_and_fractions_are_kinds_of_their_own(text, kind):
    assert "what is given is" in refused(text, kind).allowed


def test_each_unit_expression_is_converted_once():
    units_module._factor.cache_clear()
    for number in range(50):
        parse_quantity(f"{number} km/h", "speed")
    assert units_module._factor.cache_info().misses == 1


@given(st.floats(-1e6, 1e6), st.sampled_from(sorted(set(DIMENSIONS) - {"bare"})))
def test_display_and_back_is_the_same(value, kind):
    for system in ("metric", "imperial"):
        number, unit = to_display(value, kind, system)
        assert parse_quantity(f"{number!r} {unit}", kind) == pytest.approx(value, 1e-12, 1e-9)


def test_display_of_a_plain_number_and_of_an_unknown_system():
    assert to_display(0.5, "bare") == (0.5, "")
    assert quantity_text(0.5, "length") == "500 mm"
    with pytest.raises(ScenarioError, match="metric or imperial"):
        to_display(1.0, "length", "furlongs")


FRAGMENTS = st.sampled_from([*UNITS, "1", "*", "/", "^", "**", "2", "-1", " ", "9", "e", "°", "²"])


@settings(max_examples=300, deadline=None)
@given(
    st.one_of(st.text(max_size=60), st.lists(FRAGMENTS, max_size=12).map("".join)),
    st.sampled_from(sorted(set(DIMENSIONS) - {"bare"})),
    st.sampled_from(["", "1", "1 ", "-2.5e3 ", "1e300 "]),
)
@example("m^-4*m^-4*m^-4*m^-4*m^-4", "length", "1e300 ")
def test_any_text_is_a_finite_number_or_one_problem(text, kind, number):
    try:
        assert math.isfinite(parse_quantity(number + text, kind))
    except ScenarioError as error:
        assert len(error.problems) == 1
        assert str(error).isprintable() or "\n" in str(error)
