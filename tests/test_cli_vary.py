"""The commands `wheelsoff vary` and `wheelsoff find`, as somebody types them."""

import csv
import json
import os
import re
import shlex
from itertools import pairwise

import pytest

from sim.cli import main
from sim.scenario import load_scenario
from sim.study.condition import condition_of
from sim.study.vary import axes_of
from tests.interrupt import finished_rows

BOOK = "textbook-rotation"
THRUST = "power.static_thrust=1 N:31 N:16"
STATION = "aeroplane.gear.main.station"


def call(capsys, *words):
    code = main([str(word) for word in words])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def test_one_key(capsys):
    code, out, err = call(capsys, "vary", BOOK, THRUST)
    assert code == 0 and err == ""
    assert max(map(len, out.split("\n"))) <= 80
    words = " ".join(out.split())
    assert "16 rolls:" in words and "Shortest ground roll" in words
    assert "does-not-move up to 3 N" in words
    table = [line for line in out.split("\n") if re.match(r"\s+\d+\s", line)]
    assert len(table) == 16 and table[0].split()[-1] == "does-not-move"
    assert table[0].split()[1:5] == ["-", "-", "-", "-"]


def test_many_rows_are_thinned_and_it_is_said(capsys):
    out = call(capsys, "vary", BOOK, "power.static_thrust=20 N:31 N:100")[1]
    assert "1 of 3 rolls is shown" in out
    assert len([line for line in out.split("\n") if line.rstrip().endswith("airborne")]) == 34


def test_two_keys(capsys):
    words = ("vary", BOOK, "strip.rolling_resistance=0.02,0.5", "power.static_thrust=5 N:35 N:4")
    code, out, err = call(capsys, *words)
    assert code == 0 and err == "" and max(map(len, out.split("\n"))) <= 80
    assert "down: strip.rolling_resistance [-], across: power.static_thrust [N]" in " ".join(
        out.split()
    )
    assert re.search(r"^- [A-D]: does-not-move$", out, re.M)


def test_the_document_the_table_and_the_picture(capsys, tmp_path):
    table, folder = tmp_path / "rolls.csv", tmp_path / "p"
    words = ("vary", BOOK, THRUST, "--csv", table, "--plots", folder, "--json")
    code, out, err = call(capsys, *words)
    assert code == 0 and err.startswith(f"wrote {table}\nwrote {folder}")
    data = json.loads(out, parse_constant=pytest.fail)
    rows = list(csv.DictReader(table.read_text().splitlines()))
    assert len(rows) == len(data["rows"]) == 16
    for row, record in zip(rows, data["rows"], strict=True):
        assert row["verdict"] == record["verdict"]
        assert float(row["power.static_thrust [N]"]) == record["power.static_thrust"]
        speed = record["lift_off_airspeed_m_per_s"]
        assert (row["lift off airspeed [m/s]"] == "") is (speed is None)
        assert speed is None or float(row["lift off airspeed [m/s]"]) == pytest.approx(speed)
    assert (folder / f"{BOOK}-vary.png").read_bytes().startswith(b"\x89PNG")
    before = table.read_bytes()
    code, out, err = call(capsys, *words)
    assert code == 2 and out == "" and "exists" in err
    assert call(capsys, *words, "--force", "--units", "imperial")[0] == 0
    assert table.read_bytes() != before and b"[lbf]" in table.read_bytes()


def test_changes_and_overrides_lie_under_it(capsys):
    words = ("vary", "workshop", "aeroplane.mass=3 kg,3.2 kg", "--with", "more-throw", "--json")
    data = json.loads(call(capsys, *words)[1])
    assert "throw" in data["title"]
    lighter = json.loads(call(capsys, *words, "--set", "air.headwind=3 m/s")[1])
    first, second = (d["rows"][0]["lift_off_distance_m"] for d in (data, lighter))
    assert second < first


def test_processes(capsys, tmp_path):
    tables = []
    for count in (1, 2):
        path = tmp_path / f"{count}.csv"
        assert call(capsys, "vary", BOOK, THRUST, "--processes", count, "--csv", path)[0] == 0
        tables.append(path.read_bytes())
    assert tables[0] == tables[1]


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        ((), "KEY=FROM:TO:COUNT"),
        (("power.static_thrust=1 N:2 N:1",), "2 to 2001"),
        (("power.static_thrst=1 N:2 N:3",), "nearest: power.static_thrust"),
        ((THRUST, THRUST), "two different keys"),
        ((THRUST, "aeroplane.mass=1 kg,2 kg", "air.headwind=0 m/s,1 m/s"), "one key, or two"),
        ((THRUST, "--processes", "0"), "--processes"),
        ((THRUST, "--csv", "/proc/none/x.csv"), "written"),
    ],
)
def test_mistakes_of_vary(capsys, words, wanted):
    code, out, err = call(capsys, "vary", BOOK, *words)
    assert code == 2 and out == "" and wanted in " ".join(err.split())


