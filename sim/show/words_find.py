"""What was found, in sentences."""

from collections.abc import Iterator
from math import ceil, floor, isfinite, isnan, log10

from sim.show.axis_words import knob_unit, knob_values
from sim.show.units import unit_of
from sim.study.condition import Clause
from sim.study.edges import CROSSES, END, Edge, Found, Interval
from sim.study.find import Search
from sim.study.knobs import Knob
from sim.study.outcome_columns import VERDICT, column_of
from sim.study.rows import GOOD_WORD, VERDICTS
from sim.study.samples import apart

DIGITS = 4


def value_words(
    knob: Knob, value: float, system: str, toward: int = 0, digits: int = DIGITS
) -> str:
    """A value with its unit, rounded up (toward = 1), down (-1) or to the nearest (0).

    Rounded towards the inside of an interval, so that the number as printed meets the condition.
    """
    number = float(knob_values(knob, value, system)) + 0.0  # type: ignore[arg-type]
    unit = knob_unit(knob, system)
    if number != 0.0 and isfinite(number):
        place = 10.0 ** (floor(log10(abs(number))) + 1 - digits)
        steps = number / place
        steps = {1: ceil(steps - 1e-9), -1: floor(steps + 1e-9), 0: round(steps)}[toward]
        number = steps * place
    unit = "" if unit == "-" or len(unit) > 8 else f" {unit}"
    return f"{number:.{digits + 2}g}{unit}"


def quantity_words(clause: Clause, value: float, system: str) -> str:
    """A quantity of the roll in four figures with its unit."""
    unit = unit_of(column_of(clause.name).kind, system)
    return f"{unit.shown(value):.4g} {unit.symbol}".strip()


def clause_words(clause: Clause, system: str = "si") -> str:
    """A clause in the units people read."""
    if clause.name == VERDICT:
        return f"verdict == {VERDICTS[int(clause.limit)].value}"
    return f"{clause.name} {clause.sign} {quantity_words(clause, clause.limit, system)}"


def lead_words(search: Search, found: Found, system: str) -> str:
    """The answer in a sentence."""
    knob, count = search.knob, len(found.intervals)
    low, high = (value_words(knob, end, system) for end in (search.low, search.high))
    if count == 0:
        return f"Met nowhere from {low} to {high}. {_why_nowhere(search, found, system)}".strip()
    if found.everywhere():
        return f"Met everywhere from {low} to {high}."
    if count == 1:
        return f"Met {interval_words(search, found.intervals[0], system)}."
    parts = "; ".join(interval_words(search, one, system) for one in found.intervals)
    return f"Met in {count} separate ranges: {parts}."


def interval_words(search: Search, interval: Interval, system: str) -> str:
    """One interval, rounded towards its inside."""
    knob, low, high = search.knob, interval.low, interval.high
    if low is high:
        return f"at {value_words(knob, low.value, system)}"
    least, most = value_words(knob, low.value, system, 1), value_words(knob, high.value, system, -1)
    if high.kind == END and low.kind != END:
        return f"from {least} upwards (looked up to {most})"
    if low.kind == END and high.kind != END:
        return f"up to {most} (looked down to {least})"
    return f"from {least} to {most}"


def _why_nowhere(search: Search, found: Found, system: str) -> str:
    if found.closest is not None:
        clause, at = found.condition.clauses[0], found.closest
        return (
            f"The closest is {quantity_words(clause, at.quantity, system)} at"
            f" {value_words(search.knob, at.value, system)} ({at.verdict})."
        )
    if len(found.condition.clauses) > 1:
        never = [
            clause_words(clause, system)
            for clause, ever in zip(found.condition.clauses, found.each, strict=True)
            if not ever
        ]
        if never:
            return f"Nowhere by itself: {'; '.join(never)}."
        return "Each part is met somewhere, all of them together nowhere."
    name = found.condition.clauses[0].name
    if name == VERDICT:
        return f"Rolls end {_verdicts(search)}."
    return f"None of the rolls has a {name}; they end {_verdicts(search)}."


def _verdicts(search: Search) -> str:
    counts = apart(search.samples, 0.99 * search.step).rows.counts()
    return ", ".join(f"{word} ({count})" for word, count in counts.items())


