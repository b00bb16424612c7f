"""What a ladder says in plain words."""

from collections.abc import Iterator
from itertools import pairwise
from math import isfinite, isnan, radians

import numpy as np

from sim.checks.stance import TIP_BACK_LIMIT
from sim.roll.verdict import Verdict
from sim.show.units import quantity
from sim.show.words import VERDICTS
from sim.study.ladder import GROUND_ROLL, Counted, Ladder
from sim.study.ladder_answers import (
    best_pair,
    conflicts,
    extreme_pairs,
    fewest_hours,
    shortest_airborne,
    smallest_set,
)
from sim.study.shapley import pair_effects

SMALL = 0.02
"""Share of the whole gain below which parts and whole are called equal [-]."""
THIN_STALL_MARGIN = 0.1
"""Share of the largest lift left below which the next gust is told; a judgement, no source."""
TIP_STEP = radians(1.0)


def outcome_text(ladder: Ladder, combination: int, system: str) -> str:
    """Such as "lift-off at 22.9 m of 70.0 m, but leaps-and-stalls (...)"."""
    word = ladder.rows.verdict(combination)
    meaning = VERDICTS[Verdict(word)]
    place = ladder.value(GROUND_ROLL, combination)
    if isnan(place):
        return f"{word} ({meaning})"
    strip = quantity(ladder.strip_length, "distance", system)
    start = f"lift-off at {quantity(place, 'distance', system)}, the strip has {strip}"
    return f"{start}; {word}" + ("" if word == Verdict.AIRBORNE else f" ({meaning})")


def names_text(ladder: Ladder, combination: int) -> str:
    """Names of the changes of a combination."""
    return " + ".join(c.name for c in ladder.members(combination)) or "no change at all"


def together_text(ladder: Ladder, system: str) -> str:
    """Whole against sum of the parts, the interaction named."""
    counted = ladder.ground_roll
    start = f"Together they make the ground roll {_change(counted.whole, system)}."
    if ladder.count == 1:
        return start
    if isnan(counted.parts):
        return f"{start} Not every one of them can be done alone."
    apart = counted.whole - counted.parts
    if abs(apart) <= SMALL * max(abs(counted.whole), abs(counted.parts)):
        return f"{start} Each alone adds up to the same: they do not get in each other's way."
    parts, more = _change(counted.parts, system), quantity(abs(apart), "distance", system)
    if apart > 0.0:
        return f"{start} Each alone would add up to {parts}: together they do {more} better."
    return f"{start} Each alone would add up to {parts}: {more} of that cannot be had twice."


def _change(gain: float, system: str) -> str:
    """A gain of ground roll [m] in words."""
    return f"{quantity(abs(gain), 'distance', system)} {'longer' if gain < 0.0 else 'shorter'}"


def answer_lines(ladder: Ladder, system: str) -> Iterator[str]:
    """The smallest set and that of fewest hours that meet the strip, or that none does."""
    share = f"{100.0 * ladder.margin:g} %"
    shortest = shortest_airborne(ladder)
    if shortest and shortest != ladder.rungs[-1]:
        yield f"Shortest that is airborne as wanted: {_answer(ladder, shortest, system)}."
    small, quick = smallest_set(ladder), fewest_hours(ladder)
    if small is None:
        yield f"No combination is airborne with {share} of the strip left."
        return
    wanted = f"Airborne with {share} of the strip left"
    if small == 0:
        yield f"{wanted}: as it stands, without any change."
        return
    if quick == small:
        yield f"{wanted}, fewest changes and fewest hours: {_answer(ladder, small, system)}."
        return
    yield f"{wanted}, fewest changes: {_answer(ladder, small, system)}."
    if quick is None:
        yield "Fewest hours: not every change has hours in the file, so nobody can say."
    else:
        yield f"{wanted}, fewest hours: {_answer(ladder, quick, system)}."


def _answer(ladder: Ladder, combination: int, system: str) -> str:
    hours, cost = ladder.hours(combination), ladder.cost(combination)
    work = [f"{hours:g} h"] if isfinite(hours) else []
    work += [f"cost {cost:g}"] if isfinite(cost) else []
    effort = f" ({', '.join(work)})" if work else ""
    place = quantity(ladder.value(GROUND_ROLL, combination), "distance", system)
    left = 100.0 * ladder.strip_left(combination)
    return f"{names_text(ladder, combination)}{effort}, lift-off at {place}, {left:.0f} % left"


def pair_lines(ladder: Ladder, system: str) -> Iterator[str]:
    """The best pair, the pair that helps each other most, and the pair that does so least."""
    best = best_pair(ladder)
    if best is not None:
        yield f"best pair: {names_text(ladder, best)}, {outcome_text(ladder, best, system)}"
    extremes = extreme_pairs(ladder.ground_roll)
    if extremes is None or ladder.count < 3:
        return
    effects = pair_effects(ladder.ground_roll.gains)
    for (i, j), wanted, words in zip(
        extremes,
        (-1.0, 1.0),
        ("less than either alone adds up to", "more than either alone adds up to"),
        strict=True,
    ):
        if wanted * effects[i, j] > 0.0:
            pair = f"{ladder.changes[i].name} + {ladder.changes[j].name}"
            yield f"{pair}: {quantity(abs(effects[i, j]), 'distance', system)} {words}"


