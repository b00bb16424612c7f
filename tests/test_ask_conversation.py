"""The conversation: order, going back, mistakes told at once, a whole scenario at the end."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.ask.conversation import WIDTH, UnfinishedError, converse
from sim.ask.questions import QUESTIONS
from sim.prepare import prepare
from sim.scenario import Problem, Scenario, ScenarioError, parse_quantity, parse_scenario
from tests.asked import TAPE, Pipe, answered, lines, ordered


def replaced(key: str, *typed: str, base: dict[str, str] | None = None) -> list[str]:
    """The builder's lines, those of one question replaced by others."""
    result = []
    for question, answer in ordered(base or TAPE):
        result += list(typed) if question.key == key else [answer]
    return result


def test_every_question_is_answered_by_the_tape() -> None:
    assert {question.key for question in QUESTIONS} == set(TAPE)


def test_answers_become_the_scenario_they_describe() -> None:
    tree, _ = answered(lines(TAPE))
    scenario = parse_scenario(tree)
    assert scenario.aeroplane.gear.main.station == 0.655
    assert scenario.aeroplane.swing is not None and scenario.aeroplane.swing.period == 2.0
    assert scenario.aeroplane.wing is not None and scenario.aeroplane.wing.flaps is not None
    assert scenario.power.kind == "measured" and scenario.power.exit_diameter is None
    assert scenario.power.zero_thrust_airspeed == 72.0
    prepare(scenario)


def test_scales_under_the_wheels_give_mass_and_cg() -> None:
    tree, pipe = answered(lines(TAPE | {"?balance": "wheels on scales"}))
    aeroplane = tree["aeroplane"]
    assert "mass" not in aeroplane and "cg" not in aeroplane
    assert aeroplane["weighing"]["tilted"] == {"angle": "15 deg", "nose": "163 g"}
    prepared = prepare(parse_scenario(tree))
    assert prepared.setup.parameters.mass == pytest.approx(3.1)
    assert "sit on its tail" not in pipe.text
    heavy = TAPE | {"?balance": "wheels on scales", "aeroplane.weighing.nose": "900 g"}
    heavy |= {"?tilted": "no"}
    assert "hard to rotate" in answered(lines(heavy))[1].text.replace("\n  ", " ")


def test_only_what_is_needed() -> None:
    few = {q.key: TAPE[q.key] if q.needed and not q.usual else "" for q in QUESTIONS}
    few |= {"?balance": "mass and CG", "?swing": "no", "?flaps": "no", "?fall-off": "exit diameter"}
    few |= {"aeroplane.tail.kind": "all-moving", "aeroplane.gear.nose.axle_height": ""}
    few["power.zero_thrust_airspeed"] = ""
    tree, _ = answered(lines(few))
    scenario = parse_scenario(tree)
    assert scenario.power.exit_diameter == 0.068
    assert scenario.aeroplane.cg.height is None and scenario.power.thrust_line is None
    assert scenario.aeroplane.gear.ground_attitude == pytest.approx(0.02618, abs=1e-5)
    assert {"aeroplane.cg.height", "power.thrust_line"} <= {d.key for d in scenario.defaulted}
    prepare(scenario)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("25.787 in", "655 mm"),
        ('25.787"', "655 mm"),
        ("25 25/32 in", "654.84 mm"),
        ('25-25/32"', "654.84 mm"),
        ("2.149 ft", "655 mm"),
        ("65,5 cm", ""),
        ("0.655 m", "655 mm"),
    ],
)
def test_any_unit_and_inches_in_parts(typed: str, meant: str) -> None:
    key = "aeroplane.gear.main.station"
    tree, pipe = answered(replaced(key, typed, *([] if meant else ["655 mm"])))
    found = parse_quantity(tree["aeroplane"]["gear"]["main"]["station"], "length")
    assert found == pytest.approx(parse_quantity(meant or "655 mm", "length"), abs=1e-4)
    assert ("65.5" in pipe.text) == (typed == "65,5 cm")


