"""The result document: exact keys, strict JSON, the same bytes every time."""

import json

import numpy as np
import pytest

from sim.roll.verdict import Verdict
from sim.show.document import document, json_text, to_json
from sim.show.units import formatter
from tests.test_show_reports import report_of

EVENT_KEYS = {
    "name", "time_s", "distance_m", "ground_speed_m_per_s", "airspeed_m_per_s", "pitch_deg",
    "pitch_rate_deg_per_s", "main_load_N", "nose_load_N", "tail_load_N",
}  # fmt: skip
KEYS = {
    "events", "verdict", "also", "reason", "advice", "summary", "budget", "stance", "changes",
    "mass_ledger", "assumptions", "power",
    "cautions", "coefficients", "scenario", "versions",
}  # fmt: skip


def refuse(word):
    raise AssertionError(f"{word} is not JSON")


@pytest.mark.parametrize("verdict", list(Verdict))
def test_keys_and_strict_json(verdict):
    text = to_json(report_of(verdict))
    data = json.loads(text, parse_constant=refuse)
    assert set(data) == KEYS
    assert data["verdict"] == str(verdict)
    assert all(set(event) == EVENT_KEYS for event in data["events"])
    assert all(
        set(entry) == {"name", "time_s", "distance_m", "description"} for entry in data["also"]
    )
    assert data["reason"].endswith(".")
    assert text.endswith("}\n")


def test_numbers_are_those_of_the_report():
    report = report_of(Verdict.SCRAPES_TAIL)
    data = document(report)
    strike = report.result.event("tail-strike")
    found = next(event for event in data["events"] if event["name"] == "tail-strike")
    assert found["distance_m"] == pytest.approx(strike.distance)
    assert found["pitch_deg"] == pytest.approx(np.degrees(strike.pitch))
    assert found["pitch_rate_deg_per_s"] == pytest.approx(np.degrees(strike.pitch_rate))
    assert [event["name"] for event in data["events"]] == [e.name for e in report.result.events]
    assert [a["change"] for a in data["advice"]] == [
        a.change.text(formatter()) for a in report.advice
    ]
    assert data["scenario"] == {"title": "Jet of the tests", "aeroplane": {"mass_kg": 3.2}}
    assert data["coefficients"] == {"wing_area_m2": 0.33}
    assert list(data["versions"]) == ["wheelsoff", "numpy", "scipy"]


@pytest.mark.parametrize("verdict", [Verdict.AIRBORNE, Verdict.NEVER_ROTATES])
def test_budget_parts_sum_to_the_nose_load(verdict):
    budget = document(report_of(verdict))["budget"]
    assert sum(budget["parts_N"].values()) == pytest.approx(budget["nose_load_N"], abs=1e-6)
    curve = budget["against_airspeed"]
    sums = np.sum(list(curve["parts_N"].values()), axis=0)
    assert sums == pytest.approx(np.array(curve["nose_load_N"]), abs=1e-6)
    assert len(curve["airspeed_m_per_s"]) == len(curve["main_load_N"])


def test_what_there_is_not_is_none():
    data = document(report_of(Verdict.NEVER_ROTATES))
    assert data["summary"]["lift_off_distance_m"] is None
    assert data["summary"]["speed_needed_m_per_s"] is None
    stance = {item["name"]: item for item in data["stance"]}
    tip_back = stance["tip-back angle"]
    assert tip_back["unit"] == "deg"
    assert tip_back["limits"][0]["low"] == pytest.approx(15.0)
    assert tip_back["limits"][0]["high"] is None


def test_assumptions_and_cautions_travel_with_it():
    data = document(report_of(Verdict.AIRBORNE))
    assert data["assumptions"]["estimated"] == [
        {
            "key": "aeroplane.pitch_inertia",
            "value_si": 0.18,
            "kind": "inertia",
            "how": "from mass and length",
        }
    ]
    assert data["assumptions"]["rolling_resistance_range"] == [0.09, 0.2]
    assert "not a clearance to fly" in data["cautions"][0]


def test_same_report_same_bytes():
    report_of.cache_clear()
    first = to_json(report_of(Verdict.AIRBORNE))
    report_of.cache_clear()
    assert to_json(report_of(Verdict.AIRBORNE)) == first


def test_strangers_become_plain_data():
    data = {"a": np.float64("nan"), "b": np.arange(2), "c": (np.inf, -0.0), "d": True, "e": 3}
    assert json.loads(json_text(data)) == {
        "a": None, "b": [0, 1], "c": [None, 0.0], "d": True, "e": 3,
    }  # fmt: skip
    assert "-0" not in json_text({"c": -0.0})
