"""A ladder as plain data for other programs: a JSON document and a table of all combinations."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from sim.scenario import Change
from sim.show.document import change_record, json_text
from sim.show.study_table import study_csv
from sim.show.words_ladder import answer_lines, basis_lines, bite_lines, pair_lines, together_text
from sim.study.knobs import Knob
from sim.study.ladder import GROUND_ROLL, ROTATION, Counted, Ladder, members, summed
from sim.study.ladder_answers import (
    best_pair,
    conflicts,
    extreme_pairs,
    fewest_hours,
    shortest_airborne,
    smallest_set,
)
from sim.study.rows import Rows
from sim.study.shapley import pair_effects


def ladder_csv(changes: Sequence[Change], rows: Rows, system: str = "si") -> str:
    """One row for each combination: which changes (1 or 0), hours, cost, verdict, numbers."""
    knobs = [Knob(f"change.{c.name}", "whole", "bare", 0, 1, "0 or 1") for c in changes]
    knobs += [Knob(name, "number", "bare", 0.0, 1e9, "a number") for name in ("hours", "cost")]
    values = np.array([_inputs(changes, mask) for mask in range(rows.asked)])
    return study_csv(knobs, values, rows, system)


def _inputs(changes: Sequence[Change], mask: int) -> list[float]:
    """Which changes, then what they take."""
    inside = members(changes, mask)
    flags = [float(mask >> i & 1) for i in range(len(changes))]
    return [*flags, summed(c.hours for c in inside), summed(c.cost for c in inside)]


def ladder_json(ladder: Ladder) -> str:
    """The document as text."""
    return json_text(ladder_document(ladder))


def ladder_document(ladder: Ladder) -> dict[str, Any]:
    """The ladder with every number SI and its unit in the key."""
    return {
        "title": ladder.title,
        "strip_length_m": ladder.strip_length,
        "margin": ladder.margin,
        "as_it_stands": _combination(ladder, 0),
        "all": _combination(ladder, ladder.rungs[-1]),
        "changes": [_change(ladder, i) for i in range(ladder.count)],
        "rungs": [
            {"added": change.name, "left_out": rung == before, **_combination(ladder, rung)}
            for change, rung, before in zip(
                ladder.changes, ladder.rungs, (0, *ladder.rungs), strict=False
            )
        ],
        "smallest_set": _maybe(ladder, smallest_set(ladder)),
        "fewest_hours": _maybe(ladder, fewest_hours(ladder)),
        "shortest_airborne": _maybe(ladder, shortest_airborne(ladder)),
        "best_pair": _maybe(ladder, best_pair(ladder)),
        "pairs": _pairs(ladder),
        "ground_roll": _counted(ladder.ground_roll, "m"),
        "rotation_airspeed": _counted(ladder.rotation, "m_per_s"),
        "verdicts": ladder.rows.counts(),
        "left_out": [
            {"changes": [c.name for c in ladder.members(mask)], "reason": reason}
            for mask, reason in conflicts(ladder)
        ],
        "words": [
            together_text(ladder, "si"), *answer_lines(ladder, "si"), *pair_lines(ladder, "si"),
            *bite_lines(ladder, "si"), *basis_lines(ladder, "si"),
        ],
    }  # fmt: skip


def _maybe(ladder: Ladder, mask: int | None) -> dict[str, Any] | None:
    return None if mask is None else _combination(ladder, mask)


def _combination(ladder: Ladder, mask: int) -> dict[str, Any]:
    return {
        "changes": [c.name for c in ladder.members(mask)],
        "hours": ladder.hours(mask),
        "cost": ladder.cost(mask),
        "verdict": ladder.rows.verdict(mask),
        "ground_roll_m": ladder.value(GROUND_ROLL, mask),
        "strip_left": ladder.strip_left(mask),
        "rotation_airspeed_m_per_s": ladder.value(ROTATION, mask),
        "stall_margin": ladder.value("stall_margin", mask),
        "power_limits_passed": list(ladder.over[mask]) if mask in ladder.over else None,
    }


def _change(ladder: Ladder, i: int) -> dict[str, Any]:
    change, roll, rotation = ladder.changes[i], ladder.ground_roll, ladder.rotation
    return {
        **change_record(change),
        "alone": _combination(ladder, 1 << i),
        "ground_roll_gain_alone_m": roll.gains[1 << i],
        "ground_roll_share_m": roll.shares[i],
        "rotation_gain_alone_m_per_s": rotation.gains[1 << i],
        "rotation_share_m_per_s": rotation.shares[i],
    }


def _counted(counted: Counted, unit: str) -> dict[str, Any]:
    return {
        f"gain_together_{unit}": counted.whole,
        f"sum_of_gains_alone_{unit}": counted.parts,
        f"interaction_{unit}": counted.whole - counted.parts,
        "missing": counted.missing,
        f"missing_counted_as_{unit}": counted.stand_in,
        "order_holds_with_twice_that": counted.order_holds,
    }


def _pairs(ladder: Ladder) -> dict[str, Any] | None:
    extremes = extreme_pairs(ladder.ground_roll)
    if extremes is None:
        return None
    effects = pair_effects(ladder.ground_roll.gains)
    return {
        name: {
            "changes": [ladder.changes[i].name, ladder.changes[j].name],
            "gain_beyond_sum_m": effects[i, j],
        }
        for name, (i, j) in zip(("falls_short_most", "exceeds_most"), extremes, strict=True)
    }
