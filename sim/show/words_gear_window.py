"""The gear window in sentences, and as data."""

from collections.abc import Iterator
from typing import Any

import numpy as np

from sim.checks.stance import NOSE_SHARE_LIMITS, TIP_BACK_LIMIT
from sim.scenario import Trigger
from sim.show.find_document import found_record, search_record
from sim.show.words_find import (
    interval_words,
    other_verdicts,
    quantity_words,
    slope_words,
    value_words,
)
from sim.study.condition import Clause
from sim.study.edges import CROSSES, END, Edge
from sim.study.gear_window import SHARE, STALL_SHARE, TIP_BACK, Case, GearWindow

NAMES = {
    TIP_BACK: "tip-back angle",
    SHARE: "nose-wheel share",
    "nose-wheel-off.airspeed": "nose wheel off",
    "nose-wheel-off.distance": "nose wheel off",
}


def limit_words(clause: Clause, system: str) -> str:
    """One of the three demands, such as "tip-back angle at least 15 deg"."""
    if clause.name == SHARE:
        return f"nose-wheel share at least {100.0 * clause.limit:g} %"
    how = "by" if clause.name.startswith("nose-wheel-off") else "at least"
    return f"{NAMES[clause.name]} {how} {quantity_words(clause, clause.limit, system)}"


def wanted_words(window: GearWindow, system: str) -> str:
    """What is asked of a station, and whose limits these are."""
    clauses = window.cases[0].search.found[0].condition.clauses
    usual = "" if window.wished else f" ({STALL_SHARE:g} times the stall speed, flaps up)"
    by, tip_back, share = (limit_words(clause, system) for clause in clauses)
    return (
        f"Wanted: {by}{usual}; {tip_back} ({TIP_BACK_LIMIT.source}, {TIP_BACK_LIMIT.mark});"
        f" {share} ({NOSE_SHARE_LIMITS[1].source}, {NOSE_SHARE_LIMITS[1].mark})."
    )


def case_words(case: Case, system: str) -> str:
    """The window of one case, and where the wheels are now."""
    search, knob = case.search, case.search.knob
    if not case.windows:
        return f"{case.name}: no station does. {_apart(case, system)}"
    parts = "; ".join(interval_words(search, one, system) for one in case.windows)
    wide = sum(one.high.value - one.low.value for one in case.windows)
    told = f"{case.name}: main wheels {parts}, {value_words(knob, wide, system, 0, 3)} in all."
    return f"{told} {now_words(case, system)}"


def now_words(case: Case, system: str) -> str:
    """Where the wheels are now, and by how much that is off."""
    knob, now = case.search.knob, case.search.present
    assert now is not None  # every scenario has main wheels
    told = f"Now {value_words(knob, now, system)}"
    if any(one.low.value <= now <= one.high.value for one in case.windows):
        return f"{told}, inside."
    edges = [edge.value for one in case.windows for edge in (one.low, one.high)]
    nearest = min(edges, key=lambda value: abs(value - now))
    gap = value_words(knob, abs(now - nearest), system, 1, 2)
    return f"{told}, {gap} too far {'aft' if now > nearest else 'forward'}."


def _apart(case: Case, system: str) -> str:
    """What each demand alone would take."""
    parts = []
    for found in case.search.found[1:]:
        name = NAMES[found.condition.clauses[0].name]
        if found.intervals:
            where = "; ".join(interval_words(case.search, i, system) for i in found.intervals)
            parts.append(f"{name} as wanted {where}")
        else:
            parts.append(f"{name} as wanted nowhere{_late_pull(case, found.condition.clauses[0])}")
    return f"{'. '.join(part[0].upper() + part[1:] for part in parts)}."


def _late_pull(case: Case, clause: Clause) -> str:
    """A nose wheel cannot leave before the pilot pulls, unless it does so by itself."""
    pull = case.scenario.pilot.pull_at
    if not clause.name.startswith("nose-wheel-off") or not isinstance(pull, Trigger):
        return ""
    unit = {"place": "m", "airspeed": "m/s", "time": "s"}[pull.kind]
    return f" (the pilot pulls at {pull.value:g} {unit})"


def edge_lines(case: Case, system: str) -> Iterator[str]:
    """Which demand ends the window at either side."""
    for one in case.windows:
        for side, edge, toward in (("forward", one.low, 1), ("aft", one.high, -1)):
            yield f"{case.name}, {side} end: {_edge(case, edge, system, toward)}"


def _edge(case: Case, edge: Edge, system: str, toward: int) -> str:
    knob = case.search.knob
    where = value_words(knob, edge.value, system, toward)
    if edge.kind == END or edge.clause is None:
        return f"{where}, as far as was looked"
    if edge.kind == CROSSES:
        return (
            f"{limit_words(edge.clause, system)}, at {where}; there it"
            f" {slope_words(knob, edge, system)}"
        )
    return f"the outcome jumps at {where}, {edge.outside} beyond"


def notes(window: GearWindow, system: str) -> Iterator[str]:
    """Ends of the windows, and what else to know."""
    for case in window.cases:
        yield from edge_lines(case, system)
    for case in window.cases:
        others = other_verdicts(case.search, case.search.found[0])
        if others:
            yield f"mind: inside, {case.name}, some rolls end {others}: run them first"
    best = NOSE_SHARE_LIMITS[0]
    yield (
        f"a nose-wheel share of {100 * best.low:g} to {100 * best.high:g} % is best"
        f" ({best.source}, {best.mark}){_heavy(window.cases[0], system)}"
    )
    yield "only the station moves: height of the axle, CG and technique stay as they are"
    rolls = sum(len(case.search.samples.x) for case in window.cases)
    yield f"{rolls} rolls; rotation is what the simulated nose wheel did, not a formula"


def _heavy(case: Case, system: str) -> str:
    """From which station the nose wheel carries more than is usual; "" if nowhere."""
    most = NOSE_SHARE_LIMITS[1].high
    x, share = case.search.samples.x, case.search.samples.rows[SHARE]
    known = np.isfinite(share)
    x, share = x[known], share[known]
    if not (np.diff(share) > 0.0).all() or not len(x) or share[-1] <= most:
        return ""
    place = value_words(case.search.knob, float(np.interp(most, share, x)), system)
    return f"; from {place} aft it is over {100 * most:g} %, which makes it hard to rotate"


def gear_window_document(window: GearWindow) -> dict[str, Any]:
    """The windows as data, stations in metres."""
    return {
        "title": window.cases[0].search.prepared.title,
        "wanted": wanted_words(window, "si"),
        "cases": [
            {
                "flaps": case.name,
                "window_m": [[one.low.value, one.high.value] for one in case.windows],
                "words": case_words(case, "si"),
            }
            | search_record(case.search)
            | {"together": found_record(case.search, case.search.found[0])}
            | {"each": [found_record(case.search, found) for found in case.search.found[1:]]}
            for case in window.cases
        ],
        "notes": list(notes(window, "si")),
    }
