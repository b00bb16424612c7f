"""What was found as plain data for other programs."""

from math import isfinite
from typing import Any

from sim.show.document import json_text
from sim.show.units import unit_of
from sim.show.vary_document import axis_unit
from sim.show.words_find import clause_words, lead_words, notes, present_words
from sim.study.axis import Axis
from sim.study.edges import Edge, Found
from sim.study.find import Search
from sim.study.outcome_columns import VERDICT, column_of


def find_json(search: Search) -> str:
    """The document as text."""
    return json_text(find_document(search))


def find_document(search: Search) -> dict[str, Any]:
    """The answer for the first condition; values of the key in SI, quantities with their unit."""
    return search_record(search) | found_record(search, search.found[0])


def search_record(search: Search) -> dict[str, Any]:
    """Key, range and rolls of a search."""
    return {
        "title": search.prepared.title,
        "key": search.knob.key,
        "unit": axis_unit(Axis(search.knob.key, search.knob, search.samples.x)),
        "between": [search.low, search.high],
        "present": search.present,
        "rolled": len(search.samples.x),
        "step": search.step,
    }


def found_record(search: Search, found: Found) -> dict[str, Any]:
    """Intervals of one condition."""
    words = [lead_words(search, found, "si"), present_words(search, found, "si")]
    return {
        "condition": found.condition.text,
        "clauses": [clause_words(clause) for clause in found.condition.clauses],
        "everywhere": found.everywhere(),
        "intervals": [
            {"low": edge_record(one.low), "high": edge_record(one.high)} for one in found.intervals
        ],
        "closest": _closest(found),
        "words": [*filter(None, words), *notes(search, found, "si")],
    }


def edge_record(edge: Edge) -> dict[str, Any]:
    """One edge; the slope in the quantity's SI unit (angles in degrees) per SI unit of the key."""
    known = edge.clause is not None and edge.clause.name != VERDICT and isfinite(edge.slope)
    kind = column_of(edge.clause.name).kind if known and edge.clause else ""
    return {
        "value": edge.value,
        "kind": edge.kind,
        "decided_by": clause_words(edge.clause) if edge.clause else None,
        "slope": edge.slope * unit_of(kind).factor if known else None,
        "verdict_inside": edge.inside,
        "verdict_outside": edge.outside or None,
        "known_to": edge.width,
    }


def _closest(found: Found) -> dict[str, Any] | None:
    if found.closest is None:
        return None
    unit = unit_of(column_of(found.condition.clauses[0].name).kind)
    return {
        "value": found.closest.value,
        "quantity": unit.shown(found.closest.quantity),
        "quantity_unit": unit.symbol or "-",
        "verdict": found.closest.verdict,
    }
