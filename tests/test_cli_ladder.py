"""The command `wheelsoff ladder`, as somebody types it."""

import csv
import json

import pytest

from sim.cli import main
from sim.scenario import load_scenario
from sim.show.figures.ladder import ladder_figure
from sim.show.figures.save import picture_bytes
from sim.study.ladder import build_ladder
from tests.interrupt import finished_rows

THREE = "more-throw,hot-motor,long-nose-leg"


def call(capsys, *words):
    code = main([str(word) for word in words])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


@pytest.fixture
def bare(tmp_path):
    """A jet without lattice, two changes of one key and one that never lifts off."""
    path = tmp_path / "bare.toml"
    path.write_text(
        'extends = "textbook-rotation"\n'
        '[change.more]\ntext = "more"\nhours = 2\n[change.more.power]\nstatic_thrust = "30 N"\n'
        '[change.most]\ntext = "most"\nhours = 3\n[change.most.power]\nstatic_thrust = "40 N"\n'
        '[change.bog]\ntext = "bog"\n[change.bog.strip]\nrolling_resistance = 0.9\n'
    )
    return path


def test_the_report(capsys):
    code, out, err = call(capsys, "ladder", "workshop", "--changes", THREE)
    assert code == 0 and err == ""
    assert max(map(len, out.split("\n"))) <= 80
    words = " ".join(out.split())
    for text in (
        "As it stands: lift-off at",
        "All 3 changes: lift-off at",
        "Together they make the ground roll",
        "fewest changes and fewest hours: long-nose-leg (1.5 h, cost 8)",
        "of all 8 combinations:",
        "the shares add up to the whole",
        "best pair:",
    ):
        assert text in words, text
    start = out.split("\n").index("Stacked in this order")
    rungs = [line.split()[:2] for line in out.split("\n")[start + 4 : start + 7]]
    assert rungs == [["+", "more-throw"], ["+", "hot-motor"], ["+", "long-nose-leg"]]


def test_the_document_and_the_table_tell_the_same(capsys, tmp_path):
    table = tmp_path / "c.csv"
    words = ("ladder", "workshop", "--changes", THREE, "--json", "--csv", table)
    code, out, err = call(capsys, *words)
    data = json.loads(out, parse_constant=pytest.fail)
    assert code == 0 and err == f"wrote {table}\n"
    rows = list(csv.DictReader(table.read_text().splitlines()))
    assert len(rows) == 8 and sum(data["verdicts"].values()) == 8
    shares = [change["ground_roll_share_m"] for change in data["changes"]]
    rolls = [float(row["lift off distance [m]"]) for row in rows]
    assert sum(shares) == pytest.approx(rolls[0] - rolls[7], abs=1e-5)
    for i, change in enumerate(data["changes"]):
        assert change["alone"]["ground_roll_m"] == pytest.approx(rolls[1 << i], abs=1e-5)
        assert rows[1 << i][f"change.{change['name']} [-]"] == "1"
    assert data["rungs"][2]["ground_roll_m"] == data["all"]["ground_roll_m"]
    assert data["smallest_set"]["changes"] == ["long-nose-leg"]
    code, out, err = call(capsys, *words)
    assert code == 2 and out == "" and "--force" in err


def test_conflicts_and_rolls_without_end_are_told(capsys, bare):
    code, out, _ = call(capsys, "ladder", bare)
    words = " ".join(out.split())
    assert code == 0
    for text in (
        "left out: more + most",
        "both decide power.static_thrust",
        "left out, see below",
        "do not lift off; they count as 120.0 m",
        "2 combinations cannot be",
    ):
        assert text in words, text


def test_long_names_leave_room_for_the_numbers(capsys, bare):
    name = "a-name-as-long-as-a-name-may-well-be-xyz"
    bare.write_text(bare.read_text().replace("change.most", f"change.{name}"))
    lines = call(capsys, "ladder", bare)[1].split("\n")
    assert max(map(len, lines)) <= 80 and f"more + {name}" in " ".join(lines)
    row = next(line for line in lines if line.startswith("  a-name"))
    assert len(row.split()) == 7 and row.count("…") == 1


def test_a_margin_none_meets_and_one_that_needs_nothing(capsys, bare):
    words = ("ladder", bare, "--changes", "more")
    assert "as it stands, without any change" in call(capsys, *words, "--margin", "10 %")[1]
    assert "No combination is airborne" in call(capsys, *words, "--margin", "0.99")[1]
    assert "with 99 % of the strip" in call(capsys, *words, "--margin", "99 %")[1]


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (("--margin", "120 %"), "a share of the strip"),
        (("--margin", "much"), "a share of the strip"),
        (("--changes", "mor"), "more"),
        (("--changes", "more,more"), "twice"),
        (("--processes", "0"), "processes"),
        (("--with", "most,more"), "most"),
    ],
)
def test_mistakes(capsys, bare, words, wanted):
    code, out, err = call(capsys, "ladder", bare, *words)
    assert code == 2 and out == "" and wanted in err


def test_a_file_without_changes(capsys):
    code, out, err = call(capsys, "ladder", "textbook-rotation")
    assert code == 2 and out == "" and "[change.NAME]" in err


def test_changes_and_keys_laid_under_all(capsys, bare):
    words = ("ladder", bare, "--with", "more", "--changes", "bog", "--json")
    data = json.loads(call(capsys, *words, "--set", "strip.length=40 m")[1])
    assert data["strip_length_m"] == 40.0 and len(data["changes"]) == 1
    alone = json.loads(call(capsys, "run", bare, "--with", "more", "--no-advice", "--json")[1])
    assert data["as_it_stands"]["ground_roll_m"] == pytest.approx(
        alone["summary"]["lift_off_distance_m"]
    )


def test_imperial(capsys, bare):
    out = call(capsys, "ladder", bare, "--changes", "more", "--units", "imperial")[1]
    assert "197 ft" in out and " m;" not in out


def test_the_picture_is_the_same_every_time(capsys, bare, tmp_path):
    words = ("ladder", bare, "--plots", tmp_path / "p")
    assert call(capsys, *words)[0] == 0
    path = tmp_path / "p" / "bare-ladder.png"
    first = path.read_bytes()
    assert first.startswith(b"\x89PNG") and call(capsys, *words)[0] == 2
    assert call(capsys, *words, "--force")[0] == 0 and path.read_bytes() == first


def test_what_is_drawn(bare):
    """Bars as long as the rolls, the strip's end among them, shares beside gains alone."""
    ladder = build_ladder(load_scenario(bare), ("more",))
    top, bottom = ladder_figure(ladder).axes
    lengths = [bar.get_width() for bar in top.patches]
    assert lengths == pytest.approx([ladder.value("lift-off.distance", m) for m in (0, 1)])
    assert any(60.0 in line.get_xdata() for line in top.lines)
    gain = ladder.ground_roll.gains[1]
    assert [bar.get_width() for bar in bottom.patches] == pytest.approx([gain, gain])
    names = [label.get_text() for label in top.get_yticklabels()]
    assert names == ["as it stands", "+ more"]
    assert len(picture_bytes(ladder_figure(ladder, "imperial"))) > 10_000


def test_a_change_left_out_has_no_bar(bare):
    ladder = build_ladder(load_scenario(bare), ("more", "most"))
    top = ladder_figure(ladder).axes[0]
    assert len(top.patches) == 2 and "left out" in [text.get_text() for text in top.texts]


def test_ctrl_c_keeps_the_combinations_that_are_finished(tmp_path):
    kept = finished_rows(tmp_path / "combinations.csv", "ladder", "workshop", after=16)
    assert 16 <= kept < 256
