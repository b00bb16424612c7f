"""One thing that was checked: its value, what it is held against, and what comes of it."""

from dataclasses import dataclass
from enum import StrEnum
from math import inf, isnan, nan

from sim.checks.sentence import Sentence

RESERVE = 1.5
"""Limit over load below which a load counts as close: the factor between limit and ultimate load of
14 CFR 23.303 (from memory), taken over for parts nobody has certified."""


class Standing(StrEnum):
    """What comes of a check."""

    HOLDS = "holds"
    CLOSE = "close"
    FAILS = "fails"
    NOT_KNOWN = "not known"
    TOLD = "no limit"


@dataclass(frozen=True)
class Finding:
    """One line of the table.

    Attributes
    ----------
    matter: what it belongs to, such as "tail load".
    name: what was looked at.
    value: what it comes to [SI]; nan where it is not known.
    kind: kind of quantity, for units.
    limit: what it is held against [SI]; nan when there is none.
    at_least: the limit is the smallest allowed, not the largest.
    source: where the limit comes from, with its mark.
    reserve: limit over value (or value over limit) below which it counts as close [-].
    note: what there is to say about it.
    missing: keys that would make it possible; none when it was made.

    """

    matter: str
    name: str
    value: float = nan
    kind: str = "force"
    limit: float = nan
    at_least: bool = False
    source: str = ""
    reserve: float = 1.0
    note: Sentence | None = None
    missing: tuple[str, ...] = ()

    @property
    def spare(self) -> float:
        """What is left to the limit [SI], negative when it is passed; nan without one."""
        return self.value - self.limit if self.at_least else self.limit - self.value

    @property
    def use(self) -> float:
        """Share of the limit that is used, one at the limit [-]; nan without one."""
        if isnan(self.value) or isnan(self.limit):
            return nan
        part, whole = (self.limit, self.value) if self.at_least else (self.value, self.limit)
        if part <= 0.0:
            return inf if self.spare < 0.0 else 0.0
        return part / whole if whole > 0.0 else inf

    @property
    def standing(self) -> Standing:
        """What comes of it."""
        if isnan(self.value):
            return Standing.NOT_KNOWN
        if isnan(self.limit):
            return Standing.NOT_KNOWN if self.missing else Standing.TOLD
        if not self.spare >= 0.0:  # never within no bound either
            return Standing.FAILS
        return Standing.CLOSE if self.use * self.reserve > 1.0 else Standing.HOLDS


def unknown(matter: str, name: str, *missing: str, note: Sentence | None = None) -> Finding:
    """A check that cannot be made without some keys."""
    return Finding(matter, name, note=note, missing=missing)
