"""The writer of TOML: whatever it writes reads back as it was."""

import math
import tomllib
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from sim.ask.commented import about, blank, commented
from sim.ask.copying import copied
from sim.ask.toml_text import comment, toml_key, toml_path, toml_string, toml_value
from sim.scenario import ScenarioError, load_scenario, parse_scenario, shipped_scenarios
from sim.scenario.keys import walk_keys

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
LEAVES = TEXTS | st.booleans() | st.integers(-(2**62), 2**62) | st.floats(allow_nan=False)
TREES = st.recursive(
    LEAVES, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXTS, inner, max_size=4)
)


@settings(max_examples=300, deadline=None)
@given(TREES)
def test_values_read_back(value: Any) -> None:
    text = toml_value(value)
    assert "\n" not in text
    back = tomllib.loads(f"value = {text}")["value"]
    assert back == value and repr(back) == repr(value)  # 1, 1.0 and true are not the same


@settings(max_examples=300, deadline=None)
@given(st.dictionaries(TEXTS, TREES, max_size=5))
def test_documents_read_back_whatever_their_keys(tree: dict[str, Any]) -> None:
    assert tomllib.loads(commented({"strange": tree, "title": "x"})) == {
        "strange": tree,
        "title": "x",
    }
    text = "\n".join(f"{toml_key(name)} = {toml_value(value)}" for name, value in tree.items())
    assert tomllib.loads(text) == tree


NAMES = sorted({part for path, _ in walk_keys() for part in path.split(".")} | {"change", "x y"})


@settings(max_examples=300, deadline=None)
@example(tree={"power": {"jet_power": {}}})
@given(
    st.recursive(
        st.text(max_size=5) | st.floats(allow_nan=False) | st.booleans(),
        lambda inner: (
            st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(NAMES), inner, max_size=5)
        ),
    ).filter(lambda tree: isinstance(tree, dict))
)
def test_documents_read_back_with_known_keys_in_wrong_places(tree: dict[str, Any]) -> None:
    assert tomllib.loads(commented(tree)) == tree


@settings(max_examples=200, deadline=None)
@given(TEXTS)
def test_comments_hold_any_text(text: str) -> None:
    assert all(line.startswith("# ") for line in comment(text))
    assert tomllib.loads("\n".join(comment(text))) == {}
    assert tomllib.loads(commented({"title": text}, heading=text)) == {"title": text}


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ('a "b" \\ c', '"a \\"b\\" \\\\ c"'),
        ("tab\tend\n\r\b\f", '"tab\\tend\\n\\r\\b\\f"'),
        ("\x00\x7f\u0085\u2028", '"\\u0000\\u007F\\u0085\\u2028"'),
        ("Grünland 9 °", '"Grünland 9 °"'),
        (1.0, "1.0"),
        (1, "1"),
        (True, "true"),
        (1e20, "1e+20"),
        (-0.0, "-0.0"),
        (math.inf, "inf"),
        ({}, "{}"),
        ([], "[]"),
        ({"a b": [1, {"c": "d"}]}, '{ "a b" = [1, { c = "d" }] }'),
    ],
)
def test_written_forms(value: Any, text: str) -> None:
    assert toml_value(value) == text


def test_what_no_file_holds_is_refused() -> None:
    for value in (None, object(), b"x", [None]):
        with pytest.raises(ValueError, match="holds no"):
            toml_value(value)
    with pytest.raises(ValueError, match="surrogate"):
        toml_string("\ud800")
    assert toml_path("a", "b c", "") == 'a."b c".""'
    assert math.isnan(tomllib.loads(f"x = {toml_value(math.nan)}")["x"])


@pytest.mark.parametrize("name", shipped_scenarios())
def test_copies_of_shipped_scenarios_are_the_same_scenario(name: str) -> None:
    text = copied(name)
    original = load_scenario(name)
    copy = parse_scenario(tomllib.loads(text))
    assert copy == original and copy.title == original.title
    assert copy.raw == original.raw, "values as they were written"
    assert set(copy.changes) == set(original.changes)
    assert "extends" not in tomllib.loads(text)
    assert max(map(len, text.splitlines())) <= 140


def test_every_key_of_the_registry_is_written_or_told() -> None:
    text = copied("meadow-jet")
    missing = []
    for path, key in walk_keys():
        table, _, name = path.rpartition(".")
        told = f"[{path}]" in text if key.table else f"{name} = " in text
        inside = f"[{table}]" in text and f"# [{table}]" not in text
        if inside and not told and table != "power":
            missing.append(path)
    assert not missing


def test_comments_say_what_a_key_is_and_what_replaces_it() -> None:
    text = copied("meadow-jet")
    assert "# Over the" not in text
    assert '# wheel_width = "... mm"' in text and "Left out: taken in proportion." in text
    assert '# washout = "... deg"' in text and "Left out: taken as 0 deg." in text
    assert "(a mass, 5 g to 200000 kg)" in text
    assert '(one of "pavement"' in text
    assert "jet_power" not in text, "a key of another kind of power"
    assert "# [aeroplane.swing]" in text and "# [[power.points]]" in text
    assert "\n[aeroplane.gear.main]\n" in text


def test_lines_left_out_are_toml_that_asks_for_a_value_when_uncommented() -> None:
    lines = copied("meadow-jet").split("\n")
    keys = [n for n, line in enumerate(lines) if line.startswith("# ") and line.endswith('"')]
    keys = [n for n in keys if " = " in lines[n]]
    assert len(keys) > 20
    for number in keys:
        changed = [*lines[:number], lines[number][2:], *lines[number + 1 :]]
        with pytest.raises(ScenarioError) as error:
            parse_scenario(tomllib.loads("\n".join(changed)))
        name = lines[number][2:].partition(" = ")[0]
        assert any(problem.key.endswith(name) for problem in error.value.problems), name


def test_blanks_are_never_valid_answers() -> None:
    for path, key in walk_keys():
        if not key.table:
            assert "..." in blank(key), path
        assert about(key), path


def test_changes_points_and_weighings_are_copied_too() -> None:
    tree = load_scenario("meadow-jet").raw
    points = [{"airspeed": "0 m/s", "thrust": "21 N"}, {"airspeed": "20 m/s", "thrust": "15 N"}]
    power = {"kind": "measured", "points": points}
    rows = [
        {"item": f"plate {n}", "mass": "1 g", "station": "1 m", "height": "0 m"} for n in range(50)
    ]
    change = {"lead": {"text": 'a "heavy" nose', "add": rows, "strip": {"length": "60 m"}}}
    tree = tree | {"power": power, "change": change}
    text = commented(tree)
    assert tomllib.loads(text) == tree
    assert text.count("[[power.points]]") == 2
    assert max(map(len, text.splitlines())) < 200
    assert parse_scenario(tomllib.loads(text)) == parse_scenario(tree)