def bite_lines(ladder: Ladder, system: str) -> Iterator[str]:
    """What stands in the way once the strip is no longer the trouble."""
    rungs = list(dict.fromkeys((0, *ladder.rungs)))
    told: set[str] = set()
    for rung in rungs:
        word = ladder.rows.verdict(rung)
        if word != Verdict.AIRBORNE and word not in told:
            told.add(word)
            yield f"{_step(ladder, rung)}: {word}, {VERDICTS[Verdict(word)]}"
    yield from _thin(ladder, rungs)
    yield from _tips(ladder, rungs, system)
    yield from _overloads(ladder)
    counts = ladder.rows.counts()
    words = ", ".join(f"{count} {word}" for word, count in counts.items())
    yield f"of all {len(ladder.rows)} combinations: {words}"


def _step(ladder: Ladder, rung: int) -> str:
    """With which change a rung was reached."""
    if rung == 0:
        return "as it stands"
    return f"with {ladder.changes[ladder.rungs.index(rung)].name} stacked on those before it"


def _thin(ladder: Ladder, rungs: list[int]) -> Iterator[str]:
    """First airborne rung with little lift to spare."""
    for rung in rungs:
        spare = ladder.value("stall_margin", rung)
        if ladder.rows.verdict(rung) == Verdict.AIRBORNE and spare < THIN_STALL_MARGIN:
            yield (
                f"{_step(ladder, rung)}: airborne, with {100.0 * max(spare, 0.0):.0f} % of the"
                " wing's largest lift to spare in the first second"
            )
            return


def _tips(ladder: Ladder, rungs: list[int], system: str) -> Iterator[str]:
    """Where the tip-back angle falls below what textbooks want."""
    for before, rung in pairwise(rungs):
        was, now = ladder.value("tip_back_deg", before), ladder.value("tip_back_deg", rung)
        if now < TIP_BACK_LIMIT.low and now < was - TIP_STEP:
            yield (
                f"{_step(ladder, rung)}: tip-back angle from {quantity(was, 'angle', system)} to"
                f" {quantity(now, 'angle', system)}; {TIP_BACK_LIMIT.source} wants"
                f" {quantity(TIP_BACK_LIMIT.low, 'angle', system)}"
            )


def _overloads(ladder: Ladder) -> Iterator[str]:
    base = set(ladder.over.get(0, ()))
    if base:
        yield f"over its limit as it stands: {', '.join(sorted(base))}"
    told: set[str] = set()
    for mask, over in ladder.over.items():
        if mask and mask & (mask - 1) == 0:
            for part in over:
                if part not in base | told:
                    told.add(part)
                    yield f"with {names_text(ladder, mask)} alone, over its limit: {part}"
    late = {part for mask in ladder.rungs for part in ladder.over.get(mask, ())} - base - told
    if late:
        yield f"over its limit on the rungs: {', '.join(sorted(late))}"


def basis_lines(ladder: Ladder, system: str) -> Iterator[str]:
    """How the numbers came about, and what they do not say."""
    yield (
        f"together: each change's share of what all {ladder.count} gain, its gain as it comes"
        " averaged over every order of doing them; the shares add up to the whole"
    )
    yield from _counted(ladder.ground_roll, "do not lift off", "distance", system)
    yield from _counted(ladder.rotation, "do not rotate", "speed", system)
    stalls = np.isfinite(ladder.ground_roll.values) & np.array(
        [ladder.rows.verdict(i) not in _LIFTS for i in range(len(ladder.rows))]
    )
    if stalls.any():
        yield (
            f"{int(stalls.sum())} combinations lift off and do not stay off as wanted; their"
            " ground roll counts as it is, so read it with the verdicts"
        )
    for mask, reason in conflicts(ladder):
        yield f"left out: {names_text(ladder, mask)} ({_first_line(reason)})"
    refused = int(ladder.refused.sum())
    if refused:
        yield (
            f"{refused} combinations cannot be; in the shares each counts as the best part of it"
            " that can"
        )


_LIFTS = (str(Verdict.AIRBORNE), str(Verdict.AIRBORNE_TOO_LATE))


def _counted(counted: Counted, words: str, kind: str, system: str) -> Iterator[str]:
    if not counted.missing:
        return
    holds = "keep" if counted.order_holds else "do not all keep"
    yield (
        f"{counted.missing} combinations {words}; they count as"
        f" {quantity(counted.stand_in, kind, system)}. With twice that the changes {holds} their"
        " order by share"
    )


def _first_line(text: str) -> str:
    line = text.split("; allowed: ", 1)[-1].split("\n", maxsplit=1)[0]
    return line if len(line) <= 120 else f"{line[:117]}..."
