"""The command `wheelsoff spread`, as somebody types it."""

import csv
import json
import os
import re

import numpy as np
import pytest

from sim.cli import main
from sim.scenario import load_scenario
from sim.show.figures.save import picture_bytes
from sim.show.figures.spread import spread_figure
from sim.study.distributions import varied_of
from sim.study.spread import plan_spread, roll_spread
from tests.interrupt import finished_rows

JET = "textbook-rotation"
VARY = ("--vary", "power.static_thrust=10..30 N", "--vary", "air.headwind=+/- 1 m/s")
SHORT = ("--set", "strip.length=25 m")


def call(capsys, *words):
    code = main([str(word) for word in words])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def test_the_report(capsys):
    code, out, err = call(capsys, "spread", JET, "-n", "400", *VARY, *SHORT)
    assert code == 0 and err == ""
    assert max(map(len, out.split("\n"))) <= 80
    words = " ".join(out.split())
    for text in (
        "rolls are off before the strip ends and stay off:",
        "Half of them lift off within",
        "Most of the spread of the ground roll comes from power.static_thrust",
        "power.static_thrust=10..30 N (10 to 30 N, anything between, all alike)",
        "Clopper-Pearson",
        "seed 1: roll 17 is the same alone",
    ):
        assert text in words, text
    assert "judgement" not in words


def test_the_usual_is_listed_as_judgement(capsys):
    out = call(capsys, "spread", JET, "-n", "32")[1]
    words = " ".join(out.split())
    assert "judgement: a kitchen scale" in words and "power.static_thrust=+/- 3 %" in words
    assert "strip.surface as it is" in words


def test_the_document_and_the_table_tell_the_same(capsys, tmp_path):
    table = tmp_path / "rolls.csv"
    words = ("spread", JET, "-n", "200", *VARY, *SHORT, "--seed", "5", "--json", "--csv", table)
    code, out, err = call(capsys, *words)
    data = json.loads(out, parse_constant=pytest.fail)
    assert code == 0 and err == f"wrote {table}\n"
    rows = list(csv.DictReader(table.read_text().splitlines()))
    assert len(rows) == data["rolled"] == data["asked"] == 200
    for word, chance in data["chances"].items():
        count = sum(row["verdict"] == word for row in rows)
        assert count == chance["count"] and chance["low"] < count / 200 < chance["high"]
    rolls = sorted(float(row["lift off distance [m]"] or "inf") for row in rows)
    assert data["quantiles"]["ground_roll_m"]["0.5"] == pytest.approx(rolls[99], rel=1e-8)
    assert data["quantiles"]["ground_roll_m"]["0.95"] == pytest.approx(rolls[189], rel=1e-8)
    thrusts = np.array([float(row["power.static_thrust [N]"]) for row in rows])
    assert 10.0 < thrusts.min() < 10.2 and 29.8 < thrusts.max() < 30.0
    assert data["matters"][0]["key"] == "power.static_thrust" and data["seed"] == 5


def test_the_numbers_do_not_depend_on_processes(capsys, tmp_path):
    tables = []
    for count in (1, 2):
        path = tmp_path / f"{count}.csv"
        words = ("spread", JET, "-n", "60", *VARY, "--processes", count, "--csv", path)
        assert call(capsys, *words)[0] == 0
        tables.append(path.read_bytes())
    assert tables[0] == tables[1]


def test_until(capsys):
    words = ("spread", JET, "-n", "5000", *VARY, *SHORT, "--until", "0.06", "--json")
    data = json.loads(call(capsys, *words)[1])
    assert data["stopped_early"] and data["rolled"] in (256, 512) and data["asked"] == 5000
    chance = data["chances"]["airborne"]
    assert chance["high"] - chance["low"] <= 0.12


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (("-n", "0"), "-n"),
        (("--seed", "-1"), "--seed"),
        (("--until", "0.7"), "--until"),
        (("--vary", "power.static_thrust"), "KEY="),
        (("--vary", "power.static_thrst=+/- 1 N"), "static_thrust"),
        (("--vary", "power.static_thrust=+/- 1 mm"), "tolerance above zero"),
        (("--processes", "1000"), "processes"),
    ],
)
def test_mistakes(capsys, words, wanted):
    code, out, err = call(capsys, "spread", JET, *words)
    assert code == 2 and out == "" and wanted in err


def test_every_form_of_the_help_can_be_read(capsys):
    """The forms listed in the help, taken out of it and read."""
    text = call(capsys, "spread", "--help")[1]
    start = text.index("What may stand behind")
    forms = re.findall(r"^\s+(\S.*?)\s{3,}\S", text[start : text.index("Without --vary")], re.M)
    keys = {"N": "power.static_thrust", "m": "pilot.pull_at", "mm": "aeroplane.cg.station"}
    jet, read = load_scenario("meadow-jet"), 0
    for form in forms:
        last = form.split()[-1]
        key = keys.get(last, "power.static_thrust")
        if form.startswith("0."):
            key = "strip.rolling_resistance"
        if form.startswith("low"):
            key = "strip.surface"
        varied_of(jet, f"{key}={form}")
        read += 1
    assert read == 7


def test_the_picture_is_the_same_every_time(capsys, tmp_path):
    words = ("spread", JET, "-n", "100", *VARY, *SHORT, "--plots", tmp_path / "p")
    assert call(capsys, *words)[0] == 0
    path = tmp_path / "p" / f"{JET}-spread.png"
    first = path.read_bytes()
    assert first.startswith(b"\x89PNG") and call(capsys, *words)[0] == 2
    assert call(capsys, *words, "--force")[0] == 0 and path.read_bytes() == first


def test_what_is_drawn():
    """Every roll that lifts off is in the histogram, and none of a bin lies on both sides."""
    jet = load_scenario(JET, ["strip.length=25 m"])
    spread = roll_spread(plan_spread(jet, ["power.static_thrust=10..30 N"], 1), 200)
    rolls, verdicts, matters = spread_figure(spread).axes
    bars = list(rolls.patches)
    beyond = re.search(r"(\d+) further", rolls.get_xlabel())
    assert (
        int(beyond.group(1) if beyond else 0) + sum(bar.get_height() for bar in bars)
        == np.isfinite(spread.rows["lift-off.distance"]).sum()
    )
    good, bad = bars[: len(bars) // 2], bars[len(bars) // 2 :]
    assert sum(bar.get_height() for bar in good) == spread.rows.counts()["airborne"]
    assert all(bar.get_x() + bar.get_width() <= 25.0 + 1e-6 for bar in good if bar.get_height())
    assert all(bar.get_x() >= 25.0 - 1e-6 for bar in bad if bar.get_height())
    assert len(verdicts.get_yticklabels()) == len(spread.rows.counts())
    assert [label.get_text() for label in matters.get_yticklabels()] == ["static_thrust"]
    assert len(picture_bytes(spread_figure(spread, "imperial"))) > 10_000


@pytest.mark.skipif(os.name == "nt", reason="signals of a terminal")
def test_ctrl_c_keeps_the_finished_rolls(tmp_path):
    kept = finished_rows(tmp_path / "rolls.csv", "spread", JET, "-n", "1000000")
    assert 1024 <= kept < 1_000_000
