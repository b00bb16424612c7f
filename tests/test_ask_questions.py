"""The questions as data: they fit the registry of keys, and say how to measure with care."""

import pytest

from sim.ask.answers import choices, judged, key_of, tree_of
from sim.ask.question import Question
from sim.ask.questions import QUESTIONS
from sim.scenario.fields import Quantity
from sim.scenario.keys import keys_of, walk_keys
from tests.asked import TAPE

WRITTEN = [question for question in QUESTIONS if question.written]
KEYS = dict(walk_keys())


def test_each_question_is_asked_once_and_fills_in_a_key() -> None:
    assert len({question.key for question in QUESTIONS}) == len(QUESTIONS)
    for question in WRITTEN:
        assert question.key in KEYS
        assert key_of(question) == KEYS[question.key]
    with pytest.raises(KeyError):
        key_of(Question("?x", "", "", ""))
    with pytest.raises(KeyError):
        key_of(Question("aeroplane.colour", "", "", ""))


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda q: q.key)
def test_questions_tell_how(question: Question) -> None:
    assert question.words.endswith("?") and question.how.rstrip().endswith(".")
    assert question.part and len(question.words) < 100
    assert question.needed or not question.usual


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda q: q.key)
def test_usual_answers_are_taken(question: Question) -> None:
    if question.usual:
        assert judged(question, "", {}).accepted
        assert judged(question, "", {}).value is not None
    elif question.needed:
        assert not judged(question, "", {}).accepted
    else:
        assert judged(question, "", {}).value is None


@pytest.mark.parametrize("question", WRITTEN, ids=lambda q: q.key)
def test_usual_ranges_lie_within_the_bounds_and_are_in_order(question: Question) -> None:
    note = key_of(question).note
    bounds = [text for text in (question.unusual_below, question.unusual_above) if text]
    if not bounds:
        return
    assert isinstance(note, Quantity)
    values = [float(b) if note.dimension == "bare" else b for b in bounds]
    read = [note.read(value) for value in values]
    assert read == sorted(set(read))


def test_conditions_name_questions_asked_before() -> None:
    seen: dict[str, tuple[str, ...]] = {}
    for question in QUESTIONS:
        for key, wanted in question.when:
            assert key in seen
            assert wanted is None or wanted in seen[key]
        seen[question.key] = choices(question)


def test_keys_every_scenario_needs_are_asked_for() -> None:
    asked = {question.key for question in WRITTEN if question.needed} | {"power.kind"}
    tables = {path.rpartition(".")[0] for path in asked}
    for table in tables - {"", "power"}:
        model = KEYS[table].table
        assert model is not None
        for name, key in keys_of(model).items():
            if key.required and key.table is None:
                assert f"{table}.{name}" in asked, f"{table}.{name}"


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("power.static_thrust", ("Tie the model down", "plane of the fan", "exhaust")),
        ("power.exit_diameter", ("disconnected",)),
        ("aeroplane.cg.station", ("disconnected",)),
        ("aeroplane.weighing.nose", ("disconnected",)),
        ("aeroplane.swing.period", ("disconnected",)),
        ("aeroplane.tail.throw.up", ("unplugged",)),
        ("aeroplane.weighing.tilted.angle", ("holds the model",)),
    ],
)
def test_measurements_that_can_hurt_carry_a_caution(key: str, words: tuple[str, ...]) -> None:
    how = next(question.how for question in QUESTIONS if question.key == key)
    assert all(word in how for word in words)


def test_choices_are_not_written_and_hide_what_does_not_apply() -> None:
    answers = {key: value for key, value in TAPE.items()}
    tree = tree_of(answers | {"?flaps": "no", "?swing": "no"})
    assert "flaps" not in tree["aeroplane"]["wing"] and "swing" not in tree["aeroplane"]
    assert not any(name.startswith("?") for name in tree)
    assert tree["power"]["kind"] == "measured"


def test_surface_words_are_described() -> None:
    question = next(q for q in WRITTEN if q.key == "strip.surface")
    assert all(word in question.how for word in choices(question))
