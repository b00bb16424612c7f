"""Changes laid over a scenario: read, applied, refused, and what comes of them."""

import copy
import json
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import sim
from sim.prepare import prepare
from sim.roll.verdict import Verdict
from sim.scenario import (
    ScenarioError,
    load_scenario,
    parse_scenario,
    with_changes,
    with_overrides,
)
from sim.show.document import document
from sim.show.terminal import report_text
from tests.documents import laid
from tests.test_scenario_fuzz import VALUES, outcome
from tests.test_scenario_sample import EXAMPLE, FULL_SIZE, example

LEG = """
[change.long-nose-leg]
text = "Nose leg 25 mm longer"
hours = 1.5
cost = 12
reversible = true
add = [ { item = "longer wire", mass = "12 g", station = "210 mm", height = "-95 mm" } ]
[change.long-nose-leg.aeroplane.gear.nose]
axle_height = "-147 mm"
"""
OTHERS = """
[change.short-nose-leg]
text = "Nose leg shorter"
[change.short-nose-leg.aeroplane.gear.nose]
axle_height = "-115 mm"

[change.attitude]
text = "Gear set by the attitude"
[change.attitude.aeroplane.gear]
ground_attitude = "1 deg"

[change.drooped]
text = "Flaps at ten degrees"
[change.drooped.aeroplane.wing.flaps]
deflection = "10 deg"

[change.ballast]
text = "Lead in the nose"
add = [{ item = "lead", mass = "60 g", station = "100 mm", height = "0 mm" }]
"""


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "jet.toml"
    path.write_text(EXAMPLE + LEG + OTHERS, encoding="utf-8")
    return path


def refused(make, *arguments, **more):
    with pytest.raises(ScenarioError) as caught:
        make(*arguments, **more)
    return {problem.key: problem for problem in caught.value.problems}


def a_change(text="x", **keys):
    """The example with one change `c`, not applied."""
    return laid(example(), change={"c": {"text": text} | keys})


# ----- read ------------------------------------------------------------------------------------


def test_changes_are_there_by_name_and_none_is_applied(file):
    scenario = load_scenario(file)
    assert list(scenario.changes) == [
        "long-nose-leg", "short-nose-leg", "attitude", "drooped", "ballast",
    ]  # fmt: skip
    leg = scenario.changes["long-nose-leg"]
    assert (leg.text, leg.hours, leg.cost, leg.reversible) == (
        "Nose leg 25 mm longer",
        1.5,
        12,
        True,
    )
    (row,) = leg.added
    assert (row.item, row.mass, row.station, row.height) == ("longer wire", 0.012, 0.21, -0.095)
    assert scenario.changes["drooped"].hours is None
    assert scenario.applied == () and scenario.added == ()
    assert scenario == parse_scenario(example())
    assert "change" not in scenario.raw