def test_find(capsys, tmp_path):
    words = ("find", BOOK, "power.static_thrust", "--so-that", "lift-off.distance <= 20 m")
    code, out, err = call(capsys, *words, "--plots", tmp_path)
    assert code == 0 and err.startswith("wrote ") and max(map(len, out.split("\n"))) <= 80
    assert "power.static_thrust so that lift-off.distance <= 20 m" in out
    assert re.search(r"Met from \d+\.\d+ N upwards", out)
    assert (tmp_path / f"{BOOK}-find.png").read_bytes().startswith(b"\x89PNG")
    assert call(capsys, *words, "--plots", tmp_path)[0] == 2
    data = json.loads(call(capsys, *words, "--so-that", "verdict == airborne", "--json")[1])
    assert data["clauses"] == ["lift-off.distance <= 20 m", "verdict == airborne"]
    assert len(data["intervals"]) == 1 and data["intervals"][0]["low"]["kind"] == "crosses"
    near = json.loads(call(capsys, *words, "--between", "29 N:30 N", "--json")[1])
    assert near["between"] == [29.0, 30.0]


def test_gear_window(capsys, tmp_path):
    words = ("find", BOOK, STATION, "--gear-window", "--by", "9 m/s", "--between", "10 mm:120 mm")
    code, out, err = call(capsys, *words, "--plots", tmp_path)
    assert code == 0 and err.startswith("wrote ") and max(map(len, out.split("\n"))) <= 80
    assert "as it is: main wheels from 38.86 mm to" in " ".join(out.split())
    assert (tmp_path / f"{BOOK}-gear-window.png").read_bytes().startswith(b"\x89PNG")
    data = json.loads(call(capsys, *words, "--json")[1], parse_constant=pytest.fail)
    assert data["cases"][0]["window_m"][0][0] == pytest.approx(0.0388527, abs=1e-6)


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (("power.static_thrust",), "--so-that"),
        (("power.static_thrust", "--so-that", "lift-off.distnce <= 60 m"), "lift-off.distance"),
        (("power.static_thrst", "--so-that", "verdict == airborne"), "power.static_thrust"),
        (
            ("power.static_thrust", "--so-that", "verdict == airborne", "--between", "5 N"),
            "FROM:TO",
        ),
        (
            ("power.static_thrust", "--so-that", "verdict == airborne", "--by", "5 m"),
            "--gear-window",
        ),
        (("power.static_thrust", "--gear-window"), STATION),
        ((STATION, "--gear-window", "--so-that", "verdict == airborne"), "without --so-that"),
        ((STATION, "--gear-window", "--by", "5 kg"), "airspeed"),
        ((STATION, "--gear-window", "--flaps", "20 deg"), "no flaps"),
    ],
)
def test_mistakes_of_find(capsys, words, wanted):
    code, out, err = call(capsys, "find", BOOK, *words)
    assert code == 2 and out == "" and wanted in " ".join(err.split())


def test_every_example_of_the_help_can_be_read(capsys):
    jet, read = load_scenario("meadow-jet"), 0
    for command in ("vary", "find"):
        text = call(capsys, command, "--help")[1]
        for line in re.findall(r"^\s*wheelsoff (.*)$", text, re.M):
            if line.count('"') % 2:
                continue  # goes on in the next line
            words = shlex.split(line)
            assert words[0] == command and words[1] == "my-jet.toml"
            if command == "vary":
                axes_of(jet, [word for word in words[2:] if "=" in word])
            for option, value in pairwise(words):
                if option == "--so-that":
                    condition_of(value)
            read += 1
    assert read >= 8


@pytest.mark.skipif(os.name == "nt", reason="signals of a terminal")
def test_ctrl_c_keeps_the_finished_rolls(tmp_path):
    keys = ["power.static_thrust=10 N:30 N:310", "aeroplane.mass=3 kg:5 kg:320"]
    assert 512 <= finished_rows(tmp_path / "rolls.csv", "vary", BOOK, *keys) < 99_200
