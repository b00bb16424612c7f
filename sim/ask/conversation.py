"""The conversation: one question at a time until the scenario is whole.

Knows nothing of terminals: it is handed a way to ask and a way to say.
"""

import textwrap
from collections.abc import Callable
from typing import Any

from sim.ask.answers import choices, judged, tree_of, values_of, wanted
from sim.ask.drawings import drawing
from sim.ask.question import Question, applies
from sim.ask.questions import QUESTIONS
from sim.ask.remarks import remarks
from sim.prepare import prepare
from sim.scenario.problems import Problem, ScenarioError
from sim.scenario.scenario import parse_scenario

WIDTH = 78
Ask = Callable[[str], str]
Say = Callable[[str], None]
Answered = dict[str, str | float | bool | None]

WELCOME = (
    "One measurement at a time. Answer with a unit (490 mm, 19.3 in, 2.1 kgf). An empty line takes"
    " what stands in brackets, or leaves out what you do not know. ? tells how to measure, back"
    " goes to the question before. Whoever stops early keeps what is answered."
)


class UnfinishedError(Exception):
    """The conversation ended before its last question.

    Attributes
    ----------
    tree: the scenario as far as it was answered; empty without an answer.

    """

    def __init__(self, tree: dict[str, Any]) -> None:
        self.tree = tree
        super().__init__("the questions ended before the last answer")


def converse(ask: Ask, say: Say, drawings: bool = True) -> dict[str, Any]:
    """Ask everything, and hand back a scenario that has been checked as a whole.

    Parameters
    ----------
    ask
        shows a prompt and returns one line; raises EOFError when there is none.
    say
        shows lines of text.
    drawings
        whether to draw what is measured.

    Raises
    ------
    UnfinishedError
        When `ask` raises EOFError or is interrupted, which is then its cause.

    """
    answers: Answered = {}
    before: Answered = {}
    try:
        say(_wrapped(WELCOME))
        return _all(answers, before, (ask, say, drawings))
    except (EOFError, KeyboardInterrupt) as end:
        known = before | answers  # what was gone back over counts
        raise UnfinishedError(tree_of(known) if any(known.values()) else {}) from end


def _all(answers: Answered, before: Answered, how: tuple[Ask, Say, bool]) -> dict[str, Any]:
    """Ask until the whole is answered and goes together."""
    while True:
        question = _next(answers)
        if question is None:
            tree = tree_of(answers)
            wrong = _problems(tree)
            if not wrong:
                return tree
            _reopen(wrong, answers, how[1])
            continue
        _one(question, answers, before, how)


def _next(answers: Answered) -> Question | None:
    """The first question that applies and has no answer."""
    return next((q for q in QUESTIONS if applies(q, answers) and q.key not in answers), None)


def _problems(tree: dict[str, Any]) -> tuple[Problem, ...]:
    """What keeps the scenario from being read or made ready to roll."""
    try:
        prepare(parse_scenario(tree))
    except ScenarioError as error:
        return error.problems
    return ()


def _reopen(problems: tuple[Problem, ...], answers: Answered, say: Say) -> None:
    """Tell what does not fit and open the questions it is about, or else the last one."""
    say("These answers do not go together:")
    for problem in problems:
        say(textwrap.indent(problem.text(), "  "))
    keys = {problem.key for problem in problems}
    found = [q.key for q in QUESTIONS if q.key in keys and q.key in answers]
    for key in found or [_applying(answers)[-1].key]:
        del answers[key]


def _applying(answers: Answered) -> list[Question]:
    return [q for q in QUESTIONS if applies(q, answers)]


def _one(
    question: Question, answers: Answered, before: Answered, how: tuple[Ask, Say, bool]
) -> None:
    """Ask one question until it is answered, or until the builder goes back."""
    ask, say, drawings = how
    say(_shown(question, answers, drawings))
    refused = ""
    while question.key not in answers:
        text = ask(_prompt(question, before)).strip()
        if text == "?":
            say(_help(question))
        elif text.lower() == "back":
            if _back(question, answers, before, say):
                return
        else:
            given = text or str(before.get(question.key) or "")
            reply = judged(question, given, answers, insisted=bool(given) and given == refused)
            refused = "" if reply.accepted else given
            if reply.words:
                say(_wrapped(reply.words, "  "))
            if reply.accepted:
                _accept(question, reply.value, answers, say)


def _accept(question: Question, value: str | float | None, answers: Answered, say: Say) -> None:
    """Take an answer and tell what it newly shows together with the others."""
    old = remarks(values_of(answers))
    answers[question.key] = value
    for words in remarks(values_of(answers)):
        if words not in old:
            say(_wrapped(f"Note: {words}", "  "))


def _back(question: Question, answers: Answered, before: Answered, say: Say) -> bool:
    """Open the question before this one; False when this is the first."""
    asked = _applying(answers)
    place = asked.index(question)
    if place == 0:
        say("  This is the first question.")
        return False
    key = asked[place - 1].key
    before[key] = answers.pop(key)
    return True


def _shown(question: Question, answers: Answered, drawings: bool) -> str:
    """Progress, drawing, the question and the words it takes."""
    asked = _applying(answers)
    place = f"Question {asked.index(question) + 1} of {len(asked)}: {question.part}"
    lines = ["", place, "-" * len(place)]
    if drawings and question.mark:
        lines += [*drawing(question.mark), ""]
    lines.append(_wrapped(question.words))
    words = choices(question)
    lines += [f"  {number} {word}" for number, word in enumerate(words, 1)]
    return "\n".join(lines)


def _prompt(question: Question, before: Answered) -> str:
    usual = before.get(question.key) or question.usual
    if usual:
        return f"[{usual}] > "
    return "> " if question.needed else "[not known] > "


def _help(question: Question) -> str:
    key = f" In the file: {question.key}." if question.written else ""
    return _wrapped(f"{question.how} Wanted: {wanted(question)}.{key}", "  ")


def _wrapped(text: str, indent: str = "") -> str:
    return textwrap.fill(text, WIDTH, initial_indent=indent, subsequent_indent=indent)
