"""The abort mark, the first day and the limits in sentences a club pilot reads at the strip."""

from collections.abc import Iterator
from math import isfinite, isinf, isnan
from typing import TYPE_CHECKING

from sim.checks.abort import THINKING, WIND_STEP, WIND_STEPS, Abort, Closing, Room
from sim.roll.verdict import Verdict
from sim.show.card.paces import band_text, stop_metres, stop_text
from sim.show.power_words import passed_limits
from sim.show.units import number_text, quantity
from sim.show.words import VERDICTS
from sim.study.ranges import RangeEffect

if TYPE_CHECKING:
    from sim.report import Report

SECONDS = f"{THINKING:g} s"
PRACTICE = (
    "Common practice, from no source. The national body's safety code, the law and the site's"
    " rules come first."
)
RECKONED = (
    "Reckoned with: no brakes, a straight run, this card's surface and wind. Others move all"
    " places."
)


def abort_heading(abort: Abort, system: str) -> str:
    """What the pilot remembers."""
    if abort.room is Room.STILL:
        return "Abort mark: none, it does not roll"
    if abort.room is Room.GROUNDED:
        return "No place on this strip allows both stopping and flying: the nose stays down"
    if abort.room is Room.SELF:
        return f"Abort mark: {stop_text(abort.coast.end, system)}, at once"
    if abort.room is Room.NEITHER:
        return "No place on this strip allows both stopping and flying"
    day = ", on a typical day" if abort.room is Room.TYPICAL else ""
    return f"Abort mark: {stop_text(abort.mark, system)}{day}"


def abort_lines(abort: Abort, system: str = "si") -> tuple[str, ...]:
    """Where to close the throttle if the nose is not up, and why there."""
    told = {
        Room.BOTH: _marked, Room.TYPICAL: _marked, Room.NEITHER: _neither, Room.SELF: _self,
        Room.GROUNDED: _grounded, Room.STILL: _still,
    }  # fmt: skip
    return (*told[abort.room](abort, system), *((RECKONED,) if abort.coast.place.size else ()))


def _last(abort: Abort, system: str) -> str:
    """Until where a closed throttle stops it in the strip."""
    typical, far = abort.last
    if isnan(far):
        return "No place of closing the throttle is early enough to stop in this strip for sure."
    text = f"Throttle closed by {stop_text(typical, system)}, it stops in the strip"
    if typical > far:
        text += f"; where it rolls easiest, by {stop_text(far, system)}"
    return f"{text}."


def _coasts(closing: Closing, system: str) -> str:
    """From where, how fast, how far."""
    start = f"shut at {stop_metres(closing.place, system)}"
    start += f" and {quantity(closing.speed, 'speed', system)}"
    if not isfinite(closing.stop):
        return f"{start} it comes to no stop in what was rolled"
    far = quantity(closing.stop - closing.place, "distance", system)
    return f"{start} it coasts {far}, to a stop at {quantity(closing.stop, 'distance', system)}"


def _off_the_end(abort: Abort, system: str) -> str:
    """Speed at the strip end, typically and with the least rolling resistance."""
    speeds = [c.end_speed for c in (abort.typical, abort.far) if isfinite(c.end_speed)]
    texts = list(dict.fromkeys(quantity(v, "speed", system) for v in speeds))
    if not texts:
        return "its speed at the strip end is not known"
    if isfinite(abort.typical.stop) and not isfinite(abort.typical.end_speed):
        return f"where it rolls easiest it leaves the strip end at {texts[0]}"
    ends = texts[0] if len(texts) == 1 else f"{texts[0]} ({texts[-1]} where it rolls easiest)"
    return f"it leaves the strip end at {ends}"


def _marked(abort: Abort, system: str) -> Iterator[str]:
    mark = stop_text(abort.mark, system)
    yield f"Nose not up as it passes {mark}: close the throttle, stick to neutral."
    yield (
        f"Why there: the nose is expected up at {band_text(abort.nose, system)}. Seeing it and"
        f" closing take {SECONDS}; {_coasts(abort.typical, system)}. The strip is"
        f" {quantity(abort.length, 'distance', system)} long."
    )
    if abort.room is Room.BOTH:
        late = quantity(abort.nose.late, "distance", system)
        yield f"It is the last place, not the best: nose not up by {late}, something is wrong."
        if abort.far.stop > abort.typical.stop:
            yield f"Where it rolls easiest it comes to {_stop(abort.far, system)}."
        return
    doubts = tuple(_doubts(abort, system))
    if doubts:
        narrowed = "both" if len(doubts) == 2 else "this"
        yield (
            f"Not for sure: {', and '.join(doubts)}. A tow test or coast-down on the day narrows"
            f" {narrowed}."
        )


