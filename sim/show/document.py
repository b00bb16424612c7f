"""The result document: one report as plain data for other programs, strict JSON, always SI."""

import json
from math import degrees, isfinite
from typing import Any

from sim.aeroplane.ledger import Ledger, Row
from sim.checks.stance import Limit, StanceItem
from sim.report import Report, summary, versions
from sim.roll.result import Event
from sim.scenario import Change
from sim.show.power_document import power_record
from sim.show.terminal_budget import nose_load
from sim.show.units import formatter
from sim.show.words import HAPPENINGS, advice_text, lifts_off
from sim.study.advice import Advice
from sim.study.ranges import RangeEnd

EVENT_KEYS: dict[str, tuple[str, float]] = {
    "time_s": ("time", 1.0),
    "distance_m": ("distance", 1.0),
    "ground_speed_m_per_s": ("ground_speed", 1.0),
    "airspeed_m_per_s": ("airspeed", 1.0),
    "pitch_deg": ("pitch", degrees(1.0)),
    "pitch_rate_deg_per_s": ("pitch_rate", degrees(1.0)),
    "main_load_N": ("main_load", 1.0),
    "nose_load_N": ("nose_load", 1.0),
    "tail_load_N": ("tail_load", 1.0),
}
"""Key in the document -> field of the event, factor."""


def document(report: Report) -> dict[str, Any]:
    """The result document; every number SI with its unit in the key, None for what there is not."""
    result = report.result
    whole = {
        "events": [event_record(event) for event in result.events],
        "verdict": str(result.verdict),
        "also": [happening_record(event) for event in result.also],
        "reason": report.reason.text(formatter("si")),
        "advice": [advice_record(advice, report) for advice in report.advice],
        "summary": summary(report),
        "budget": budget_record(report),
        "power": power_record(report) if report.prepared.power else None,
        "stance": [stance_record(item) for item in report.stance.items],
        "changes": [applied_record(change) for change in report.prepared.changes],
        "mass_ledger": ledger_record(report.prepared.masses),
        "assumptions": assumption_record(report),
        "cautions": list(report.cautions),
        "coefficients": dict(report.prepared.coefficients),
        "scenario": report.prepared.resolved,
        "versions": versions(),
    }
    strict: dict[str, Any] = plain(whole)
    return strict


def to_json(report: Report) -> str:
    """The document as text: same report, same bytes."""
    return json_text(document(report))


def json_text(data: Any) -> str:
    """Strict JSON (no NaN), indented, one newline at the end."""
    return json.dumps(plain(data), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def plain(value: Any) -> Any:
    """Only dict, list, str, int, float, bool and None; what is not finite becomes None."""
    if isinstance(value, dict):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    if value is None or isinstance(value, bool | int):
        return value
    if isinstance(value, str):
        return str(value)
    if hasattr(value, "tolist"):  # numpy scalars and arrays
        return plain(value.tolist())
    number = float(value)
    return (number + 0.0) if isfinite(number) else None  # + 0.0: no negative zero


def event_record(event: Event) -> dict[str, Any]:
    """One event with the keys of the document."""
    numbers = {key: getattr(event, name) * factor for key, (name, factor) in EVENT_KEYS.items()}
    return {"name": event.name, **numbers}


def happening_record(event: Event) -> dict[str, Any]:
    """Something else that happened: name, time, place, plain words."""
    return {
        "name": event.name,
        "time_s": event.time,
        "distance_m": event.distance,
        "description": HAPPENINGS.get(event.name, event.name),
    }


def advice_record(advice: Advice, report: Report) -> dict[str, Any]:
    """One change tried: what it brings, and the verdict with it."""
    return {
        "change": advice.change.text(formatter("si")),
        "gain_m": advice.gain,
        "verdict": str(advice.verdict),
        "lift_off_distance_m": advice.lift_off_place,
        "description": advice_text(advice, report.result.verdict, lifts_off(report)),
    }


def budget_record(report: Report) -> dict[str, Any]:
    """Nose-load budget at the decisive moment and against airspeed [N]."""
    budget = report.budget
    return {
        "moment": report.decisive_name,
        "airspeed_m_per_s": report.decisive_airspeed,
        "parts_N": budget.at(report.decisive_airspeed),
        "nose_load_N": nose_load(report),
        "against_airspeed": {
            "airspeed_m_per_s": budget.airspeed,
            "parts_N": budget.parts,
            "nose_load_N": budget.nose_load,
            "main_load_N": budget.main_load,
        },
    }


def stance_record(item: StanceItem) -> dict[str, Any]:
    """One figure of the stance; angles in degrees."""
    factor = degrees(1.0) if item.unit == "rad" else 1.0
    return {
        "name": item.name,
        "value": item.value * factor,
        "unit": "deg" if item.unit == "rad" else item.unit,
        "limits": [_limit_record(limit, item, factor) for limit in item.limits],
        "remarks": list(item.remarks),
    }


def _limit_record(limit: Limit, item: StanceItem, factor: float) -> dict[str, Any]:
    return {
        "low": limit.low * factor,
        "high": limit.high * factor,
        "source": limit.source,
        "mark": limit.mark,
        "outcome": limit.verdict(item.value),
    }


def change_record(change: Change) -> dict[str, Any]:
    """What a change is and takes; None for what was not told."""
    return {
        "name": change.name,
        "text": change.text,
        "hours": change.hours,
        "cost": change.cost,
        "reversible": change.reversible,
    }


def applied_record(change: Change) -> dict[str, Any]:
    """One change applied, with the masses it brings."""
    return change_record(change) | {"add": [_row_record(row) for row in change.added]}


def ledger_record(masses: Ledger | None) -> dict[str, Any] | None:
    """Mass properties before and after, the rows between, and how far the CG moves [SI]."""
    if masses is None:
        return None
    return {
        "before": masses.base.record(),
        "rows": [{"change": row.change} | _row_record(row) for row in masses.rows],
        "after": masses.total.record(),
        "cg_shift_aft_m": masses.total.station - masses.base.station,
        "cg_shift_up_m": masses.total.height - masses.base.height,
    }


def _row_record(row: Row) -> dict[str, Any]:
    return {
        "item": row.item,
        "mass_kg": row.mass,
        "station_m": row.station,
        "height_m": row.height,
    }


def _range_end(end: RangeEnd) -> dict[str, Any]:
    return {
        "value": end.value,
        "verdict": end.verdict,
        "lift_off_distance_m": end.lift_off_place,
    }


def assumption_record(report: Report) -> dict[str, Any]:
    """Estimated values [SI], known ranges and remarks."""
    prepared = report.prepared
    return {
        "estimated": [
            {"key": e.key, "value_si": e.value, "kind": e.kind, "how": e.how}
            for e in prepared.estimates
        ],
        "rolling_resistance_range": prepared.resistance_range,
        "tail_max_lift_range": prepared.tail_limit_range,
        "uncertain": [
            {"name": e.name, "low": _range_end(e.low), "high": _range_end(e.high)}
            for e in report.ranges
        ],
        "notes": list(prepared.notes),
    }
