"""The command `wheelsoff run`, `scenarios` and `--version`, as somebody types them."""

import csv
import json
import subprocess
import sys
from pathlib import Path

import pytest

from sim.cli import main
from sim.commands import tasks
from sim.commands.roll import DEFAULT_SCENARIO
from sim.scenario import shipped_scenarios
from sim.show.units import quantity

ROOT = Path(__file__).parents[1]
GIVEN = "textbook-rotation"  # coefficients given: no lattice to solve, so quick


def call(capsys, *words):
    code = main(list(words))
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def python(code):
    return subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=False
    )


def test_run_prints_the_report(capsys):
    code, out, err = call(capsys, "run", GIVEN, "--no-advice")
    assert code == 0 and err == ""
    assert out.split("\n")[1].startswith("Verdict: ")
    assert max(map(len, out.split("\n"))) <= 80
    assert all(line == line.rstrip() for line in out.split("\n"))
    assert "\x1b" not in out
    assert "small changes tried" not in out.lower()


def test_changes_are_tried_unless_told_not_to(capsys):
    assert "Small changes tried beside it" in call(capsys, "run", GIVEN)[1]


def test_json_is_all_there_is_on_stdout(capsys):
    code, out, err = call(capsys, "run", GIVEN, "--json", "--no-advice")
    data = json.loads(out)
    assert code == 0 and err == ""
    assert data["advice"] == []
    assert data["scenario"]["title"]
    again = call(capsys, "run", GIVEN, "--json", "--no-advice", "--units", "imperial")[1]
    assert again == out  # the document is SI whatever people read


def test_a_failed_take_off_is_a_finished_run(capsys):
    code, out, _ = call(
        capsys, "run", GIVEN, "--no-advice", "--set", "power.static_thrust=1 N", "--json"
    )
    assert code == 0
    assert json.loads(out)["verdict"] in ("does-not-move", "too-slow")


def test_set_changes_the_scenario(capsys):
    plain = json.loads(call(capsys, "run", GIVEN, "--json", "--no-advice")[1])
    longer = json.loads(
        call(capsys, "run", GIVEN, "--json", "--no-advice", "--set", "strip.length=77 m")[1]
    )
    assert plain["summary"]["strip_length_m"] != 77.0
    assert longer["summary"]["strip_length_m"] == 77.0


def test_imperial_shows_the_same_roll(capsys):
    data = json.loads(call(capsys, "run", GIVEN, "--json", "--no-advice")[1])
    out = call(capsys, "run", GIVEN, "--no-advice", "--units", "imperial")[1]
    off = next(event for event in data["events"] if event["name"] == "lift-off")
    assert quantity(off["distance_m"], "distance", "imperial") in out
    assert "mph" in out and "m/s" not in out


def test_table_and_pictures_are_saved(capsys, tmp_path):
    table, pictures = tmp_path / "roll.csv", tmp_path / "new" / "pictures"
    words = ["run", GIVEN, "--no-advice", "--csv", str(table), "--plots", str(pictures)]
    code, out, err = call(capsys, *words)
    assert code == 0  # progress is for terminals only, what was written is for everybody
    assert err.splitlines()[0] == f"wrote {table}" and err.count("wrote ") == err.count("\n") > 1
    assert "wrote" not in out
    with table.open() as file:
        rows = list(csv.reader(file))
    assert rows[0][0] == "time [s]" and len(rows) > 100
    assert sorted(path.name for path in pictures.iterdir()) == [
        f"{GIVEN}-{ending}.png" for ending in ("budget", "loads", "pitch", "speed")
    ]
    before = {path: path.read_bytes() for path in pictures.iterdir()}
    code, out, err = call(capsys, *words)
    assert code == 2 and out == ""
    assert "roll.csv exists" in err and "--force" in err
    assert call(capsys, *words, "--force")[0] == 0
    assert {path: path.read_bytes() for path in pictures.iterdir()} == before


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["run", "no-such-jet"], "no file of that name"),
        (["run", GIVEN, "--units", "cubits"], "cubits"),
        (["run", GIVEN, "--wings", "3"], "--wings"),
        (["run", GIVEN, "--set", "strip.length=far"], "strip.length"),
        (["run", GIVEN, "--set", "nonsense"], "nonsense"),
        (["rum"], "rum"),
        (["run", GIVEN, "--csv", "/proc/roll.csv"], "cannot be written"),
        (["run", GIVEN, "--plots", "/dev/null"], "is not a folder"),
        (["run", GIVEN, "--csv", "/"], "is a folder"),
    ],
)
def test_bad_input_is_told_in_words(capsys, words, expected):
    code, out, err = call(capsys, *words)
    assert code == 2
    assert out == ""
    assert expected in err
    assert "Traceback" not in err


def test_all_mistakes_at_once_and_nothing_written(capsys, tmp_path):
    code, _, err = call(
        capsys, "run", GIVEN, "--csv", str(tmp_path / "a.csv"), "--plots", str(tmp_path / "p"),
        "--set", "strip.length=far", "--set", "pilot.nonsense=1",
    )  # fmt: skip
    assert code == 2
    assert "2 things are wrong" in err
    assert "strip.length" in err and "pilot.nonsense" in err
    assert list(tmp_path.iterdir()) == []


def test_an_interruption_is_quiet(capsys, monkeypatch):
    def stopped(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(tasks, "build", stopped)
    code, out, err = call(capsys, "run", GIVEN)
    assert (code, out, err.strip()) == (130, "", "Stopped.")


def test_a_failure_while_drawing_writes_nothing(capsys, tmp_path, monkeypatch):
    def torn(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("sim.show.figures.save.picture_bytes", torn)
    words = ["--csv", str(tmp_path / "a.csv"), "--plots", str(tmp_path / "p")]
    assert call(capsys, "run", GIVEN, "--no-advice", *words)[0] == 130
    assert list(tmp_path.iterdir()) == []


def test_scenarios_lists_what_is_shipped(capsys):
    code, out, _ = call(capsys, "scenarios")
    assert code == 0
    assert [line.split()[0] for line in out.strip().split("\n")] == list(shipped_scenarios())
    assert DEFAULT_SCENARIO in shipped_scenarios()


def test_version_and_help(capsys):
    code, out, _ = call(capsys, "--version")
    assert code == 0 and out.startswith("wheelsoff 0.")
    code, out, _ = call(capsys, "run", "--help")
    assert code == 0 and "--set" in out and 'wheelsoff run meadow-jet --set "pilot.pull_at' in out
    code, out, _ = call(capsys)
    assert code == 0 and "compare" in out and "not a clearance" in out


def test_nothing_heavy_at_import():
    code = "import sim.cli, sys; print([m for m in sys.modules if m in %r])"
    heavy = ("typer", "rich", "matplotlib", "pint", "numpy", "pydantic", "scipy")
    assert python(code % (heavy,)).stdout.strip() == "[]"


def test_a_run_without_pictures_never_loads_the_drawing_library():
    code = (
        "import sys; from sim.cli import main;"
        f"code = main(['run', '{GIVEN}', '--no-advice', '--json']);"
        "print([m for m in ('matplotlib', 'PIL') if m in sys.modules], code, file=sys.stderr)"
    )
    assert python(code).stderr.strip() == "[] 0"


def test_a_reader_that_leaves_early_is_no_error():
    done = subprocess.run(
        f"{sys.executable} -m sim run {GIVEN} --no-advice --json | head -c 10",
        shell=True, capture_output=True, text=True, cwd=ROOT, check=False,
    )  # fmt: skip
    assert done.stdout == '{\n  "event'
    assert done.stderr == ""