@pytest.mark.parametrize(
    ("key", "typed", "told"),
    [
        ("aeroplane.mass", "3.1", "The unit is missing: 3.1 kg or 3.1 lb?"),
        ("aeroplane.mass", "31 N", "a mass"),
        ("aeroplane.mass", "1 g", "5 g"),
        ("aeroplane.mass", "", "needed"),
        ("aeroplane.mass", "none", "needed"),
        ("aeroplane.mass", "heavy", "a mass"),
        ("aeroplane.gear.nose.station", "700 mm", "ahead of the main wheels"),
        ("aeroplane.gear.main.axle_height", "-118", "-118 mm or -118 in?"),
        ("aeroplane.cg.station", "150 mm", "behind the nose wheel"),
        ("aeroplane.scrape_point.station", "600 mm", "behind the main wheels"),
        ("aeroplane.scrape_point.height", "-200 mm", "below the ground"),
        ("aeroplane.wing.flaps.outboard", "520 mm", "half the span (510 mm)"),
        ("aeroplane.wing.flaps.outboard", "60 mm", "inboard"),
        ("aeroplane.wing.flaps.chord_fraction", "22 %", "without a unit"),
        ("aeroplane.wing.flaps.chord_fraction", "nan", "finite"),
        ("aeroplane.wing.flaps.kind", "flap", "One of plain, split, slotted"),
        ("aeroplane.tail.throw.up", "80 deg", "45 deg"),
        ("power.static_thrust", "2.1 kg", "2.1 kgf"),
        ("strip.surface", "mwon grass", "Perhaps mown grass?"),
        ("strip.surface", "9", "its number"),
        ("strip.surface", "0", "its number"),
        ("strip.slope", "2", "The unit is missing"),
        ("air.temperature", "18 C", "no unit"),
        ("pilot.pull_at", "20", "a place"),
        ("pilot.pull", "two", "from 0 to 1"),
        ("?flaps", "perhaps", "One of yes, no"),
    ],
)
def test_mistakes_are_told_at_once_and_asked_again(key: str, typed: str, told: str) -> None:
    tree, pipe = answered(replaced(key, typed, TAPE[key]))
    assert told in " ".join(pipe.text.split())
    assert tree == answered(lines(TAPE))[0]


@pytest.mark.parametrize(
    ("key", "typed", "told"),
    [
        ("aeroplane.cg.station", "700 mm", "it would sit on its tail"),
        ("aeroplane.cg.station", "500 mm", "hard to rotate"),
        ("aeroplane.cg.station", "640 mm", "hardly any load to steer with"),
        ("aeroplane.wing.tip_chord", "500 mm", "wider at the tip"),
        ("aeroplane.tail.root_leading_edge.station", "300 mm", "ahead of the wing"),
        ("aeroplane.wing.root_leading_edge.station", "610 mm", "wing's root chord"),
        ("aeroplane.mass", "24 kg", "Wing loading"),
        ("power.static_thrust", "5 N", "Thrust over weight"),
        ("pilot.pull_at", "80 m", "beyond the end of the strip"),
    ],
)
def test_what_looks_odd_is_remarked_and_taken(key: str, typed: str, told: str) -> None:
    tree, pipe = answered(replaced(key, typed))
    assert told in " ".join(pipe.text.split())
    assert told not in " ".join(answered(lines(TAPE))[1].text.split())
    place = tree
    for name in key.split(".")[:-1]:
        place = place[name]
    assert place[key.rpartition(".")[2]] == typed


def test_a_remark_comes_once() -> None:
    _, pipe = answered(replaced("aeroplane.cg.station", "700 mm"))
    assert " ".join(pipe.text.split()).count("sit on its tail") == 1


def test_unusual_answers_are_taken_when_given_again() -> None:
    key = "aeroplane.gear.main.wheel_diameter"
    tree, pipe = answered(replaced(key, "250 mm", "250 mm"))
    assert tree["aeroplane"]["gear"]["main"]["wheel_diameter"] == "250 mm"
    assert pipe.text.count("That is unusual") == 1
    tree, pipe = answered(replaced(key, "250 mm", "260 mm", "70 mm"))
    assert tree["aeroplane"]["gear"]["main"]["wheel_diameter"] == "70 mm"
    assert pipe.text.count("That is unusual") == 2


def test_question_mark_tells_how_its_caution_and_the_key() -> None:
    tree, pipe = answered(replaced("power.static_thrust", "?", "21 N"))
    told = " ".join(pipe.text.split())
    assert "Tie the model down" in told and "plane of the fan" in told
    assert "In the file: power.static_thrust." in told
    assert tree == answered(lines(TAPE))[0]


