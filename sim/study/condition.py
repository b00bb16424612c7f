"""Conditions on the outcome of a roll, such as "lift-off.distance <= 60 m".

    condition = clause { " and " clause }
    clause    = name  ("<=" | ">=" | "==")  value

The name is one of `sim.study.outcome_columns`, or `verdict`. The value is a quantity with its
unit, a plain number where the name has none, or a verdict's word behind `verdict ==`. What is
missing in a roll (an event that did not happen) makes its clause false. Nothing in a text is ever
evaluated.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.roll.aero_table import Array
from sim.roll.verdict import Verdict
from sim.scenario import ScenarioError, parse_quantity
from sim.scenario.problems import QuestionError, near, shorten, shown
from sim.scenario.unit_table import DIMENSIONS
from sim.study.outcome_columns import OUTCOME_COLUMNS, VERDICT, OutcomeColumn
from sim.study.rows import VERDICTS, Rows

LONGEST = 400
SAME = 1e-6
"""Share of the limit (at least of one unit) within which `==` holds for numbers."""
FORM = '"NAME <= VALUE" (or >=, ==), such as "lift-off.distance <= 60 m"'

_CLAUSE = re.compile(r"\s*([A-Za-z][A-Za-z0-9_.-]*)\s*(<=|>=|==|=<|=>|=|<|>|!=)\s*(.*?)\s*")
_SIGNS: dict[str, Callable[[Array, float], NDArray[np.bool_]]] = {
    "<=": lambda margin, _: np.asarray(margin <= 0.0),
    ">=": lambda margin, _: np.asarray(margin >= 0.0),
    "==": lambda margin, limit: np.asarray(np.abs(margin) <= SAME * max(1.0, abs(limit))),
}
_MEANT = {"<": "<=", ">": ">=", "=": "==", "=<": "<=", "=>": ">=", "!=": "=="}
_DIMENSION_OF_KIND = {
    "distance": "distance", "height": "distance", "length": "length", "time": "time",
    "speed": "speed", "angle": "angle", "angular_rate": "turn_rate", "force": "force",
    "energy": "energy", "fraction": "bare",
}  # fmt: skip
"""Kind of an outcome to the kind of quantity that is read; those not here are read in SI."""


class ConditionError(QuestionError):
    """A text that is no condition; `str()` of it is meant for the builder."""


@dataclass(frozen=True)
class Clause:
    """One comparison.

    Attributes
    ----------
    name: column, or "verdict".
    sign: "<=", ">=" or "==".
    limit: [SI]; index into `VERDICTS` for a verdict.

    """

    name: str
    sign: str
    limit: float

    def margin(self, rows: Rows) -> Array:
        """Value less limit [SI], nan where it is missing; nan throughout for a verdict."""
        if self.name == VERDICT:
            return np.full(len(rows), np.nan)
        return np.asarray(rows[self.name] - self.limit)

    def holds(self, rows: Rows) -> NDArray[np.bool_]:
        """Rows for which it holds, shape (m,); false where the value is missing."""
        if self.name == VERDICT:
            return np.asarray(rows.verdicts == int(self.limit))
        margin = self.margin(rows)  # nan compares false
        return _SIGNS[self.sign](margin, self.limit)


@dataclass(frozen=True)
class Condition:
    """One clause or several that must all hold.

    Attributes
    ----------
    text: as given.
    clauses: in their order.

    """

    text: str
    clauses: tuple[Clause, ...]

    @property
    def columns(self) -> tuple[str, ...]:
        """Columns to ask for, `roll_rows(..., columns=(*USUAL, *condition.columns))`."""
        return tuple(dict.fromkeys(c.name for c in self.clauses if c.name != VERDICT))

    def holds(self, rows: Rows) -> NDArray[np.bool_]:
        """Rows for which every clause holds, shape (m,)."""
        every = [clause.holds(rows) for clause in self.clauses]
        return np.asarray(np.logical_and.reduce(every), dtype=bool)

    def margin(self, rows: Rows) -> Array:
        """Value less limit [SI], shape (m,): its root is where the condition is just met.

        nan where the value is missing, and throughout unless the condition is one clause about a
        number: then only `holds` tells.
        """
        if len(self.clauses) > 1:
            return np.full(len(rows), np.nan)
        return self.clauses[0].margin(rows)


def condition_of(text: str) -> Condition:
    """Read a condition.

    Raises
    ------
    ConditionError
        Saying what is wrong, what is allowed and what was probably meant.

    """
    if not isinstance(text, str) or len(text) > LONGEST or not text.strip():
        raise ConditionError(f"condition: given {shown(text)}; allowed: {FORM}.")
    clauses = [_clause(part) for part in re.split(r"\s+and\s+", text.strip())]
    return Condition(text.strip(), tuple(clauses))


def _clause(text: str) -> Clause:
    found = _CLAUSE.fullmatch(text)
    if found is None:
        raise ConditionError(f"condition: given {shown(text)}; allowed: {FORM}.")
    name, sign, value = found.groups()
    if sign not in _SIGNS:
        meant = f"{name} {_MEANT[sign]} {value}"
        raise ConditionError(_told(text, "the signs <=, >= and ==", meant))
    if name == VERDICT:
        return _verdict(text, sign, value)
    if name not in OUTCOME_COLUMNS:
        raise ConditionError(_told(text, *_unknown(name)))
    return Clause(name, sign, _limit(text, OUTCOME_COLUMNS[name], value))


def _verdict(text: str, sign: str, value: str) -> Clause:
    word = value.strip("\"'")
    words = [str(verdict.value) for verdict in Verdict]
    if sign != "==":
        raise ConditionError(_told(text, "verdict == and a verdict", f"verdict == {word}"))
    if word not in words:
        nearest = near(word, words)
        meant = f"verdict == {nearest}" if nearest else None
        raise ConditionError(_told(text, f"one of the verdicts {', '.join(words)}", meant))
    return Clause(VERDICT, sign, float(VERDICTS.index(Verdict(word))))


def _limit(text: str, column: OutcomeColumn, value: str) -> float:
    dimension = _DIMENSION_OF_KIND.get(column.kind)
    if dimension in DIMENSIONS and dimension != "bare":
        try:
            return parse_quantity(value.strip("\"'"), str(dimension))
        except ScenarioError as wrong:
            problem = wrong.problems[0]
            nearest = problem.nearest.strip('"') if problem.nearest else None
            meant = f"{column.name} ... {nearest}" if nearest else None
            raise ConditionError(_told(text, problem.allowed, meant)) from None
    unit = "" if column.unit == "-" else column.unit
    number = value.removesuffix(unit).strip() if unit else value
    try:
        limit = float(number)
    except ValueError:
        limit = float("nan")
    if not np.isfinite(limit) or (unit and number == value):
        wanted = f"a number in {unit}, such as 10 {unit}" if unit else "a plain number such as 0.1"
        raise ConditionError(_told(text, wanted, None))
    return limit


def _unknown(name: str) -> tuple[str, str | None]:
    event, dot, _ = name.partition(".")
    events = sorted({known.partition(".")[0] for known in OUTCOME_COLUMNS if "." in known})
    nearest = near(name, [*OUTCOME_COLUMNS, VERDICT])
    if dot and event in events:
        columns = [c.partition(".")[2] for c in OUTCOME_COLUMNS if c.startswith(f"{event}.")]
        return f"one of the columns {', '.join(columns)} behind {event}.", nearest
    return "an event and a column (lift-off.distance), a key of the summary, or verdict", nearest


def _told(text: str, allowed: str, nearest: str | None) -> str:
    lines = f"condition: given {shown(text)}; allowed: {allowed}."
    return f"{lines}\n  nearest: {shorten(nearest)}" if nearest else lines