@pytest.mark.parametrize(
    ("keys", "key", "said"),
    [
        ({"text": 3}, "change.c.text", "on one line"),
        ({"text": "a\nb"}, "change.c.text", "on one line"),
        ({"hours": -1}, "change.c.hours", "plain number"),
        ({"hours": "2 h"}, "change.c.hours", "plain number"),
        ({"cost": "12 EUR"}, "change.c.cost", "plain number"),
        ({"reversible": "yes"}, "change.c.reversible", "true or false"),
        ({"add": "60 g"}, "change.c.add", "a list of masses"),
        ({"add": [{"item": "a", "mass": "1 g"}]}, "change.c.add[1].station", "a length"),
        (
            {"add": [{"item": "a", "mass": "1 N", "station": "0 m", "height": "0 m"}]},
            "change.c.add[1].mass",
            "a mass with its unit",
        ),
        ({"title": "another"}, "change.c.title", "one of the keys text, hours"),
        ({"adds": []}, "change.c.adds", "one of the keys text, hours"),
        ({"aeroplane": {"mass": "3 kg"}}, "change.c.aeroplane.mass", "in add"),
        ({"aeroplane": {"cg": {"station": "1 m"}}}, "change.c.aeroplane.cg", "in add"),
        (
            {"aeroplane": {"pitch_inertia": "1 kg*m^2"}},
            "change.c.aeroplane.pitch_inertia",
            "in add",
        ),
        ({"aeroplane": {"swing": {}}}, "change.c.aeroplane.swing", "in add"),
        ({"aeroplane": {"weighing": {}}}, "change.c.aeroplane.weighing", "in add"),
        ({"aeroplane": {"wing": {"spann": "1 m"}}}, "change.c.aeroplane.wing.spann", "span"),
        ({"aeroplane": {"wing": {"span": "1 kg"}}}, "change.c.aeroplane.wing.span", "a length"),
        ({"aeroplane": {"wing": 3}}, "change.c.aeroplane.wing", "a table with"),
        ({"strip": {"surface": "moan grass"}}, "change.c.strip.surface", "mown grass"),
        ({"power": {"points": [{"thrust": "3 N"}, {}]}}, "change.c.power.points[1].airspeed", ""),
    ],
)
def test_a_broken_change_is_refused_though_nobody_applies_it(keys, key, said):
    problems = refused(parse_scenario, a_change(**keys))
    assert key in problems and said in problems[key].allowed


def test_a_change_needs_a_text_and_a_fitting_name():
    assert set(refused(parse_scenario, laid(example(), change={"c": {}}))) == {"change.c.text"}
    for name in ("Leg", "a b", "", "x" * 41, "a.b"):
        problems = refused(parse_scenario, laid(example(), change={name: {"text": "x"}}))
        assert len(problems) == 1 and next(iter(problems)).startswith("change.")
    assert set(refused(parse_scenario, laid(example(), change=3))) == {"change"}
    assert set(refused(parse_scenario, laid(example(), change={"c": 3}))) == {"change.c"}


def test_every_mistake_of_file_and_changes_at_once_with_its_line(tmp_path):
    text = EXAMPLE.replace('"3.20 kg"', "3.2") + LEG.replace('"-147 mm"', '"-147 kg"')
    text += '[change.b]\ntext = "b"\nhours = -2\n'
    path = tmp_path / "jet.toml"
    path.write_text(text, encoding="utf-8")
    problems = refused(load_scenario, path)
    lines = text.split("\n")
    assert set(problems) == {
        "aeroplane.mass", "change.long-nose-leg.aeroplane.gear.nose.axle_height", "change.b.hours",
    }  # fmt: skip
    for problem in problems.values():
        name = problem.key.rpartition(".")[2]
        assert lines[problem.line - 1].startswith(name) and problem.source == str(path)


# ----- applied ---------------------------------------------------------------------------------


def test_keys_are_replaced_and_rows_kept(file):
    scenario = load_scenario(file, changes=["long-nose-leg", "ballast"])
    assert scenario.aeroplane.gear.nose.axle_height == -0.147
    assert scenario.applied == ("long-nose-leg", "ballast")
    assert [row.change for row in scenario.added] == ["long-nose-leg", "ballast"]
    assert scenario == with_changes(load_scenario(file), ["long-nose-leg", "ballast"])
    assert scenario == with_changes(
        with_changes(load_scenario(file), ["long-nose-leg"]), ["ballast"]
    )
    assert scenario.resolved()["changes"] == ["long-nose-leg", "ballast"]


def test_overrides_come_last_whatever_was_called_first(file):
    override = ["aeroplane.gear.nose.axle_height=-130 mm"]
    at_once = load_scenario(file, override, ["long-nose-leg"])
    assert at_once.aeroplane.gear.nose.axle_height == -0.13
    assert with_changes(load_scenario(file, override), ["long-nose-leg"]) == at_once
    assert with_overrides(load_scenario(file, changes=["long-nose-leg"]), override) == at_once
    twice = with_overrides(at_once, ["aeroplane.gear.nose.axle_height=-140 mm"])
    assert twice.aeroplane.gear.nose.axle_height == -0.14 and twice.applied == ("long-nose-leg",)