def present_words(search: Search, found: Found, system: str) -> str:
    """Where the scenario stands now; "" when it has no value for the key."""
    now = search.present
    if now is None:
        return ""
    told = f"Now {value_words(search.knob, now, system)}"
    inside = [i for i in found.intervals if i.low.value <= now <= i.high.value]
    if inside:
        gaps = [
            abs(edge.value - now) for edge in (inside[0].low, inside[0].high) if edge.kind != END
        ]
        if not gaps:
            return f"{told}: met."
        spare = value_words(search.knob, _difference(search.knob, min(gaps)), system, -1, 2)
        return f"{told}: met, with {spare} to spare."
    if not search.low <= now <= search.high:
        return f"{told}: outside what was looked at."
    edges = [edge for i in found.intervals for edge in (i.low, i.high)]
    if not edges:
        return f"{told}: not met."
    nearest = min(edges, key=lambda edge: abs(edge.value - now))
    step = value_words(
        search.knob, _difference(search.knob, abs(nearest.value - now)), system, 1, 2
    )
    return f"{told}: not met; {step} {'more' if nearest.value > now else 'less'} meets it."


def _difference(knob: Knob, gap: float) -> float:
    """A difference as a value whose display is the difference: units with an offset lose it."""
    zero = float(knob_values(knob, 0.0, "si"))  # type: ignore[arg-type]
    return gap if zero == 0.0 else gap - zero


def edge_lines(search: Search, found: Found, system: str) -> Iterator[str]:
    """A line for each edge: does it cross or jump there, and how steeply."""
    for interval in found.intervals:
        edges = (interval.low,) if interval.low is interval.high else (interval.low, interval.high)
        for edge, toward in zip(edges, (1, -1), strict=False):
            if edge.kind != END:
                yield edge_words(search, edge, system, 0 if len(edges) == 1 else toward)


def edge_words(search: Search, edge: Edge, system: str, toward: int) -> str:
    """One edge in a sentence."""
    assert edge.clause is not None
    where = value_words(search.knob, edge.value, system, toward)
    if edge.kind == CROSSES:
        limit = quantity_words(edge.clause, edge.clause.limit, system)
        steep = slope_words(search.knob, edge, system)
        return (
            f"at {where} {edge.clause.name} passes {limit}{f'; there it {steep}' if steep else ''}"
        )
    side = "below" if toward >= 0 else "above"
    told = f"at {where} the outcome jumps: {edge.inside} here, {edge.outside} just {side}"
    if edge.inside == edge.outside:
        told = f"at {where} {edge.clause.name} jumps ({edge.inside} on both sides)"
    steep = slope_words(search.knob, edge, system)
    return f"{told}; on this side {edge.clause.name} {steep}" if steep else told


def slope_words(knob: Knob, edge: Edge, system: str) -> str:
    """How fast the quantity changes with the key, in shown units; "" if not known."""
    if edge.clause is None or isnan(edge.slope):
        return ""
    unit = unit_of(column_of(edge.clause.name).kind, system)
    zero, one = (float(knob_values(knob, v, system)) for v in (0.0, 1.0))  # type: ignore[arg-type]
    slope = edge.slope * unit.factor / (one - zero)
    per = knob_unit(knob, system)
    per = "unit of it" if per == "-" or len(per) > 8 else per
    verb = "grows" if slope > 0.0 else "falls"
    return f"{verb} by {abs(slope):.3g} {unit.symbol}".rstrip() + f" per {per}"


def notes(search: Search, found: Found, system: str) -> Iterator[str]:
    """Edges, other verdicts inside, and what the answer rests on."""
    yield from edge_lines(search, found, system)
    yield from _inside_lines(search, found)
    if search.knob.form == "whole" and search.step == 1.0:
        yield f"{len(search.samples.x)} rolls, one for each number"
        return
    step = value_words(search.knob, _difference(search.knob, search.step), system, 0, 2)
    yield (
        f"{len(search.samples.x)} rolls: {step} apart at first, then closed in on each edge;"
        " what begins and ends within one step can be missed"
    )


def _inside_lines(search: Search, found: Found) -> Iterator[str]:
    """Mind the rolls that meet the condition and fail all the same."""
    others = other_verdicts(search, found)
    if others and not any(c.name == VERDICT for c in found.condition.clauses):
        yield (
            f'mind: some rolls that meet it end {others}; add "and verdict == airborne" to leave'
            " them out"
        )


def other_verdicts(search: Search, found: Found) -> str:
    """Verdicts but airborne where a condition is met, counted evenly; "" if there are none."""
    even = apart(search.samples, 0.99 * search.step)
    inside = [
        even.rows.verdict(i)
        for i, x in enumerate(even.x)
        if any(one.low.value <= x <= one.high.value for one in found.intervals)
    ]
    words = dict.fromkeys(word for word in inside if word != GOOD_WORD)
    return ", ".join(f"{word} ({inside.count(word)} of {len(inside)})" for word in words)
