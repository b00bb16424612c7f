"""A study along keys as plain data for other programs: a JSON document and a table of all rolls."""

import csv
from io import StringIO
from math import degrees
from typing import Any

import numpy as np

from sim.show.axis_words import SURFACE_UNIT
from sim.show.document import json_text
from sim.show.study_table import INCOMPLETE, study_csv
from sim.show.units import formatter
from sim.study.axis import Axis
from sim.study.knobs import SI_UNITS, SURFACE_KEY
from sim.study.outcome_columns import OutcomeColumn, column_of
from sim.study.vary import Vary

_ENDS: dict[str, tuple[str, float]] = {
    "m": ("_m", 1.0), "s": ("_s", 1.0), "m/s": ("_m_per_s", 1.0), "N": ("_N", 1.0),
    "J": ("_J", 1.0), "rad": ("_deg", degrees(1.0)), "rad/s": ("_deg_per_s", degrees(1.0)),
    "rad/s^2": ("_deg_per_s2", degrees(1.0)), "-": ("", 1.0),
}  # fmt: skip
"""SI unit of a column -> end of its key in a document, factor; angles are degrees there."""


def document_key(column: OutcomeColumn) -> tuple[str, float]:
    """Key of a column in a document, such as "lift_off_distance_m", and the factor of its values.

    The summary's own names, such as "peak_pitch_rate_deg_per_s", stay as they are.
    """
    end, factor = _ENDS[column.unit]
    name = column.name.replace("-", "_").replace(".", "_")
    return (name if not end or name.endswith(end) else f"{name}{end}"), factor


def vary_csv(vary: Vary, system: str = "si") -> str:
    """One row for each roll: what stood along the axes, verdict, numbers."""
    knobs = [axis.knob for axis in vary.axes if axis.knob is not None]
    numeric = [i for i, axis in enumerate(vary.axes) if axis.knob is not None]
    text = study_csv(knobs, vary.values[:, numeric], vary.rows, system)
    if len(knobs) == len(vary.axes):
        return text
    return _with_words(vary, text)


def _with_words(vary: Vary, text: str) -> str:
    """The table with a column for each axis of words, at its place."""
    rows = list(csv.reader(StringIO(text)))
    asked = vary.values[vary.rows.lanes]
    for place, axis in enumerate(vary.axes):
        if axis.knob is not None:
            continue
        rows[0].insert(1 + place, axis.key)
        for row, value in zip(rows[1:], asked[:, place], strict=False):
            if not row[0].startswith(INCOMPLETE):
                row.insert(1 + place, axis.words[int(value)])
    out = StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue()


def vary_json(vary: Vary) -> str:
    """The document as text."""
    return json_text(vary_document(vary))


def vary_document(vary: Vary) -> dict[str, Any]:
    """The study with every number SI (angles in degrees) and its unit in the key."""
    return {
        "title": vary.prepared.title,
        "strip_length_m": vary.strip_length,
        "keys": [
            {
                "key": axis.key,
                "unit": axis_unit(axis),
                "values": list(axis.words) or axis.values.tolist(),
                "present": None if now is None else axis.words[int(now)] if axis.words else now,
            }
            for axis, now in zip(vary.axes, vary.present, strict=True)
        ],
        "asked": vary.rows.asked,
        "rolled": len(vary.rows),
        "complete": vary.rows.complete,
        "verdicts": vary.rows.counts(),
        "geometry": vary.geometry or None,
        "limits_passed": [
            {
                "limit": passed.says.text(formatter()),
                "source": passed.source,
                "rows": np.flatnonzero(passed.where).tolist(),
            }
            for passed in vary.passed
        ],
        "rows": _records(vary),
    }


def axis_unit(axis: Axis) -> str:
    """SI unit of the values in a document."""
    if axis.knob is None:
        return "words"
    if axis.key == SURFACE_KEY:
        return SURFACE_UNIT
    unit = SI_UNITS[axis.knob.dimension]
    return "-" if unit in ("", "%") else unit


def _records(vary: Vary) -> list[dict[str, Any]]:
    asked = vary.values[vary.rows.lanes]
    columns = [(vary.rows[name], *document_key(column_of(name))) for name in vary.rows.columns]
    records = []
    for i, lane in enumerate(vary.rows.lanes):
        record: dict[str, Any] = {
            axis.key: axis.words[int(asked[i, k])] if axis.words else float(asked[i, k])
            for k, axis in enumerate(vary.axes)
        }
        record["verdict"] = vary.rows.verdict(i)
        for values, key, factor in columns:
            value = float(values[i]) * factor
            record[key] = value if np.isfinite(value) else None
        record["refused_because"] = vary.rows.refused.get(int(lane))
        records.append(record)
    return records