def test_a_change_may_bring_a_table_the_file_lacks():
    flaps = example()["aeroplane"]["wing"]["flaps"]
    base = a_change(aeroplane={"wing": {"flaps": flaps | {"deflection": "20 deg"}}})
    del base["aeroplane"]["wing"]["flaps"]
    scenario = parse_scenario(base)
    assert scenario.aeroplane.wing.flaps is None
    assert with_changes(scenario, ["c"]).aeroplane.wing.flaps.kind == "plain"
    half = copy.deepcopy(base)
    del half["change"]["c"]["aeroplane"]["wing"]["flaps"]["kind"]
    lacking = parse_scenario(half)  # another change might bring the rest
    problems = refused(with_changes, lacking, ["c"])
    assert set(problems) == {"change.c.aeroplane.wing.flaps.kind"}


def test_a_contradiction_of_the_whole_is_told_as_the_change_s():
    scenario = parse_scenario(a_change(aeroplane={"wing": {"flaps": {"outboard": "620 mm"}}}))
    problems = refused(with_changes, scenario, ["c"])
    assert set(problems) == {"change.c.aeroplane.wing.flaps.outboard"}
    # where the change only uncovers it, the key stays and the change is named
    scenario = parse_scenario(a_change(aeroplane={"wing": {"span": "500 mm"}}))
    problems = refused(with_changes, scenario, ["c"])
    assert problems["aeroplane.wing.flaps.outboard"].allowed.endswith("(with c)")


def test_one_side_of_a_choice_takes_the_other_away(file):
    scenario = load_scenario(file, changes=["attitude"])
    assert scenario.aeroplane.gear.nose.axle_height is None
    assert prepare(scenario).coefficients["nose_axle_height_m"] != -0.122


# ----- refused together ------------------------------------------------------------------------


def test_two_changes_of_one_key_do_not_go_together(file):
    problems = refused(load_scenario, file, changes=["long-nose-leg", "short-nose-leg"])
    key = "change.short-nose-leg.aeroplane.gear.nose.axle_height"
    assert set(problems) == {key}
    assert "long-nose-leg and short-nose-leg" in problems[key].allowed
    assert "aeroplane.gear.nose.axle_height" in problems[key].allowed
    lines = file.read_text().split("\n")
    assert lines[problems[key].line - 1] == 'axle_height = "-115 mm"'


def test_two_sides_of_a_choice_do_not_go_together(file):
    for pair in (["long-nose-leg", "attitude"], ["attitude", "long-nose-leg"]):
        (problem,) = refused(load_scenario, file, changes=pair).values()
        assert f"{pair[0]} and {pair[1]}" in problem.allowed


def test_a_table_above_a_key_and_a_key_below_do_not_go_together():
    ends = {"low": 0.1, "typical": 0.12, "high": 0.2}
    data = laid(
        example(),
        change={
            "range": {"text": "a", "strip": {"rolling_resistance": ends}},
            "number": {"text": "b", "strip": {"rolling_resistance": 0.15}},
        },
    )
    problems = refused(with_changes, parse_scenario(data), ["range", "number"])
    assert set(problems) == {"change.number.strip.rolling_resistance"}


def test_what_one_change_brings_another_cannot_take_away():
    fan = {"kind": "ducted-fan", "exit_diameter": "62 mm", "static_thrust": "25 N"}
    data = laid(
        example(),
        change={
            "slower": {"text": "a", "power": {"zero_thrust_airspeed": "60 m/s"}},
            "fan": {"text": "b", "power": fan},
        },
    )
    (problem,) = refused(with_changes, parse_scenario(data), ["slower", "fan"]).values()
    assert "zero_thrust_airspeed" in problem.allowed and "fan and slower" in problem.allowed


