"""How sure is the answer: the same roll at both ends of what is least certain.

The rolling resistance of a surface and the largest lift of the tail are known only as ranges, and
both can decide a roll. Each end is simulated beside it.
"""

from dataclasses import dataclass

from sim.prepare.prepared import Prepared
from sim.roll.events import Happening
from sim.roll.parameters import Setup
from sim.roll.result import Many
from sim.roll.verdict import Verdict

TAIL_LIMIT_SPREAD = 0.15
"""Share by which a maximum lift of the tail that was given may be off; a judgement, no source."""


@dataclass(frozen=True)
class RangeEnd:
    """The roll with one uncertain number at one end of its range."""

    value: float
    verdict: Verdict
    lift_off_place: float  # [m], nan if it does not lift off


@dataclass(frozen=True)
class RangeEffect:
    """What an uncertain number does to the roll between its low and high end.

    `name` in plain words; values are plain numbers [-].
    """

    name: str
    low: RangeEnd
    high: RangeEnd


def range_setups(prepared: Prepared) -> tuple[tuple[str, float, Setup], ...]:
    """Name, value and numbers of every end to simulate, low before high."""
    p = prepared.setup.parameters
    made = []
    if prepared.resistance_range is not None:
        for value, end in zip(prepared.resistance_range, ("low", "high"), strict=True):
            # the nose wheel has a size, and so a resistance, of its own
            nose = prepared.coefficients.get(f"rolling_resistance_nose_{end}", value)
            laid = prepared.setup.but(main_friction=value, nose_friction=nose)
            made.append(("rolling resistance", value, laid))
    spread = (1.0 - TAIL_LIMIT_SPREAD, 1.0 + TAIL_LIMIT_SPREAD)
    tail = prepared.tail_limit_range or tuple(p.tail_max_lift * share for share in spread)
    if prepared.tail_limit_range is not None or p.tail_max_lift < 10.0:
        for value in tail:
            name = "largest lift of the tail, on the wing's area"
            made.append((name, value, prepared.setup.but(tail_max_lift=value)))
    return tuple(made)


def weigh_ranges(
    many: Many, first: int, ends: tuple[tuple[str, float, Setup], ...]
) -> tuple[RangeEffect, ...]:
    """Read the lanes `first`, `first` + 1, ... that belong to `ends`, pair by pair."""
    found = [
        RangeEnd(
            value,
            many.verdicts[lane],
            float(many.facts.first_place[Happening.LIFT_OFF, lane]),
        )
        for lane, (_, value, _) in enumerate(ends, start=first)
    ]
    return tuple(RangeEffect(ends[i][0], found[i], found[i + 1]) for i in range(0, len(ends), 2))
