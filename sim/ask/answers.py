"""One answer: read, checked on its own and against the answers before it."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from pydantic_core import PydanticCustomError

from sim.ask.question import Answers, Question, applies
from sim.ask.questions import ALWAYS, QUESTIONS
from sim.scenario.checks import contradictions
from sim.scenario.fields import Quantity, TriggerField
from sim.scenario.keys import Key, key_at, readings
from sim.scenario.problems import NOTHING, Problem, near
from sim.scenario.unit_table import DIMENSIONS
from sim.scenario.units import parse_quantity, quantity_text, to_display

LEAVE_OUT = "none"
LONGEST = 200
_INCHES = re.compile(r'(-?)(?:(\d{1,4})[ -])?(\d{1,3})/(\d{1,3}) ?(?:in|")\Z')

Value = str | float | None


@dataclass(frozen=True)
class Reply:
    """What became of an answer.

    Attributes
    ----------
    accepted: whether `value` is taken.
    value: as it goes into the file; None for what is not known.
    words: what is told: why not, or what it was understood as.

    """

    accepted: bool
    value: Value = None
    words: str = ""


def key_of(question: Question) -> Key:
    """The key of the scenario file a question fills in.

    Raises
    ------
    KeyError
        For a choice that is not written.

    """
    key = key_at(tuple(question.key.split("."))) if question.written else None
    if key is None:
        raise KeyError(question.key)
    return key


def choices(question: Question) -> tuple[str, ...]:
    """Words a question takes; none for a measurement."""
    return question.choices or (key_of(question).words if question.written else ())


def tree_of(answers: Answers) -> dict[str, Any]:
    """The answers as a scenario, those to questions that do not apply left out."""
    tree: dict[str, Any] = {}
    given = {q.key: answers.get(q.key) for q in QUESTIONS if q.written and applies(q, answers)}
    for path, value in (ALWAYS | given).items():
        if value is None:
            continue
        *tables, last = path.split(".")
        place = tree
        for name in tables:
            place = place.setdefault(name, {})
        place[last] = value
    return tree


def judged(question: Question, text: str, answers: Answers, insisted: bool = False) -> Reply:
    """Read an answer and look whether it fits.

    Parameters
    ----------
    question
        what was asked.
    text
        the answer; "" takes the usual one, or leaves the key out.
    answers
        those before it.
    insisted
        the same unusual answer was given before.

    """
    text = text.strip() or question.usual
    if not text or text.lower() == LEAVE_OUT:
        if question.needed:
            return Reply(False, words=f"This one is needed: {wanted(question)}.")
        return Reply(True, None, "left out")
    reply = _read(question, text)
    if not reply.accepted or not question.written:
        return reply
    wrong = _contradicted(question, reply.value, answers)
    if wrong:
        return Reply(False, words=wrong)
    odd = "" if insisted else _unusual(question, reply.value)
    return Reply(False, words=odd) if odd else reply


def wanted(question: Question) -> str:
    """What may be answered, in words."""
    words = choices(question)
    if words:
        return "one of " + ", ".join(words)
    return key_of(question).allowed()


def _read(question: Question, text: str) -> Reply:
    words = choices(question)
    if words:
        return _choice(text, words)
    note = key_of(question).note
    try:
        if isinstance(note, TriggerField):
            note.read(text)
            return Reply(True, text)
        if isinstance(note, Quantity):
            return _quantity(note, text)
    except PydanticCustomError as error:
        context = error.context or {}
        guess = context.get("nearest")
        hint = f" Perhaps {guess}?" if guess else ""
        return Reply(False, words=f"{_why(note, text)}Allowed: {context['allowed']}.{hint}")
    if len(text) > LONGEST or not text.isprintable():
        return Reply(False, words=f"At most {LONGEST} printable characters.")
    return Reply(True, text)


def _choice(text: str, words: tuple[str, ...]) -> Reply:
    """A word, the beginning of one, or its number in the list."""
    lower = text.lower()
    if lower.isascii() and lower.isdigit() and 1 <= int(lower[:4]) <= len(words):
        return Reply(True, words[int(lower[:4]) - 1])
    same = [word for word in words if word.lower() == lower]
    found = same or [word for word in words if word.lower().startswith(lower)]
    if len(found) == 1:
        return Reply(True, found[0])
    guess = near(text, words)
    hint = f" Perhaps {guess}?" if guess else ""
    return Reply(False, words=f"One of {', '.join(words)}, or its number.{hint}")


def _quantity(note: Quantity, text: str) -> Reply:
    """A quantity as typed, told again in the usual unit when it was typed in another."""
    if note.dimension == "bare":
        value: float | str = _number(text)
        note.read(value)
        return Reply(True, value if isinstance(value, float) else None)
    text = _inches(text)
    reading = note.read(text)
    usual = to_display(reading, note.dimension).unit
    same = text.rstrip().endswith(usual)
    again = "" if same else f"= {quantity_text(reading, note.dimension)}"
    return Reply(True, text, again)


def _number(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text


def _inches(text: str) -> str:
    """`19 3/8 in` and `19.4"` as a decimal number of inches."""
    found = _INCHES.match(text)
    if found and int(found[4]):
        value = int(found[2] or 0) + Fraction(int(found[3]), int(found[4]))
        return f"{found[1]}{float(value):.10g} in"
    return text[:-1].rstrip() + " in" if text.endswith('"') else text


def _why(note: Any, text: str) -> str:
    """A missing unit is told first: it is the commonest slip."""
    if not isinstance(note, Quantity) or not isinstance(_number(text), float):
        return ""
    if note.dimension == "bare":
        return ""
    kind = DIMENSIONS[note.dimension]
    units = dict.fromkeys((kind.metric, kind.imperial))
    written = " or ".join(f"{text} {unit}" for unit in units)
    return f"The unit is missing: {written}? "


def _contradicted(question: Question, value: Value, answers: Answers) -> str:
    """Contradictions the new answer brings; what is only missing is asked for later."""
    before = {k: v for k, v in answers.items() if k != question.key}
    old = {problem.key for problem in _problems(before)}
    new = [p for p in _problems(before | {question.key: value}) if p.key not in old]
    return " ".join(_told(problem, question) for problem in new)


def _problems(answers: Answers) -> list[Problem]:
    tree = tree_of(answers)
    return [p for p in contradictions(tree, readings(tree)) if p.given != NOTHING]


def _told(problem: Problem, question: Question) -> str:
    if problem.key == question.key:
        return f"This contradicts an earlier answer. Allowed: {problem.allowed}. Or go back to it."
    return (
        f"This contradicts an earlier answer: {problem.key} is {problem.given}, which would have to"
        f" be {problem.allowed}. Answer again, or go back to it."
    )


def _unusual(question: Question, value: Value) -> str:
    """A remark on an answer outside what models have."""
    note = key_of(question).note
    if not isinstance(note, Quantity) or value is None:
        return ""
    bounds = (question.unusual_below, question.unusual_above)
    low, high = (_plain(note, bound) if bound else None for bound in bounds)
    reading = _plain(note, str(value))
    if (low is None or reading >= low) and (high is None or reading <= high):
        return ""
    usual = " and ".join(
        f"{w} {b}" for w, b in zip(("at least", "at most"), bounds, strict=True) if b
    )
    return f"That is unusual (models have {usual}). Give it again if it is right."


def _plain(note: Quantity, text: str) -> float:
    return float(text) if note.dimension == "bare" else parse_quantity(text, note.dimension)


def values_of(answers: Answers) -> Mapping[str, Any]:
    """Everything answered so far that can be read [SI]."""
    return readings(tree_of(answers))
