"""Plain words for what happens in a roll. Data, and two small functions on it."""

from math import isfinite
from typing import TYPE_CHECKING

from sim.roll.verdict import Verdict
from sim.show.units import formatter, quantity
from sim.study.advice import GOOD, Advice

if TYPE_CHECKING:
    from sim.report import Report

LEAST_GAIN = 0.1
"""Metres of ground roll below which a change is not called a help [m]."""

HAPPENINGS: dict[str, str] = {
    "pull": "the pilot pulls",
    "nose-wheel-off": "the nose wheel leaves the ground",
    "lift-off": "the last wheel leaves the ground",
    "screen-height": "the main wheels pass screen height",
    "tail-strike": "the tail touches the ground",
    "nose-wheel-down-again": "the nose wheel comes down again",
    "wheels-down-again": "wheels touch the ground again",
    "strip-end": "it rolls past the end of the strip",
    "stop": "it has come to a stop",
    "abort": "the pilot gives up and closes the throttle",
    "mains-off": "the main wheels leave the ground before the nose wheel or the tail",
    "mains-down-again": "the main wheels come down again",
    "tail-off": "the tail leaves the ground again",
    "wing-stall": "the wing passes its stall",
    "tail-stall": "the tail passes its stall",
    "takes-over": "the pilot sees the nose move and takes over with the stick",
    "flaps-drop": "the flaps start to drop",
    "obstacle": "it passes the place of the obstacle",
    "rolls-back": "it rolls backwards",
}
"""Name of an event or happening -> what it means."""

VERDICTS: dict[Verdict, str] = {
    Verdict.SITS_ON_TAIL: "it sits on its tail",
    Verdict.DOES_NOT_MOVE: "it does not move",
    Verdict.ABORTED: "take-off given up",
    Verdict.LEAPS_AND_STALLS: "it leaps off and stalls",
    Verdict.SETTLES_BACK: "it settles back onto the strip",
    Verdict.SCRAPES_TAIL: "it scrapes its tail",
    Verdict.WHEELBARROWS: "it wheelbarrows",
    Verdict.NEVER_ROTATES: "it never rotates",
    Verdict.TOO_SLOW: "it stays too slow to lift off",
    Verdict.AIRBORNE_TOO_LATE: "too late for this strip",
    Verdict.AIRBORNE: "it takes off in the strip",
}
"""Verdict -> the same in plain words."""


def advice_text(advice: Advice, base: Verdict, base_lifts: bool, system: str = "si") -> str:
    """What a change brings, honestly: metres gained, and what still goes wrong with it."""
    still = ""
    if advice.verdict != base:
        still = f"; then {VERDICTS[advice.verdict]}"
    elif base not in GOOD:
        still = f"; but still {VERDICTS[base]}"
    if not isfinite(advice.lift_off_place):
        return f"{'still' if advice.verdict == base else 'then'} {VERDICTS[advice.verdict]}"
    place = quantity(advice.lift_off_place, "distance", system)
    if not base_lifts:
        but = "" if advice.verdict == Verdict.AIRBORNE else f", but {VERDICTS[advice.verdict]}"
        return f"then it lifts off at {place}{but}"
    if abs(advice.gain) < LEAST_GAIN:
        return "no change of the ground roll" + still
    gain = quantity(abs(advice.gain), "distance", system)
    word = "shorter" if advice.gain >= 0.0 else "longer"
    return f"ground roll {gain} {word}" + still


def helpful(report: "Report") -> tuple[Advice, ...]:
    """Those changes, best first, that turn the outcome or shorten a good ground roll."""
    return tuple(a for a in report.advice if _helps(a, report))


def _helps(advice: Advice, report: "Report") -> bool:
    base = report.result.verdict
    if base in GOOD:
        # Metres alone are no help when something else goes wrong for them.
        turned = advice.verdict == Verdict.AIRBORNE != base
        return turned or (advice.verdict in GOOD and advice.gain >= LEAST_GAIN)
    if lifts_off(report):
        return advice.verdict in GOOD
    strip = report.result.setup.parameters.strip_length
    return advice.verdict in GOOD or advice.lift_off_place <= strip


def lifts_off(report: "Report") -> bool:
    """True if the roll itself leaves the ground."""
    return report.result.event("lift-off") is not None


def help_lines(report: "Report", system: str = "si") -> tuple[str, ...]:
    """The best two changes in a line each; none if none of those tried helps."""
    base, lifts = report.result.verdict, lifts_off(report)
    best = helpful(report)[:2]
    write = formatter(system)
    return tuple(f"{a.change.text(write)}: {advice_text(a, base, lifts, system)}" for a in best)


def no_help_line(report: "Report") -> str:
    """What to say when no change helps."""
    verdict = report.result.verdict
    wish = "shortens the ground roll" if verdict in GOOD else "cures it"
    if verdict == Verdict.ABORTED:  # nothing is ill with a drill
        wish = "gets it off before it is given up"
    return f"None of the {len(report.advice)} small changes tried {wish}."
