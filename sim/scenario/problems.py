"""What is wrong with a scenario, all of it at once, in the builder's words."""

import difflib
from collections.abc import Iterable
from dataclasses import dataclass, replace

LONGEST_SHOWN = 60
NOTHING = "nothing"


@dataclass(frozen=True)
class Problem:
    """One mistake.

    Attributes
    ----------
    key: dotted path as in the file; points of a list are counted from 1: `power.points[2].thrust`.
    given: what stands there, as it would be written in the file, or "nothing".
    allowed: what may stand there.
    nearest: the key, word or quantity probably meant, if any.
    line: line in the file, if known.
    source: file or override it was read from.

    """

    key: str
    given: str
    allowed: str
    nearest: str | None = None
    line: int | None = None
    source: str = ""

    def text(self) -> str:
        """Plain text: one line, then what was probably meant, then where it stands."""
        lines = [f"{self.key}: given {self.given}; allowed: {self.allowed}."]
        if self.nearest:
            lines.append(f"  nearest: {self.nearest}")
        if self.source or self.line:
            place = [self.source] if self.source else []
            place += [f"line {self.line}"] if self.line else []
            lines.append(f"  in {', '.join(place)}")
        return "\n".join(lines)


class QuestionError(ValueError):
    """A question that cannot be answered as it is asked; `str()` is meant for the builder."""


class ScenarioError(Exception):
    """Everything wrong with a scenario, in `problems`; `str()` of it is meant for the builder."""

    about = "This scenario cannot be rolled"

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(self.problems)

    def __str__(self) -> str:
        return "\n".join(problem.text() for problem in self.problems)

    def told(self) -> str:
        """The whole message: what cannot be done, how many things are wrong, and each of them."""
        count = len(self.problems)
        things = "one thing is" if count == 1 else f"{count} things are"
        return f"{self.about}; {things} wrong:\n{self}"


def fail(
    key: str, given: str, allowed: str, nearest: str | None = None, line: int | None = None
) -> ScenarioError:
    """An error of one problem, its source still to be filled in."""
    return ScenarioError([Problem(key, given, allowed, nearest, line)])


def from_source(error: ScenarioError, source: str) -> ScenarioError:
    """The same error with the source filled in where it is missing."""
    return ScenarioError(p if p.source else replace(p, source=source) for p in error.problems)


def shown(value: object) -> str:
    """A given value on one line, short and printable whatever it holds."""
    if value is None:
        return NOTHING
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{shorten(value)}"'
    if isinstance(value, int | float):
        huge = isinstance(value, int) and abs(value) >= 10**18
        return "a huge number" if huge else repr(value)
    kind = type(value).__name__
    return {"dict": "a table", "list": "a list", "tuple": "a list"}.get(kind, f"a {kind}")


def shorten(text: str) -> str:
    """The beginning of a text, with what cannot be printed shown as a question mark."""
    start = "".join(c if c.isprintable() else "?" for c in text[:LONGEST_SHOWN])
    return start + ("..." if len(text) > LONGEST_SHOWN else "")


def near(word: str, known: Iterable[str]) -> str | None:
    """The known word most like the given one, upper and lower case alike, or None."""
    by_lower = {k.lower(): k for k in known}
    given = word.lower()[:LONGEST_SHOWN]
    found = difflib.get_close_matches(given, by_lower, n=1, cutoff=0.6)
    return by_lower[found[0]] if found else None
