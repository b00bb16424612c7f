"""Files of measurements: both forms, units, tolerances, and every mistake at once."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.scenario.measurement_files import read_measurements
from sim.scenario.measurements import ENTRIES, MeasurementError
from sim.strip.coast_down import CoastPastMarks, CoastToStop
from sim.strip.reading import Measured
from sim.strip.tow import TowReading

TOML = """
[[tow]]
pull = "4.1 N +/- 0.2 N"
load = "3.1 kg"
direction = "opposite"
note = "north end"

[[tow]]
pull = "410 gf"
main_load = "2.4 kg +/- 1 %"
nose_load = "700 g"
pull_tolerance = "5 %"

[[coast_down]]
speed = "30 km/h"
distance_to_stop = "24.3 m"
headwind = "1 m/s"
slope = "-1 %"

[[coast_down]]
speed = "8.2 m/s +/- 0.1 m/s"
time_to_stop = "5.9 s"
mass = "3.3 kg"

[[coast_down]]
marks = ["5 m", "10 m", "15 m"]
times = ["0.7 s", "1.6 s", "2.8 s"]
times_tolerance = "0.03 s"
"""

CSV = """\
Kind,Pull [N],Load [kg],Main load (kg),Nose load (g),Pull tolerance [%],Direction,Note,\
Speed [km/h],Distance to stop [m],Headwind [m/s],Slope [%],Time to stop [s],Mass [kg],\
Marks [m],Times [s],Times tolerance [s],Speed tolerance [m/s]
tow,4.1 +/- 0.2,3.1,,,,opposite,north end,,,,,,,,,,
tow,410 gf,,2.4 kg +/- 1 %,700,5,,,,,,,,,,,,
coast-down,,,,,,,,30,24.3,1,-1,,,,,,
coast down,,,,,,,,8.2 m/s,,,,5.9,3.3,,,,0.1
Coast-Down,,,,,,,,,,,,,,5 10 15,0.7;1.6;2.8,0.03,
"""


def written(folder: Path, text: str, name: str = "strip.toml") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def problems(folder: Path, text: str, name: str = "strip.toml"):
    with pytest.raises(MeasurementError) as error:
        read_measurements(written(folder, text, name))
    assert all(p.source.endswith(name) for p in error.value.problems)
    return error.value.problems


def one(folder: Path, text: str, name: str = "strip.toml"):
    found = problems(folder, text, name)
    assert len(found) == 1, found
    return found[0]


@pytest.mark.parametrize("form", ["toml", "csv"])
def test_both_forms_say_the_same(form: str, tmp_path: Path) -> None:
    text = TOML if form == "toml" else CSV
    tow, apart, stop, timed, past = read_measurements(written(tmp_path, text, f"strip.{form}"))
    assert isinstance(tow, TowReading) and isinstance(apart, TowReading)
    assert tow.pull == Measured(4.1, 0.2)
    assert tow.load is not None and tow.load.value == pytest.approx(3.1 * 9.80665)
    assert tow.load.deviation == pytest.approx(0.01 * tow.load.value)
    assert tow.course.sense == -1 and tow.label.note == "north end"
    assert apart.pull.value == pytest.approx(0.41 * 9.80665)
    assert apart.pull.deviation == pytest.approx(0.05 * apart.pull.value)
    assert apart.main_load is not None and apart.nose_load is not None
    assert apart.main_load.deviation == pytest.approx(0.024 * 9.80665)
    assert apart.nose_load.value == pytest.approx(0.7 * 9.80665)
    assert isinstance(stop, CoastToStop) and isinstance(timed, CoastToStop)
    assert stop.speed.value == pytest.approx(30 / 3.6)
    assert stop.speed.deviation == pytest.approx(0.05 * 30 / 3.6)
    assert stop.distance == Measured(24.3, 0.1) and stop.time is None
    assert (stop.course.headwind, stop.course.slope) == (1.0, -0.01)
    assert timed.speed == Measured(8.2, 0.1) and timed.time == Measured(5.9, 0.1)
    assert timed.mass == 3.3
    assert isinstance(past, CoastPastMarks)
    assert [m.value for m in past.marks] == [5, 10, 15]
    assert [t.deviation for t in past.times] == [0.03] * 3


def test_the_usual_uncertainties(tmp_path: Path) -> None:
    """Spring scale: the larger of 2 % and 0.1 N; they cross at 5 N."""
    text = '[[tow]]\npull = "4 N"\n[[tow]]\npull = "10 N"\n'
    small, large = read_measurements(written(tmp_path, text))
    assert small.pull.deviation == 0.1 and large.pull.deviation == pytest.approx(0.2)


def test_spreadsheets_with_semicolons(tmp_path: Path) -> None:
    text = "kind;pull [N];note\r\ntow;4.1;damp, near the pits\r\n\r\ntow;4.3;\r\n"
    first, second = read_measurements(written(tmp_path, text, "a.csv"))
    assert first.label.note == "damp, near the pits"
    assert second.label.name == "row 4" and second.pull.value == 4.3
    comma = one(tmp_path, "kind;pull [N]\ntow;4,1\n", "a.csv")
    assert comma.nearest == '"4.1 N"'


@pytest.mark.parametrize(
    ("text", "key", "word"),
    [
        ('[[tow]]\npull = 4.1', "tow[1].pull", "a force with its unit"),
        ('[[tow]]\npull = "4.1"', "tow[1].pull", "a force with its unit"),
        ('[[tow]]\npull = "4.1 kg"', "tow[1].pull", "a force with its unit"),
        ('[[tow]]\npull = "-4 N"', "tow[1].pull", "from 0.005 N"),
        ('[[tow]]\npull = "4 N +/- 3 N"', "tow[1].pull_tolerance", "below half"),
        ('[[tow]]\npull = "4 N +/- 0 N"', "tow[1].pull_tolerance", "above zero"),
        ('[[tow]]\npull = "4 N +/- 1 s"', "tow[1].pull_tolerance", "its unit"),
        ('[[tow]]\npull = "4 N +/- 1 N"\npull_tolerance = "1 N"', "tow[1].pull_tolerance", "out"),
        ('[[tow]]\npul = "4 N"', "tow[1].pul", "one of pull"),
        ('[[tow]]\nload = "3 kg"', "tow[1]", "exactly pull"),
        ('[[tow]]\npull = "4 N"\nmain_load = "3 kg"', "tow[1]", "nose_load"),
        ('[[tow]]\npull = "4 N"\ndirection = "north"', "tow[1].direction", '"take-off"'),
        ('[[tow]]\npull = "4 N"\nslope = "1 % +/- 1 %"', "tow[1].slope", "exact"),
        ('[[tow]]\npull = "4 N"\nslope_tolerance = "1 %"', "tow[1].slope_tolerance", "one of"),
        ('[[tow]]\npull = ["4 N"]', "tow[1].pull", "a force with its unit"),
        ('[[coast_down]]\nspeed = "8 m/s"', "coast_down[1]", "speed and distance_to_stop"),
        (
            '[[coast_down]]\nspeed = "8 m/s"\ntime_to_stop = "6 s"\ndistance_to_stop = "25 m"',
            "coast_down[1]",
            "exactly",
        ),
        ('[[coast_down]]\nmarks = ["5 m"]\ntimes = ["1 s"]', "coast_down[1].marks", "at least two"),
        (
            '[[coast_down]]\nmarks = ["5 m", "4 m"]\ntimes = ["1 s", "2 s"]',
            "coast_down[1].marks",
            "rise",
        ),
        (
            '[[coast_down]]\nmarks = ["5 m", "9 m"]\ntimes = ["1 s", "1 s"]',
            "coast_down[1].times",
            "rise",
        ),
        (
            '[[coast_down]]\nmarks = ["5 m", "9 m"]\ntimes = ["1 s", "2 s", "3 s"]',
            "coast_down[1].times",
            "as many",
        ),
        ("[[toe]]", "toe", "[[tow]]"),
        ("[tow]\npull = '4 N'", "tow", "[[tow]]"),
        ("tow = 3", "tow", "[[tow]]"),
        ("", "file", "from 1"),
        ("[[tow", "file", "TOML"),
    ],
)  # fmt: skip
def test_mistakes_in_toml(text: str, key: str, word: str, tmp_path: Path) -> None:
    found = problems(tmp_path, text)
    assert any(p.key == key and word in p.allowed for p in found), found


@pytest.mark.parametrize(
    ("text", "key", "word"),
    [
        ("kind,pull\ntow,4.1\n", "row 2 pull", "a force with its unit"),
        ("kind,pull [kg]\ntow,4.1\n", "row 2 pull [kg]", "a force with its unit"),
        ("kind,pull [furlong]\ntow,4.1\n", "row 2 pull [furlong]", "no unit 'furlong'"),
        ("kind,pull [N]\ntaxi,4.1\n", "row 2 kind", "tow"),
        ("pull [N]\n4.1\n", "heading", "a column kind"),
        ("kind,pul [N]\ntow,4.1\n", "heading", "units in brackets"),
        ("kind,pull [N],pull [gf]\ntow,4.1,\n", "heading", "each once"),
        ("kind,pull [N]\ntow,4.1,7\n", "row 2", "cells"),
        ("kind,pull [N]\ntow,\n", "row 2", "exactly pull"),
        ('kind,pull [N]\ntow,"4.1\n', "file", "cells"),
        ("", "file", "from 1"),
    ],
)
def test_mistakes_in_csv(text: str, key: str, word: str, tmp_path: Path) -> None:
    found = problems(tmp_path, text, "strip.csv")
    assert any(p.key == key and word in p.allowed for p in found), found


def test_all_mistakes_come_at_once_with_their_lines(tmp_path: Path) -> None:
    text = '[[tow]]\npull = 4\n\n[[coast_down]]\nspeed = "fast"\ntime_to_stop = "6"\n'
    found = problems(tmp_path, text)
    assert [(p.key, p.line) for p in found] == [
        ("tow[1].pull", 1),
        ("coast_down[1].speed", 4),
        ("coast_down[1].time_to_stop", 4),
    ]


@pytest.mark.parametrize("name", ["strip.txt", "strip", "no-such.toml", "folder.csv"])
def test_files_that_are_none(name: str, tmp_path: Path) -> None:
    (tmp_path / "folder.csv").mkdir()
    (tmp_path / "strip.txt").write_text("x")
    with pytest.raises(MeasurementError) as error:
        read_measurements(tmp_path / name)
    assert [p.key for p in error.value.problems] == ["file"]


def test_not_text(tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_bytes(b"\xff\xfe\x00kind")
    (tmp_path / "b.toml").write_bytes(b"#" * 300_000)
    for name in ("a.csv", "b.toml"):
        with pytest.raises(MeasurementError):
            read_measurements(tmp_path / name)


CELLS = st.text(st.sampled_from("0123456789.,;+-/ NmskgEe[]\"'\n%±tow-"), max_size=30)


@settings(max_examples=150, deadline=None)
@given(st.lists(CELLS, min_size=1, max_size=8), st.sampled_from(list(ENTRIES)))
def test_no_text_brings_it_down(tmp_path_factory: object, cells: list[str], name: str) -> None:
    folder = tmp_path_factory.mktemp("f")  # type: ignore[attr-defined]
    body = "\n".join(f"tow,{cell}" for cell in cells)
    for text, file in (
        (f"kind,pull [N],{name}\n{body}\n", "a.csv"),
        (f"[[tow]]\npull = {cells[0]}\n", "a.toml"),
        ("[[coast_down]]\n" + f"{name} = '''{cells[0]}'''\n", "b.toml"),
    ):
        try:
            read_measurements(written(folder, text, file))
        except MeasurementError as error:
            assert str(error)
