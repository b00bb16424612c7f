"""The CSV of a study: inputs first, units in the headings, every lane a row."""

import csv
from io import StringIO

import numpy as np
import pytest

import sim
from sim.show.study_table import study_csv
from sim.study.batch import roll_rows
from sim.study.knobs import knob_of
from sim.study.rows import Rows
from sim.study.sources import variants_of

COLUMNS = ("lift-off.distance", "lift-off.pitch_rate", "stall_margin")


def made() -> tuple[list, np.ndarray, Rows]:
    scenario = sim.load_scenario("meadow-jet")
    keys = ("aeroplane.cg.station", "aeroplane.mass", "air.temperature", "strip.surface")
    knobs = [knob_of(scenario, key) for key in keys]
    values = np.array(
        [[0.55, 3.1, 288.15, 0.0], [0.55, 0.001, 288.15, 0.0], [0.55, 6.0, 300.15, 1.0]]
    )
    return knobs, values, roll_rows(variants_of(scenario, knobs, values), COLUMNS)


def test_inputs_then_outcomes_with_units_failures_included() -> None:
    knobs, values, rows = made()
    head, *lines = list(csv.reader(StringIO(study_csv(knobs, values, rows))))
    assert head == [
        "lane", "aeroplane.cg.station [mm]", "aeroplane.mass [kg]", "air.temperature [degC]",
        "strip.surface [-1 low, 0 typical, 1 high]", "verdict", "lift off distance [m]",
        "lift off pitch rate [deg/s]", "stall margin [-]", "refused because",
    ]  # fmt: skip
    assert len(lines) == 3
    assert lines[0][:6] == ["1", "550", "3.1", "15", "0", "airborne"]
    assert float(lines[0][6]) == pytest.approx(rows["lift-off.distance"][0], rel=1e-8)
    assert float(lines[0][7]) == pytest.approx(np.degrees(rows["lift-off.pitch_rate"][0]), rel=1e-8)
    assert lines[1][5] == "refused" and lines[1][6:9] == ["", "", ""]
    assert "aeroplane.mass" in lines[1][9]
    assert lines[2][5] not in ("airborne", "refused") and lines[2][6] == "" and lines[2][9] == ""


def test_imperial_units() -> None:
    knobs, values, rows = made()
    head, first, *_ = list(csv.reader(StringIO(study_csv(knobs, values, rows, "imperial"))))
    assert head[1:4] == [
        "aeroplane.cg.station [in]",
        "aeroplane.mass [lb]",
        "air.temperature [degF]",
    ]
    assert float(first[1]) == pytest.approx(0.55 / 0.0254, rel=1e-8)
    assert float(first[3]) == pytest.approx(59.0)
    assert head[6] == "lift off distance [ft]"
    with pytest.raises(ValueError, match="units"):
        study_csv(knobs, values, rows, "furlongs")


def test_an_interrupted_table_says_so_and_keeps_the_lanes_numbers() -> None:
    knobs, values, rows = made()
    left = Rows(
        3, rows.lanes[2:], rows.columns, rows.values[:, 2:], rows.verdicts[2:], {}
    )  # the first two were still under way
    lines = list(csv.reader(StringIO(study_csv(knobs, values, left))))
    assert lines[1][0] == "3" and lines[1][2] == "6"
    assert lines[-1] == ["incomplete: 1 of 3 rolls, it was interrupted"]
    assert not study_csv(knobs, values, rows).splitlines()[-1].startswith("incomplete")
    with pytest.raises(ValueError, match="2 rows of values for 3 lanes"):
        study_csv(knobs, values[:2], rows)
