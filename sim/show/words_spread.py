"""What a spread says in plain words."""

from collections.abc import Iterator
from math import isfinite, isinf

from sim.roll.verdict import Verdict
from sim.show.units import quantity
from sim.study.distributions import Varied
from sim.study.sensitivity import CONFIDENCE, LEAST_FAILURES, Influence, Interval
from sim.study.spread import ROLL, Spread

NOTHING = 0.02
"""Share of the spread below which an input is not named among those that matter [-]."""


def chance_text(chance: Interval) -> str:
    """Such as "91.2 % (89.9 to 92.4)"."""
    low, high = _percent(chance.low), _percent(chance.high)
    return f"{_percent(chance.share)} % ({low} to {high})"


def _percent(share: float) -> str:
    """In percent; all and nothing only where it is all or nothing."""
    text = f"{100.0 * share:.1f}"
    if text == "100.0":
        return "100" if share == 1.0 else ">99.9"
    return "0" if share == 0.0 else "<0.1" if text == "0.0" else text


def of_ten(count: int, total: int) -> str:
    """A chance in rolls of ten or of a hundred where that says it, else as it was counted."""
    share = count / total
    if count in (0, total):
        return f"All {total} rolls are" if count else f"None of {total} rolls is"
    for of in (10, 100):
        told = round(share * of)
        near = abs(told / of - share) <= 0.15 * min(share, 1.0 - share)
        if near and of < total and 0 < told < of:
            return f"About {told} of {of} rolls {'is' if told == 1 else 'are'}"
    return f"{count} of {total} rolls {'is' if count == 1 else 'are'}"


def lead_text(spread: Spread) -> str:
    """The answer in one sentence."""
    chance = spread.chance(Verdict.AIRBORNE)
    start = of_ten(spread.rows.counts().get(Verdict.AIRBORNE, 0), spread.counted)
    stay = "stays" if start.endswith(" is") else "stay"
    told = f"{start} off before the strip ends and {stay} off: {chance_text(chance)}."
    refused = len(spread.rows) - spread.counted
    return f"{told} Of {len(spread.rows)} draws {refused} make no scenario." if refused else told


def roll_text(spread: Spread, system: str) -> str:
    """The middle of the ground rolls and where nine of ten lie."""
    low, _, middle, _, high = spread.quantiles(ROLL, True)
    if not isfinite(middle):
        return "More than half of the rolls never lift off."
    start = f"Half of them lift off within {quantity(middle, 'distance', system)}"
    strip = quantity(spread.strip_length, "distance", system)
    if isinf(high):
        return f"{start}; more than one of twenty never do. The strip has {strip}."
    return (
        f"{start}, 19 of 20 within {quantity(high, 'distance', system)}, 1 of 20 within"
        f" {quantity(low, 'distance', system)}. The strip has {strip}."
    )


def matters_text(spread: Spread) -> str:
    """What decides the ground roll, in a sentence; "" when nothing stands out."""
    known = [one for one in spread.influences() if one.roll_share > NOTHING]
    if not known:
        return ""
    known.sort(key=lambda one: -one.roll_share)
    named = [f"{one.key} ({100.0 * one.roll_share:.0f} %)" for one in known[:3]]
    return f"Most of the spread of the ground roll comes from {', '.join(named)}."


def sorted_influences(spread: Spread) -> list[Influence]:
    """By share of the ground roll, the largest first."""
    return sorted(spread.influences(), key=lambda i: -i.roll_share if isfinite(i.roll_share) else 1)


def varied_line(varied: Varied) -> str:
    """One uncertain key: what it may be, and whether anybody said so."""
    shapes = {
        "uniform": "anything between, all alike",
        "triangular": "most likely in the middle, none at the ends",
        "normal": "normal, cut at four deviations",
    }
    why = f"; judgement: {varied.judgement}" if varied.judgement else ""
    return f"{varied.text} ({ends_text(varied)}, {shapes[varied.distribution.kind]}{why})"


def ends_text(varied: Varied) -> str:
    """Both ends in the units of a file."""
    knob, shape = varied.knob, varied.distribution
    if knob.form == "surface":
        return "the surface's range"
    ends = [knob.display(value) for value in (shape.low, shape.high)]
    unit = f" {ends[0].unit}" if ends[0].unit else ""
    return f"{ends[0].value:.5g} to {ends[1].value:.5g}{unit}"


def basis_lines(spread: Spread) -> Iterator[str]:
    """How the numbers came about, and what they do not say."""
    share = f"{100.0 * CONFIDENCE:.0f} %"
    yield (
        f"chances with their {share} interval (Clopper-Pearson), as of independent rolls; the"
        " draws are spread more evenly than that (Sobol, scrambled), so as a rule it is wider than"
        " need be"
    )
    yield (
        f"seed {spread.plan.seed}: roll 17 is the same alone, among any number, in any number of"
        " processes"
    )
    yield "the keys vary independently of each other; what moves them together is not in it"
    yield (
        "share: of the variance, what goes with this key alone; of the ground roll, or of its ranks"
        " when some never lift off. rank: +1, more of it is always longer (or fails more)"
    )
    yield from _counted_lines(spread)
    stepped = [one for one in spread.plan.varied if one.steps]
    if stepped:
        keys = ", ".join(one.knob.key for one in stepped)
        yield (
            f"{keys}: in {stepped[0].steps} steps, all alike, since each value is a thrust curve to"
            " be solved"
        )
    words = spread.plan.variants.lattices.words()
    if words:
        yield words
    yield from spread.plan.left


def _counted_lines(spread: Spread) -> Iterator[str]:
    """Few of a kind, an early end, and draws that count nowhere."""
    good = spread.rows.counts().get(Verdict.AIRBORNE, 0)
    few = min(good, spread.counted - good)
    if 0 < few < LEAST_FAILURES:
        yield f"{few} rolls that end otherwise than the rest are too few to say what makes them so"
    if spread.stopped:
        yield (
            f"ended after {len(spread.rows)} of {spread.asked} rolls: the chance of airborne is"
            f" known to {_percent(spread.chance(Verdict.AIRBORNE).half_width)} % either way"
        )
    refused = len(spread.rows) - spread.counted
    if refused:
        first = min(spread.rows.refused)
        yield (
            f"{refused} draws make no scenario and count nowhere; the first, roll {first + 1}:"
            f" {spread.rows.refused[first]}"
        )
