"""How each verdict is drawn wherever many rolls are: a symbol, a hatch, a tint.

Symbols and hatches alone tell them apart, so that a picture works without colour.
"""

from dataclasses import dataclass

from sim.roll.verdict import Verdict
from sim.study.rows import GOOD_WORD, REFUSED_WORD


@dataclass(frozen=True)
class VerdictMark:
    """Symbol of a single roll, hatch and tint of a region."""

    symbol: str
    hatch: str
    tint: str


MARKS: dict[str, VerdictMark] = {
    GOOD_WORD: VerdictMark("o", "", "#ffffff"),
    str(Verdict.AIRBORNE_TOO_LATE.value): VerdictMark(">", "///", "#f6e3cf"),
    str(Verdict.TOO_SLOW.value): VerdictMark("v", "\\\\\\", "#ece4d2"),
    str(Verdict.NEVER_ROTATES.value): VerdictMark("X", "xxx", "#e6d9e4"),
    str(Verdict.WHEELBARROWS.value): VerdictMark("<", "|||", "#dde7e4"),
    str(Verdict.SCRAPES_TAIL.value): VerdictMark("P", "---", "#f0dcd8"),
    str(Verdict.SETTLES_BACK.value): VerdictMark("s", "...", "#dfe3ee"),
    str(Verdict.LEAPS_AND_STALLS.value): VerdictMark("^", "+++", "#eadff0"),
    str(Verdict.ABORTED.value): VerdictMark("D", "ooo", "#e4e8da"),
    str(Verdict.DOES_NOT_MOVE.value): VerdictMark("*", "**", "#e3e3e3"),
    str(Verdict.SITS_ON_TAIL.value): VerdictMark("h", "OO", "#ead8d0"),
    REFUSED_WORD: VerdictMark("x", "//\\\\", "#d9d9d9"),
}
"""By the word of the verdict; those that fail and refused variants have a hatch."""


def failures(words: list[str]) -> list[str]:
    """Verdicts that came up, without the good one, in the order of `MARKS`."""
    return [word for word in MARKS if word in words and word != GOOD_WORD]