def test_twice_and_unknown(file):
    (problem,) = refused(load_scenario, file, changes=["ballast", "ballast"]).values()
    assert "once" in problem.allowed
    (problem,) = refused(load_scenario, file, changes=["long-nose"]).values()
    assert problem.nearest == "long-nose-leg"
    assert "  ballast: Lead in the nose" in problem.allowed
    (problem,) = refused(with_changes, parse_scenario(example()), ["anything"]).values()
    assert "no tables [change.NAME]" in problem.allowed


def test_overrides_do_not_reach_changes(file):
    problems = refused(load_scenario, file, ["change.ballast.hours=2"], ["ballast"])
    assert set(problems) == {"change"} and "left out of an override" in problems["change"].allowed
    problems = refused(
        load_scenario, file, ["aeroplane.gear.nose={axle_height='3 kg'}"], ["attitude"]
    )
    assert all(not key.startswith("change.") for key in problems)


def test_a_mistyped_table_of_changes_is_answered_with_the_nearest():
    assert refused(parse_scenario, laid(example(), chnage={"c": {}}))["chnage"].nearest == "change"


names = st.sampled_from(["c", "d", "text", "add", "aeroplane", "B"])


@settings(max_examples=120, deadline=None)
@given(st.dictionaries(names, st.one_of(VALUES, st.dictionaries(names, VALUES)), max_size=3))
def test_changes_of_nonsense(changes):
    made = outcome(lambda: parse_scenario(laid(example(), change=changes)))
    for name in made.changes if made else ():
        outcome(lambda name=name: with_changes(made, [name]))


# ----- files -----------------------------------------------------------------------------------


def test_changes_come_along_with_extends_and_are_replaced_whole(file, tmp_path):
    top = tmp_path / "top.toml"
    top.write_text('extends = "jet.toml"\n[change.long-nose-leg]\ntext = "Only the name stayed"\n')
    scenario = load_scenario(top)
    assert len(scenario.changes) == 5
    leg = scenario.changes["long-nose-leg"]
    assert leg.text == "Only the name stayed" and leg.added == () and leg.keys == {}
    assert load_scenario(top, changes=["ballast"]).added[0].mass == 0.06
    top.write_text('extends = "jet.toml"\n[change.ballast]\ntext = "x"\nhours = -1\n')
    (problem,) = refused(load_scenario, top).values()
    assert (problem.source, problem.line) == (str(top), 4)


def test_a_file_of_changes(tmp_path, monkeypatch):
    sub = tmp_path / "shop"
    sub.mkdir()
    (sub / "shop.toml").write_text(LEG + '[change.drooped]\ntext = "from the shop"\n')
    path = tmp_path / "jet.toml"
    path.write_text('changes_from = "shop/shop.toml"\n' + EXAMPLE + OTHERS)
    scenario = load_scenario(path, changes=["long-nose-leg"])
    assert scenario.aeroplane.gear.nose.axle_height == -0.147
    assert scenario.changes["drooped"].text == "Flaps at ten degrees"  # the file's own stands
    (sub / "shop.toml").write_text(LEG.replace("12 g", "12 N"))
    (problem,) = refused(load_scenario, path).values()
    assert problem.key == "change.long-nose-leg.add[1].mass"
    assert problem.source.endswith("shop.toml") and problem.line == 7
    (sub / "shop.toml").write_text('title = "no"\n' + LEG)
    (problem,) = refused(load_scenario, path).values()
    assert (problem.key, problem.line) == ("title", 1)
    path.write_text('changes_from = "no.toml"\n' + EXAMPLE)
    (problem,) = refused(load_scenario, path).values()
    assert (problem.key, problem.line) == ("changes_from", 1)
    assert set(refused(parse_scenario, laid(example(), changes_from="x"))) == {"changes_from"}


