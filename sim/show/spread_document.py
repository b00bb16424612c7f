"""A spread as plain data for other programs: a JSON document and a table of all rolls."""

from math import isfinite
from typing import Any

from sim.show.document import json_text
from sim.show.study_table import study_csv
from sim.show.words_spread import basis_lines, lead_text, matters_text, roll_text
from sim.study.rows import REFUSED_WORD
from sim.study.sensitivity import CONFIDENCE
from sim.study.spread import QUANTILES, ROLL, Spread

COLUMNS = {
    "ground_roll_m": (ROLL, True),
    "lift_off_airspeed_m_per_s": ("lift-off.airspeed", False),
    "rotation_airspeed_m_per_s": ("nose-wheel-off.airspeed", False),
}
"""Key of the document -> column, and whether rolls without it count as beyond everything."""


def spread_csv(spread: Spread, system: str = "si") -> str:
    """One row for each roll: what was drawn, verdict, numbers."""
    knobs = [varied.knob for varied in spread.plan.varied]
    return study_csv(knobs, spread.values, spread.rows, system)


def spread_json(spread: Spread) -> str:
    """The document as text."""
    return json_text(spread_document(spread))


def spread_document(spread: Spread) -> dict[str, Any]:
    """The spread with every number SI and its unit in the key."""
    words = [lead_text(spread), roll_text(spread, "si"), matters_text(spread)]
    counted = bool(spread.counted)
    return {
        "title": spread.plan.prepared.title,
        "strip_length_m": spread.strip_length,
        "seed": spread.plan.seed,
        "asked": spread.asked,
        "rolled": len(spread.rows),
        "refused": len(spread.rows) - spread.counted,
        "complete": spread.rows.complete,
        "stopped_early": spread.stopped,
        "confidence": CONFIDENCE,
        "chances": _chances(spread) if counted else {},
        "quantiles": {key: _quantiles(spread, *what) for key, what in COLUMNS.items()},
        "matters": [vars(one) for one in spread.influences()] if counted else [],
        "varied": [
            {
                "key": one.knob.key,
                "given": one.text,
                "kind": one.distribution.kind,
                "low": one.distribution.low,
                "middle": one.distribution.middle,
                "high": one.distribution.high,
                "judgement": one.judgement or None,
            }
            for one in spread.plan.varied
        ],
        "words": [*filter(None, words), *basis_lines(spread)] if counted else [],
    }


def _chances(spread: Spread) -> dict[str, Any]:
    found = {}
    for word, count in spread.rows.counts().items():
        if word != REFUSED_WORD:
            chance = spread.chance(word)
            found[word] = {
                "count": count, "share": chance.share, "low": chance.low, "high": chance.high,
            }  # fmt: skip
    return found


def _quantiles(spread: Spread, name: str, every: bool) -> dict[str, float | None]:
    values = spread.quantiles(name, every)
    return {
        f"{share:g}": value if isfinite(value) else None
        for share, value in zip(QUANTILES, values, strict=True)
    }
