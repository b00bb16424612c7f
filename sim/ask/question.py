"""What a question is."""

from collections.abc import Mapping
from dataclasses import dataclass

from sim.ask.drawings import Mark

Answers = Mapping[str, str | float | bool | None]
"""Answers by key of the question, as they go into the file; None for what is not known."""

YES = ("yes", "no")


@dataclass(frozen=True)
class Question:
    """One thing to be measured or chosen.

    Attributes
    ----------
    key: path in the scenario file; "?name" for a choice that decides what is asked next and is not
        written.
    part: what it belongs to, told with the progress.
    words: the question.
    how: how to measure it, and its caution, for "?".
    mark: drawing with the measured length.
    usual: answer taken for an empty line, as written.
    unusual_below, unusual_above: beyond these the answer is asked for twice; "" for none.
    needed: an empty line is not enough.
    choices: words to choose from, of a question that is not written.
    when: answers that must stand for the question to be asked, all of them; None for left out.

    """

    key: str
    part: str
    words: str
    how: str
    mark: Mark | None = None
    usual: str = ""
    unusual_below: str = ""
    unusual_above: str = ""
    needed: bool = True
    choices: tuple[str, ...] = ()
    when: tuple[tuple[str, str | None], ...] = ()

    @property
    def written(self) -> bool:
        """Whether the answer goes into the file."""
        return not self.key.startswith("?")


def applies(question: Question, answers: Answers) -> bool:
    """Whether a question is asked after the answers given."""
    return all(key in answers and answers[key] == wanted for key, wanted in question.when)