def test_a_change_of_another_file(tmp_path):
    shop, path = tmp_path / "shop.toml", tmp_path / "jet.toml"
    shop.write_text(LEG)
    path.write_text(EXAMPLE + OTHERS)
    asked = f"{shop}:long-nose-leg"
    scenario = load_scenario(path, changes=[asked, "ballast"])
    assert scenario.applied == (asked, "ballast")
    assert prepare(scenario).title.endswith(" with long-nose-leg, ballast")
    assert with_overrides(scenario, ["pilot.hold=1"]).aeroplane.gear.nose.axle_height == -0.147
    assert "once" in refused(with_changes, scenario, [asked])["change"].allowed
    (problem,) = refused(load_scenario, path, changes=[f"{shop}:leg"]).values()
    assert "long-nose-leg: Nose leg" in problem.allowed
    for none in ("no.toml", "", "/dev/zero", "a\0b", "x" * 5000):
        assert set(refused(load_scenario, path, changes=[f"{none}:leg"])) == {"file"}


# ----- mass ------------------------------------------------------------------------------------


def added(mass, station="560 mm", height="0 mm"):
    return [{"item": "lump", "mass": mass, "station": station, "height": height}]


def test_a_change_of_another_scenario_is_taken_without_the_rest_of_it(tmp_path):
    other = tmp_path / "other.toml"
    other.write_text(
        'extends = "workshop"\ntitle = "Another"\n[strip]\nlength = "33 m"\n'
        '[change.calm]\ntext = "Late pull"\npilot.pull_at = "31 m"\n'
    )
    alone = load_scenario("meadow-jet", changes=[f"{other}:calm"])
    assert alone.pilot.pull_at.value == 31.0
    assert alone.strip.length == load_scenario("meadow-jet").strip.length
    # what the other file extends brings its changes as well, and so does a shipped name
    inherited, shipped = (
        load_scenario("meadow-jet", changes=[f"{name}:more-throw"]) for name in (other, "workshop")
    )
    assert inherited.aeroplane == shipped.aeroplane
    assert inherited.aeroplane.tail.throw.up == pytest.approx(math.radians(14.0))


@pytest.mark.parametrize(
    ("text", "key", "said"),
    [
        ('extends = "meadow-jet"\n', "change", "tables [change.NAME]"),
        ('[change.a]\ntext = "a"\n[chagne.b]\ntext = "b"\n', "chagne", "beside them those"),
    ],
)
def test_a_file_without_the_change_says_so(tmp_path, text, key, said):
    other = tmp_path / "other.toml"
    other.write_text(text)
    with pytest.raises(ScenarioError) as caught:
        load_scenario("meadow-jet", changes=[f"{other}:a"])
    (problem,) = caught.value.problems
    assert problem.key == key and said in problem.allowed


def test_the_whole_rolls_not_the_base(file):
    base, found = (prepare(load_scenario(file, changes=names)) for names in ((), ("ballast",)))
    p, q = base.setup.parameters, found.setup.parameters
    shift = 0.06 * (0.56 - 0.1) / 3.26
    assert q.mass == pytest.approx(3.26)
    for name in ("main_x", "nose_x", "aft_x", "lift_x", "drag_x", "wing_centre_x", "tail_centre_x"):
        assert getattr(q, name) - getattr(p, name) == pytest.approx(-shift, abs=1e-9), name
    reduced = 3.2 * 0.06 / 3.26
    assert q.pitch_inertia - p.pitch_inertia == pytest.approx(reduced * 0.46**2)
    assert found.resolved["mass_properties"]["cg_station_m"] == pytest.approx(0.56 - shift)
    assert found.resolved["aeroplane"]["mass_kg"] == 3.2  # the file's own


def test_given_coefficients_turn_about_the_cg_of_the_whole():
    base = {"title": "c", "change": {"c": {"text": "x", "add": added("0.3 kg", "0.2 m", "0.5 m")}}}
    scenario = parse_scenario(copy.deepcopy(FULL_SIZE) | base)
    one, other = (prepare(s).setup.parameters for s in (scenario, with_changes(scenario, ["c"])))
    along = 0.3 * 0.2 / 33112.3
    assert other.tail_centre_x - one.tail_centre_x == pytest.approx(along, rel=1e-6)
    assert other.main_x - one.main_x == pytest.approx(along, rel=1e-6)


