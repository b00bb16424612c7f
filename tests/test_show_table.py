"""The trace as a table: read back, it is the trace."""

import csv
from io import StringIO

import numpy as np
import pytest

from sim.roll.columns import TRACE_COLUMNS
from sim.roll.trace import PHASE_LABELS
from sim.roll.verdict import Verdict
from sim.show.table_file import heading, trace_csv
from tests.test_show_reports import report_of


def read(text):
    rows = list(csv.reader(StringIO(text)))
    return rows[0], rows[1:]


def test_headings_carry_units():
    head, _ = read(trace_csv(report_of(Verdict.AIRBORNE)))
    assert head[:4] == ["time [s]", "distance [m]", "ground speed [m/s]", "airspeed [m/s]"]
    assert "pitch [deg]" in head and "pitch rate [deg/s]" in head and "wing use [-]" in head
    assert head[-1] == "phase"
    assert len(head) == len(set(head)) == len(TRACE_COLUMNS) + 1
    imperial, _ = read(trace_csv(report_of(Verdict.AIRBORNE), "imperial"))
    assert imperial[:4] == ["time [s]", "distance [ft]", "ground speed [mph]", "airspeed [mph]"]


@pytest.mark.parametrize("verdict", [Verdict.AIRBORNE, Verdict.SCRAPES_TAIL, Verdict.SITS_ON_TAIL])
def test_read_back_it_is_the_trace(verdict):
    trace = report_of(verdict).result.trace
    _, rows = read(trace_csv(report_of(verdict)))
    assert len(rows) == len(trace)
    factor = {"rad": np.degrees(1.0), "rad/s": np.degrees(1.0), "rad/s^2": np.degrees(1.0)}
    for i, column in enumerate(TRACE_COLUMNS):
        back = np.array([float(row[i]) if row[i] else np.nan for row in rows])
        expected = trace[column.name] * factor.get(column.unit, 1.0)
        assert back == pytest.approx(expected, rel=1e-8, abs=1e-12, nan_ok=True)
    assert [row[-1] for row in rows] == [PHASE_LABELS[i] for i in trace.phase]


def test_imperial_is_si_converted():
    _, metric = read(trace_csv(report_of(Verdict.AIRBORNE)))
    head, imperial = read(trace_csv(report_of(Verdict.AIRBORNE), "imperial"))
    for name, factor in (("distance [ft]", 1 / 0.3048), ("thrust [lbf]", 1 / 4.4482216152605)):
        i = head.index(name)
        a = np.array([float(row[i]) for row in metric])
        b = np.array([float(row[i]) for row in imperial])
        assert b == pytest.approx(a * factor, rel=1e-7, abs=1e-9)


def test_heading_of_one_column():
    assert heading(TRACE_COLUMNS[2], "imperial") == "ground speed [mph]"