def test_back_goes_one_question_back_as_often_as_wanted() -> None:
    typed = ["My jet", "1.2 m", "back", "back", "Other", "1.26 m", *lines(TAPE)[2:]]
    tree, pipe = answered(typed)
    assert tree["title"] == "Other" and tree["aeroplane"]["length"] == "1.26 m"
    assert "[My jet] > " in pipe.text and "[1.2 m] > " in pipe.text
    first = ["back", *lines(TAPE)]
    assert "first question" in answered(first)[1].text


def test_back_over_a_choice_drops_what_hung_on_it() -> None:
    base = TAPE | {"?flaps": "no"}
    tree, _ = answered(replaced("?flaps", "yes", "plain", "back", "back", "no", base=base))
    assert "flaps" not in tree["aeroplane"]["wing"]
    assert tree == answered(lines(base))[0]


def test_an_empty_line_takes_what_was_answered_before_going_back() -> None:
    tree, _ = answered(["My jet", "back", "", *lines(TAPE)[1:]])
    assert tree["title"] == "My jet"


@pytest.mark.parametrize(
    ("key", "asked_again"),
    [("aeroplane.wing.span", "aeroplane.wing.span"), ("strip.nothing", "pilot.climb_attitude")],
)
def test_what_only_the_whole_shows_opens_the_question_again(
    monkeypatch: pytest.MonkeyPatch, key: str, asked_again: str
) -> None:
    whole = [ScenarioError([Problem(key, "what was said", "something else")]), None]

    def once(tree: dict[str, Any]) -> Scenario:
        error = whole.pop(0)
        if error is not None:
            raise error
        return parse_scenario(tree)

    monkeypatch.setattr("sim.ask.conversation.parse_scenario", once)
    words = next(q.words for q in QUESTIONS if q.key == asked_again)
    tree, pipe = answered([*lines(TAPE), TAPE[asked_again]])
    assert "These answers do not go together" in pipe.text and "something else" in pipe.text
    assert pipe.text.count(words) == 2
    assert tree["aeroplane"]["wing"]["span"] == TAPE["aeroplane.wing.span"] and not whole


def test_progress_counts_what_will_be_asked() -> None:
    _, pipe = answered(lines(TAPE))
    count = len(list(ordered(TAPE)))
    assert f"Question {count} of {count}: Pilot" in pipe.text
    assert "Question 1 of " in pipe.text
    places = [f"Question {n} of " for n in range(1, count + 1)]
    assert all(place in pipe.text for place in places)


def test_drawings_come_and_go() -> None:
    assert "|<---" in answered(lines(TAPE), drawings=True)[1].text
    assert "|<---" not in answered(lines(TAPE), drawings=False)[1].text


def test_the_end_of_the_input_is_an_end() -> None:
    for count in (0, 1, 30):
        pipe = Pipe(lines(TAPE)[:count])
        with pytest.raises(UnfinishedError) as caught:
            converse(pipe.ask, pipe.shown.append)
        assert isinstance(caught.value.__cause__, EOFError)
        assert caught.value.tree.get("title") == (TAPE["title"] if count else None)
        assert bool(caught.value.tree) == bool(count)


def test_what_was_gone_back_over_is_kept_when_it_ends() -> None:
    with pytest.raises(UnfinishedError) as caught:
        converse(Pipe([*lines(TAPE)[:5], "back", "back"]).ask, str)
    assert caught.value.tree["aeroplane"]["body"] == {"width": "125 mm", "depth": "118 mm"}


def test_lines_stay_within_a_terminal() -> None:
    typed = [word for line in lines(TAPE) for word in ("?", line)]
    _, pipe = answered(typed, drawings=True)
    long = [line for shown in pipe.shown for line in shown.split("\n") if len(line) > WIDTH + 2]
    assert not long
    assert pipe.text.isascii()


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.sampled_from([*TAPE.values(), "", "?", "back", "none", "1", "é\x00"]), max_size=90)
)
def test_any_lines_are_borne(typed: list[str]) -> None:
    pipe = Pipe(typed)
    try:
        parse_scenario(converse(pipe.ask, pipe.shown.append, False))
    except UnfinishedError:
        assert not pipe.typed