def test_a_change_without_effect_changes_nothing_at_all():
    plain = prepare(parse_scenario(example()))
    changed = prepare(with_changes(parse_scenario(a_change()), ["c"]))
    assert changed.setup.parameters == plain.setup.parameters
    assert (changed.setup.table.values == plain.setup.table.values).all()


def test_a_cg_behind_the_mains_gets_its_verdict():
    data = a_change(add=added("1.5 kg", "1100 mm"))
    result = sim.simulate(with_changes(parse_scenario(data), ["c"]))
    assert result.verdict is Verdict.SITS_ON_TAIL


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        (added("9 kg", "10 mm"), "behind the nose wheel (station 215 mm, not 154.3 mm)"),
        (added("9 kg", "500 mm", "-300 mm"), "above the ground (not 67.31 mm below it)"),
        (added("-3.2 kg"), "leave 0 g"),
        (added("-1 kg", "1500 mm"), "kg m2 would be left"),
    ],
)
def test_rows_that_leave_no_aeroplane_are_refused_with_the_number(rows, said):
    scenario = with_changes(parse_scenario(a_change(add=rows)), ["c"])
    (problem,) = refused(prepare, scenario).values()
    assert problem.key == "change.c.add" and said in problem.allowed


def test_rows_go_on_top_of_a_weighing():
    data = a_change(add=added("100 g", "215 mm"))
    del data["aeroplane"]["mass"], data["aeroplane"]["cg"]
    data["aeroplane"]["weighing"] = {"nose": "0.9 kg", "mains": "2.3 kg"}
    found = prepare(with_changes(parse_scenario(data), ["c"]))
    heavier = copy.deepcopy(data)
    heavier["aeroplane"]["weighing"]["nose"] = "1.0 kg"  # the lump lies at the nose wheel
    other = prepare(parse_scenario(heavier))
    for name in ("mass", "main_x", "nose_x"):
        expected = getattr(other.setup.parameters, name)
        assert getattr(found.setup.parameters, name) == pytest.approx(expected)


# ----- shown -----------------------------------------------------------------------------------


def test_the_report_shows_changes_and_ledger(file):
    scenario = load_scenario(file, changes=["long-nose-leg", "ballast"])
    report = sim.make_report(scenario)
    text = report_text(report)
    assert text.startswith(f"{scenario.title} with long-nose-leg,")
    assert "\n\nChanges\n" in text and "\n\nMass ledger\n" in text
    assert max(map(len, text.split("\n"))) <= 80
    data = json.loads(json.dumps(document(report), allow_nan=False))
    assert [change["name"] for change in data["changes"]] == ["long-nose-leg", "ballast"]
    assert data["changes"][0]["hours"] == 1.5 and data["changes"][1]["cost"] is None
    ledger = data["mass_ledger"]
    assert ledger["before"]["mass_kg"] == 3.2
    assert ledger["after"]["mass_kg"] == pytest.approx(3.272)
    assert ledger["cg_shift_aft_m"] == pytest.approx(
        (0.012 * (0.21 - 0.56) + 0.06 * (0.1 - 0.56)) / 3.272
    )
    assert data["scenario"]["mass_properties"] == ledger["after"]
    assert f"CG moves {-1e3 * ledger['cg_shift_aft_m']:.1f} mm ahead" in text
    imperial = report_text(report, system="imperial")
    assert max(map(len, imperial.split("\n"))) <= 80 and "lb*ft^2" in imperial


def test_without_changes_there_is_nothing_to_show(file):
    report = sim.make_report(load_scenario(file))
    text = report_text(report)
    assert "Mass ledger" not in text and "\nChanges\n" not in text
    data = document(report)
    assert data["changes"] == [] and data["mass_ledger"]["rows"] == []
    assert data["mass_ledger"]["before"] == data["mass_ledger"]["after"]
