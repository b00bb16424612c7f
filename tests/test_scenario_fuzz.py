"""Whole documents of nonsense, and the same aeroplane in other units."""

import json
import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.scenario import Scenario, ScenarioError, load_scenario, parse_scenario, with_overrides
from sim.scenario.keys import walk_keys
from tests.test_scenario_sample import EXAMPLE, example

PATHS = [path for path, _ in walk_keys()]
WORDS = st.sampled_from(
    ["1 m", "3 kg", "24 N", "20 deg", "5 %", "3 s", "plain", "hinged", "measured", "", "1 m/s"]
)
LEAVES = st.one_of(
    WORDS,
    st.text(max_size=20),
    st.booleans(),
    st.integers(),
    st.floats(),
    st.none(),
    st.dates(),
    st.just(10**4000),
)
VALUES = st.recursive(
    LEAVES,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=8,
)


def outcome(make):
    """The scenario, or None with every problem printable."""
    try:
        scenario = make()
    except ScenarioError as error:
        assert error.problems
        assert all(p.key and p.given and p.allowed and p.source for p in error.problems)
        assert all(line.isprintable() for line in str(error).split("\n"))
        return None
    json.dumps(scenario.resolved(), allow_nan=False)
    return scenario


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(PATHS), VALUES), min_size=1, max_size=4))
def test_values_of_nonsense_in_an_example(changes):
    data = example()
    for path, value in changes:
        table = data
        *parents, last = path.split(".")
        for name in parents:
            table = table.setdefault(name, {}) if isinstance(table, dict) else {}
        if isinstance(table, dict):
            table[last] = value
    outcome(lambda: parse_scenario(data))


@settings(max_examples=100, deadline=None)
@given(st.dictionaries(st.one_of(st.text(max_size=10), st.sampled_from(PATHS)), VALUES, max_size=4))
def test_documents_of_nonsense(data):
    assert outcome(lambda: parse_scenario(data)) is None


@settings(max_examples=100, deadline=None)
@given(
    st.one_of(
        st.binary(max_size=200),
        st.text(max_size=200).map(lambda text: text.encode("utf-8", "surrogatepass")),
        st.tuples(st.integers(0, len(EXAMPLE)), st.binary(max_size=6)).map(
            lambda cut: EXAMPLE.encode()[: cut[0]] + cut[1] + EXAMPLE.encode()[cut[0] :]
        ),
    )
)
def test_files_of_nonsense(tmp_path_factory, content):
    file = tmp_path_factory.mktemp("nonsense") / "file.toml"
    file.write_bytes(content)
    outcome(lambda: load_scenario(file))


BASE = parse_scenario(example())


@settings(max_examples=150, deadline=None)
@given(
    st.lists(
        st.one_of(
            st.text(max_size=40),
            st.tuples(st.sampled_from(PATHS), st.one_of(WORDS, st.text(max_size=20))).map("=".join),
        ),
        max_size=3,
    )
)
def test_overrides_of_nonsense(texts):
    outcome(lambda: with_overrides(BASE, texts))


# One inch is 25.4 mm, one ounce 28.349523125 g, one pound-force 4.4482216152605 N, all exact
# (NIST SP 811); the figures are written out to their last digit by the test itself.
INCHES = {"mm": ("in", 25.4), "m": ("ft", 0.3048), "kg": ("oz", 0.028349523125)}
INCHES |= {"N": ("lbf", 4.4482216152605), "deg": ("rad", 57.29577951308232)}
INCHES |= {"m/s": ("kt", 1852.0 / 3600.0), "degC": ("degF", None), "s": ("ms", 1e-3)}


def in_other_units(value):
    if isinstance(value, dict):
        return {key: in_other_units(item) for key, item in value.items()}
    number, _, unit = value.partition(" ") if isinstance(value, str) else ("", "", "")
    if unit not in INCHES:
        return value
    name, size = INCHES[unit]
    other = float(number) * 1.8 + 32.0 if size is None else float(number) / size
    return f"{other!r} {name}"


def numbers(tree, path=""):
    if isinstance(tree, dict):
        return {k: v for key, item in tree.items() for k, v in numbers(item, path + key).items()}
    return {path: tree}


def test_the_same_aeroplane_in_inches_and_ounces_is_the_same():
    other = in_other_units(tomllib.loads(EXAMPLE))
    assert other["aeroplane"]["mass"].endswith(" oz")
    assert other["aeroplane"]["gear"]["main"]["station"].endswith(" in")
    one, two = numbers(BASE.resolved()), numbers(parse_scenario(other).resolved())
    assert set(one) == set(two)
    compared = 0
    for key, value in one.items():
        if isinstance(value, float):
            assert two[key] == pytest.approx(value, rel=1e-9, abs=1e-9), key
            compared += 1
        else:
            assert two[key] == value
    assert compared > 50
    assert isinstance(parse_scenario(other), Scenario)