def _doubts(abort: Abort, system: str) -> Iterator[str]:
    """What goes wrong with a mark at the ends of what is uncertain."""
    if isfinite(abort.far.end_speed):
        speed = quantity(abort.far.end_speed, "speed", system)
        yield f"where it rolls easiest it leaves the strip end at {speed}"
    elif isinf(abort.far.stop):
        yield "where it rolls easiest it may not stop in the strip"
    if abort.nose.late > abort.mark:
        yield "where it rolls worst the nose may come up after the mark"


def _stop(closing: Closing, system: str) -> str:
    return f"a stop at {quantity(closing.stop, 'distance', system)}"


def _neither(abort: Abort, system: str) -> Iterator[str]:
    place, shut = quantity(abort.look, "distance", system), abort.typical
    late = abort.nose.typical > abort.last[0] or isnan(abort.last[0])
    yield (
        f"{_last(abort, system)} The nose is expected up"
        f" {'later' if late else 'too near to that'}: {band_text(abort.nose, system)}."
    )
    given_up = f"Given up where the nose should be up, at {place}, with {SECONDS} to see it and"
    given_up += " close: "
    if shut.place <= abort.look:
        given_up = "Its nose comes up without a pull before that could be. Given up just then: "
    elif shut.place >= abort.length:
        given_up += "the strip has ended by then; "
    yield f"{given_up}{_off_the_end(abort, system)}; {_coasts(shut, system)}."
    longer = "A longer strip"
    if isfinite(abort.strip_for_both) and shut.place > abort.look:
        longer = f"A strip of {quantity(abort.strip_for_both, 'distance', system)} on a typical day"
    yield (
        f"Nothing and nobody may be beyond the strip end. {longer}, brakes or an earlier rotation"
        " would help."
    )


def _self(abort: Abort, system: str) -> Iterator[str]:
    yield (
        f"The nose comes up without a pull, at {band_text(abort.nose, system)}. Not up there: close"
        f" the throttle at once; {_coasts(abort.typical, system)}, in a strip of"
        f" {quantity(abort.length, 'distance', system)}."
    )
    yield "No time to think is in that: how it rolls on with its nose held down is not known."


def _grounded(abort: Abort, system: str) -> Iterator[str]:
    if isfinite(abort.nose.typical):
        yield f"The nose would come up at {band_text(abort.nose, system)}, beyond the strip."
    else:
        yield "The nose comes up nowhere. Find out why before any fast run (wheelsoff run)."
    if isfinite(abort.full_speed):
        end = quantity(abort.full_speed, "speed", system)
        yield f"At full throttle as far as the strip end it leaves it at {end}."
    yield f"Runs on the ground: {_last(abort, system)}"
    if isfinite(abort.mark):
        yield (
            f"With {SECONDS} to close that is a mark at {stop_text(abort.mark, system)};"
            f" typically, {_coasts(abort.typical, system)}."
        )


def _still(abort: Abort, system: str) -> Iterator[str]:
    yield "Thrust does not move it, or it does not stand on its wheels: nothing to give up."


def first_day(report: "Report", abort: Abort, system: str = "si") -> tuple[str, ...]:
    """The order of a first day, with this aeroplane's numbers."""
    last = abort.last[1]
    never = "within a few paces, for no place is sure to stop it"
    stop = never if isnan(last) else f"by {stop_text(last, system)}"
    return (
        "Range check as the radio's handbook says, motor off, then running, tied down.",
        "Slow taxi at walking pace, both ways: tracks straight, nothing binds, nothing loose.",
        f"Fast taxi, stick neutral: throttle closed {stop}; see where it really stops.",
        f"Half-throttle run, stick neutral, closed {stop}; at half the thrust twice as far out"
        " would do. The nose stays down. It rolls further than before? Measure the grip again.",
        wind_line(report, abort, system),
        _take_off(report, abort),
    )


