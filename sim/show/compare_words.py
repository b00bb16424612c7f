"""Before and after in words: what came of it, and whether each number is better or worse."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite, isinf, isnan
from typing import TYPE_CHECKING

from sim.roll.verdict import Verdict
from sim.show.compare import ROWS, Named, Row
from sim.show.units import number, quantity
from sim.show.words import VERDICTS

if TYPE_CHECKING:
    from sim.report import Report


@dataclass(frozen=True)
class Line:
    """One number before and after.

    Attributes
    ----------
    words: what it is.
    before, after: with units.
    change: how it moved, in words that stand without colour.
    sense: "better", "worse" or neither, "".

    """

    words: str
    before: str
    after: str
    change: str
    sense: str


def lines(
    before: Named, after: Named, system: str = "si", rows: Sequence[Row] = ROWS
) -> tuple[Line, ...]:
    """Numbers of both rolls, those of `sim.show.compare.ROWS` as a rule, but those neither has."""
    found: list[Line] = []
    above = ""
    for row in rows:
        inner = row.words.startswith(" ")
        above = above if inner else row.words.removesuffix(" at")
        pair = row.value(before.report), row.value(after.report)
        if any(isfinite(value) for value in pair):
            words = f"{above}, {row.words.strip()}" if inner else row.words
            found.append(_line(words, row, pair, system))
    return tuple(found)


def _line(words: str, row: Row, pair: tuple[float, float], system: str) -> Line:
    before, after = (quantity(value, row.kind, system) for value in pair)
    return Line(words, before, after, *_change(row, pair, system))


def _change(row: Row, pair: tuple[float, float], system: str) -> tuple[str, str]:
    """How a number moved, and whether for better or worse; what is not shown is no change."""
    before, after = pair
    if isnan(before) or isnan(after):
        return ("only before" if isnan(after) else "only after"), ""
    if number(before, row.kind, system) == number(after, row.kind, system):
        return "as before", ""
    word = "more" if after > before else "less"
    if not (isinf(before) or isinf(after)):
        word = f"{_amount(abs(after - before), row.kind, system)} {word}"
    if not row.better:
        return word, ""
    sense = "better" if (after > before) == (row.better > 0) else "worse"
    return f"{sense}: {word}", sense


def _amount(size: float, kind: str, system: str) -> str:
    """By how much; shares differ by points, and what rounds to nothing by a little."""
    if number(size, kind, system) == number(0.0, kind, system):
        return "a little"
    if kind == "share":
        return f"{number(size, kind, system)} percentage points"
    return quantity(size, kind, system)


def headline(before: Named, after: Named, system: str = "si") -> str:
    """What became of the roll, in a sentence or two."""
    first, second = before.report.result.verdict, after.report.result.verdict
    if first == second:
        verdicts = f"Before and after, {VERDICTS[first]}."
    else:
        verdicts = f"Before: {VERDICTS[first]}. After: {VERDICTS[second]}."
    return f"{verdicts}{_shift(before.report, after.report, system)}"


def _shift(before: "Report", after: "Report", system: str) -> str:
    """How far lift-off moved, where both lift off."""
    events = before.result.event("lift-off"), after.result.event("lift-off")
    if events[0] is None or events[1] is None:
        return ""
    gain = events[0].distance - events[1].distance
    far = quantity(abs(gain), "distance", system)
    if far == quantity(0.0, "distance", system):
        return " It lifts off at the same place."
    return f" It lifts off {far} {'earlier' if gain > 0.0 else 'later'}."


def looked_at(before: Named, after: Named) -> str:
    """How far better and worse can be trusted."""
    alone = "Better and worse look at one number alone; the verdict looks at the whole roll."
    if after.report.result.verdict == Verdict.AIRBORNE:
        return alone
    told = VERDICTS[after.report.result.verdict]
    return f"{alone} After, {told}, whatever single numbers gain."
