"""Rolls and speed logs in files of measurements: both forms, and everything that is refused."""

import numpy as np
import pytest

from sim.scenario.measured_rolls import SEEN
from sim.scenario.measurement_files import csv_columns, read_measurements
from sim.scenario.measurements import MeasurementError
from sim.scenario.problems import ScenarioError
from sim.scenario.speed_logs import read_log

COLUMNS = {"time": "Time [s]", "speed": "GNSS speed [km/h]"}
HEAD = "Time [s],Satellites,GNSS speed [km/h]"


def log_text(times, speeds, head=HEAD):
    rows = [f"{t:.6g},12,{v:.6g}" for t, v in zip(times, speeds, strict=True)]
    return "\n".join(["logger 3,flight 4", head, *rows]) + "\n"


TIMES = np.arange(100.0, 108.01, 0.2)
SPEEDS = np.clip((TIMES - 102.0) * 4.0, 0.0, None)  # m/s: let go at 102 s, 4 m/s2


@pytest.fixture
def written(tmp_path):
    """Write a file of measurements beside a log, and read it."""

    def read(text, name="day.toml", log=None):
        (tmp_path / "log.csv").write_text(log or log_text(TIMES, 3.6 * SPEEDS))
        path = tmp_path / name
        path.write_text(text)
        return read_measurements(path)

    return read


LOGGED = """
[[roll]]
log = "log.csv"
columns = { time = "Time [s]", speed = "GNSS speed [km/h]" }
"""


def refused(written, *arguments, **named):
    with pytest.raises(MeasurementError) as wrong:
        written(*arguments, **named)
    return str(wrong.value)


# --- what is read -------------------------------------------------------------------------------

TOML = """
[[roll]]
nose_up_distance = "31 m +/- 2 m"
lift_off_distance = "48 m"
lift_off_time = "4.9 s"
lift_off_speed = "40 mph"
headwind = "1 m/s"
slope = "0.5 %"
surface = "Wet grass"
changes = ["mains-forward", "more-throw"]
pull_at = "18 m"
note = "damp"
"""
CSV = """kind,nose up distance [m],lift off distance [m],lift off time [s],lift off speed [mph],\
headwind [m/s],slope [%],surface,changes,pull at,note
roll,31 +/- 2,48,4.9,40,1,0.5,wet grass,mains-forward; more-throw,18 m,damp
"""


@pytest.mark.parametrize(("text", "name"), [(TOML, "day.toml"), (CSV, "day.csv")])
def test_both_forms_say_the_same(written, text, name):
    (roll,) = written(text, name)
    seen = {key: (m.value, m.deviation) for key, m in roll.seen.items()}
    assert seen["nose_up_distance"] == (31.0, 2.0)
    assert seen["lift_off_distance"] == (48.0, pytest.approx(1.44))  # 3 % is more than a metre
    assert seen["lift_off_time"] == (4.9, 0.2)
    speed = 40 * 0.44704
    assert seen["lift_off_speed"] == (pytest.approx(speed), pytest.approx(0.05 * speed))
    assert roll.changes == ("mains-forward", "more-throw")
    assert set(roll.overrides) == {
        "air.headwind=1.0 m/s", "strip.slope=0.5 %", "strip.surface=wet grass",
        "pilot.pull_at=18 m",
    }  # fmt: skip
    assert roll.label.note == "damp" and roll.log is None


def test_a_short_place_is_known_to_a_metre(written):
    (roll,) = written('[[roll]]\nnose_up_distance = "12 m"\n')
    assert roll.seen["nose_up_distance"].deviation == 1.0


def test_rolls_stand_beside_tow_tests(written):
    tow, roll = written('[[tow]]\npull = "4 N"\n[[roll]]\nlift_off_time = "5 s"\n')
    assert tow.pull.value == 4.0 and roll.seen["lift_off_time"].value == 5.0


def test_a_log_is_cut_from_its_start_to_lift_off(written):
    (roll,) = written(LOGGED + 'start = "102 s +/- 0.1 s"\nuntil = "106 s"\n')
    log = roll.log
    assert (log.times[0], log.times[-1]) == (pytest.approx(102.0), pytest.approx(106.0))
    assert log.speeds == pytest.approx(4.0 * (log.times - 102.0), abs=1e-5)
    assert (log.start.deviation, log.deviation, log.airspeed) == (0.1, 0.4, False)


def test_left_out_the_start_is_when_it_moves_and_the_end_is_lift_off(written):
    (roll,) = written(LOGGED + 'lift_off_time = "4 s"\nlog_tolerance = "0.3 m/s"\n')
    # 4 m/s2 from 102 s: past 1 m/s at 102.25 s
    assert roll.log.start.value == pytest.approx(102.25) and roll.log.start.deviation == 0.5
    assert roll.log.times[-1] <= 106.25 < roll.log.times[-1] + 0.2
    assert roll.log.deviation == 0.3


def test_a_log_in_a_row(written):
    text = (
        "kind,lift off time [s],log,columns,units\n"
        "roll,4,log.csv,time = T; speed = v,time = ms; speed = kt\n"
    )
    log = log_text(1000.0 * TIMES, SPEEDS / 0.514444, "T,n,v")
    (roll,) = written(text, "day.csv", log)
    assert roll.log.speeds == pytest.approx(4.0 * (roll.log.times - 102.0).clip(0), abs=1e-4)