def _take_off(report: "Report", abort: Abort) -> str:
    """The last line of a first day, only where a take-off is expected to go well."""
    if report.result.verdict not in (Verdict.AIRBORNE, Verdict.ABORTED):
        return f"No take-off with this set-up: {VERDICTS[report.result.verdict]}."
    if abort.room in (Room.BOTH, Room.TYPICAL, Room.SELF):
        return (
            "Pace out and flag the marks; a second person calls the abort mark. Then the take-off."
        )
    return (
        "A take-off only with free ground beyond the strip end: there is no place to stop it. Flag"
        " where the nose should be up; a second person calls it."
    )


def wind_line(report: "Report", abort: Abort, system: str) -> str:
    """What wind the numbers hold for, and what they bear."""
    p = report.prepared.setup.parameters
    wind = abs(p.headwind)
    blowing = "a calm" if wind == 0.0 else f"{quantity(wind, 'speed', system)} of "
    blowing += "" if wind == 0.0 else ("headwind" if p.headwind > 0.0 else "tailwind")
    return (
        f"Wind limit: this card is for {blowing}. {tailwind_words(abort.tailwind, system)}"
        " Crosswind is not modelled: that limit is the pilot's and the club's."
    )


def tailwind_words(borne: tuple[float, float], system: str) -> str:
    """How much more tailwind still lets it take off in the strip."""
    typical, certain = borne
    if isnan(typical):
        return "It does not take off in the strip as it is, so no tailwind at all."
    most = WIND_STEP * WIND_STEPS
    if typical == 0.0:
        return "No more tailwind: it would not take off in the strip."
    at_least = "at least " if typical >= most else ""
    text = f"With up to {at_least}{quantity(typical, 'speed', system)} more tailwind it still"
    text += " takes off in the strip"
    if isnan(certain):
        return f"{text} typically; at the bad end of what is uncertain not even without."
    if certain < typical:
        sure = quantity(certain, "speed", system) if certain else "none"
        return f"{text} typically; at the bad end of what is uncertain, with {sure}."
    return f"{text}."


def limit_lines(report: "Report", abort: Abort, system: str = "si") -> tuple[str, ...]:
    """Verdict, speeds, stance and power limits in a line each."""
    return tuple(_limits(report, abort, system))


def _limits(report: "Report", abort: Abort, system: str) -> Iterator[str]:
    verdict = report.result.verdict
    yield f"Verdict: {verdict} ({VERDICTS[verdict]})."
    o, r = report.outlook, report.rotation
    speeds = [f"stall {quantity(o.stall_start, 'speed', system)}"]
    for name, words in (("nose-wheel-off", "nose up"), ("lift-off", "lift-off")):
        event = report.result.event(name)
        if event is not None:
            speeds.append(f"{words} {quantity(event.airspeed, 'speed', system)}")
    yield f"Airspeeds: {', '.join(speeds)}."
    if isfinite(r.peak_rate) and isfinite(r.stall_margin):
        peak = quantity(r.peak_rate, "angular_rate", system)
        margin = quantity(max(r.stall_margin, 0.0), "share", system)
        yield f"First second airborne: pitches up to {peak}, {margin} of the lift unused."
    s = report.stance
    tip, strike = (quantity(x, "angle", system) for x in (s.tip_back, s.tail_strike))
    share = quantity(s.nose_share, "share", system)
    tail = f", tail strikes at {strike}" if isfinite(s.tail_strike) else ""
    yield f"Stance: {share} of the weight on the nose wheel, tips back at {tip}{tail}."
    yield from passed_limits(report.prepared.power, system)
    yield from (_range(effect, system) for effect in report.ranges)


def _range(effect: RangeEffect, system: str) -> str:
    """What an uncertain number does, shorter than in the report."""
    ends = (effect.low, effect.high)
    values = " to ".join(number_text(end.value, 3) for end in ends)
    places = (
        quantity(end.lift_off_place, "distance", system)
        if isfinite(end.lift_off_place)
        else str(end.verdict)
        for end in ends
    )
    return f"Uncertain: {effect.name}, {values}: lift-off {' to '.join(places)}."