@pytest.mark.parametrize("mark", [";", "\t"])
def test_other_marks_between_cells_and_decimal_commas(tmp_path, mark):
    path = tmp_path / "log.csv"
    rows = [mark.join((f"{t:.1f}", f"{v:.2f}")).replace(".", ",") for t, v in
            zip(TIMES, SPEEDS, strict=True)]  # fmt: skip
    path.write_text("\n".join([mark.join(("t (s)", "v (m/s)")), *rows]))
    table = read_log(path, {"time": "t (s)", "airspeed": "v (m/s)"}, {})
    assert table.times == pytest.approx(TIMES) and table.speeds == pytest.approx(SPEEDS, abs=0.01)
    assert table.airspeed


# --- what is refused ----------------------------------------------------------------------------

CUT = LOGGED + 'start = "102 s"\nuntil = "107 s"\n'
GAP = np.delete(TIMES, slice(20, 26))
FALLING = np.concatenate([TIMES[:20], TIMES[18:]])


@pytest.mark.parametrize(
    ("text", "log", "words"),
    [
        (CUT, log_text(GAP, 3.6 * (GAP - 100)), ["nothing for 1.4 s, from 103.8 s on", "line 23"]),
        (CUT, log_text(FALLING, FALLING), ["103.6 s after 103.8 s", "times that rise", "line 23"]),
        (CUT, log_text(TIMES, SPEEDS, "Time [s],n,GNSS speed"), ["headings", "GNSS speed"]),
        (CUT.replace(" [km/h]", ""), log_text(TIMES, SPEEDS, "Time [s],n,GNSS speed"),
         ["without a unit", 'units = { speed = "..." }']),
        (CUT.replace("km/h", "kg"), log_text(TIMES, SPEEDS, "Time [s],n,GNSS speed [kg]"),
         ["columns.speed", '"kg"', "a speed"]),
        (CUT + 'units = { speed = "km/hh" }\n', None, ["units.speed", "km/hh", "nearest: km/h"]),
        (CUT + 'units = { sped = "km/h" }\n', None, ["units.sped", "nearest: speed"]),
        (CUT.replace("GNSS speed [", "GNS speed ["), None, ["GNS speed", "nearest: GNSS speed"]),
        (CUT, log_text(TIMES[:4], TIMES[:4]), ["4 rows", "at least 5"]),
        (CUT.replace("102 s", "107.5 s").replace('"107 s', '"107.7 s'), None,
         ["2 rows between", "it has 100 s to 108 s"]),
        (CUT, log_text(TIMES, SPEEDS).replace(",12,4", ",12,"), ["a plain number", '""', "line"]),
        (LOGGED + 'until = "106 s"\n', log_text(TIMES, 9.0 + SPEEDS), ["begins rolling", "start"]),
        (LOGGED + 'until = "106 s"\n', log_text(TIMES, 0.0 * SPEEDS), ["0 m/s at most"]),
        (LOGGED, None, ["until", "lift_off_time beside it"]),
        (CUT.replace("log.csv", "lost.csv"), None, ["lost.csv", "no such file"]),
        (CUT.replace(", speed", ", sped"), None, ["columns", "nearest: speed"]),
        (CUT.replace(", speed =", ", airspeed =").replace('start = "102 s"', ""), None,
         ["shows the wind"]),
        ('[[roll]]\nlift_off_time = "5 s"\nstart = "2 s"\n', None, ["beside log only"]),
        ('[[roll]]\nnote = "nothing"\n', None, ["nothing seen of it", "lift_off_time"]),
        ('[[roll]]\nlift_of_time = "5 s"\n', None, ["nearest: lift_off_time"]),
        ('[[roll]]\nlift_off_time = "5"\n', None, ["lift_off_time", "a time with its unit"]),
        ('[[roll]]\nlift_off_time = "5 m"\n', None, ["lift_off_time", '"5 m"']),
        ('[[roll]]\nlift_off_time = "5 s"\nsurface = "mud"\n', None, ["surface", "wet grass"]),
        ('[[roll]]\nlift_off_time = "5 s"\npull_at = "4 N"\n', None, ["pull_at", "a place"]),
        ('[[roll]]\nlift_off_time = "5 s"\nchanges = [3]\n', None, ["changes", "names of changes"]),
    ],
)  # fmt: skip
def test_refusals_say_what_and_where(written, text, log, words):
    told = refused(written, text, log=log)
    for word in words:
        assert word in told, told


def test_mistakes_of_all_rolls_come_at_once(written):
    told = refused(written, CUT.replace("km/h", "kg") + '[[roll]]\nnose_up_distance = "3 kg"\n')
    assert "roll[1]" in told and "roll[2].nose_up_distance" in told


def test_a_strange_kind_and_heading_in_csv(written):
    assert "nearest: roll" in refused(written, "kind,lift off time [s]\nrol,4\n", "day.csv")
    told = refused(written, "kind,lift of time [s]\nroll,4\n", "day.csv")
    assert "nearest: lift_off_time" in told
    text = "kind,nose up distance [m],lift off distance [m]\nroll,70,58\n"
    assert "the nose comes up first" in refused(written, text, "day.csv")
    assert csv_columns()[:2] == ("kind", "nose_up_distance") and set(SEEN) < set(csv_columns())


def test_gaps_away_from_the_roll_do_not_matter(written):
    times = np.delete(TIMES, slice(2, 9))  # while it stood
    (roll,) = written(CUT, log=log_text(times, 3.6 * np.clip((times - 102.0) * 4.0, 0.0, None)))
    assert len(roll.log.times) >= 20


def test_a_log_too_large_is_refused(tmp_path):
    path = tmp_path / "log.csv"
    path.write_text("Time [s],GNSS speed [km/h]\n" + "0,0\n" * 1_100_000)
    with pytest.raises(ScenarioError, match="4 MB"):
        read_log(path, COLUMNS, {})
