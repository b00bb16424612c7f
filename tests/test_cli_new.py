"""`wheelsoff new` and `wheelsoff schema` as they are typed."""

import json
import os
import signal
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import jsonschema
import pytest

from sim.cli import main
from sim.commands.tasks import folded
from sim.scenario import load_scenario
from sim.scenario.schema import scenario_schema
from tests.asked import TAPE, lines

ROOT = Path(__file__).parents[1]
PROGRAM = [sys.executable, "-m", "sim"]


def run(*words: str, folder: Path, typed: str | bytes = "") -> subprocess.CompletedProcess[bytes]:
    """The program as started from a folder, fed by a pipe."""
    data = typed if isinstance(typed, bytes) else typed.encode()
    environment = os.environ | {"PYTHONPATH": str(ROOT), "PYTHONUTF8": "1"}
    return subprocess.run(
        [*PROGRAM, *words],
        input=data,
        capture_output=True,
        cwd=folder,
        env=environment,
        check=False,
    )


def test_answers_from_a_pipe_make_a_file_that_loads_and_rolls(tmp_path: Path) -> None:
    done = run("new", "jet.toml", folder=tmp_path, typed="\n".join(lines(TAPE)) + "\n")
    out = done.stdout.decode()
    assert done.returncode == 0, done.stderr.decode()
    assert "wheelsoff run jet.toml" in out and "|<---" in out
    assert [path.name for path in tmp_path.iterdir()] == ["jet.toml"]
    scenario = load_scenario(tmp_path / "jet.toml")
    assert scenario.title == TAPE["title"]
    text = (tmp_path / "jet.toml").read_text(encoding="utf-8")
    assert '# wheel_width = "... mm"' in text and "taken in proportion" in text
    assert not list(
        jsonschema.Draft202012Validator(scenario_schema()).iter_errors(tomllib.loads(text))
    )
    rolled = run("run", "jet.toml", "--no-advice", folder=tmp_path)
    assert rolled.returncode == 0, rolled.stderr.decode()


def test_an_input_that_ends_keeps_what_was_answered(tmp_path: Path) -> None:
    for count, name in ((20, "jet.unfinished.toml"), (3, "jet.unfinished-2.toml")):
        done = run("new", "jet.toml", folder=tmp_path, typed="\n".join(lines(TAPE)[:count]))
        assert done.returncode == 2 and not (tmp_path / "jet.toml").exists()
        assert "jet.toml was not written" in done.stderr.decode() and name in done.stderr.decode()
        kept = tomllib.loads((tmp_path / name).read_text(encoding="utf-8"))
        assert kept["title"] == TAPE["title"]
        assert kept["aeroplane"]["length"] == TAPE["aeroplane.length"]
        assert ("gear" in kept["aeroplane"]) == (count == 20)
    # the keys still missing stand there to be filled in, and are named by the program
    text = (tmp_path / "jet.unfinished.toml").read_text(encoding="utf-8")
    assert "# [strip]" in text and "Fill in the lines" in text
    told = run("run", "jet.unfinished.toml", folder=tmp_path).stderr.decode()
    assert "strip: given nothing" in told and "aeroplane.length" not in told


def test_an_input_that_ends_at_once_leaves_nothing(tmp_path: Path) -> None:
    done = run("new", "jet.toml", folder=tmp_path)
    assert done.returncode == 2 and b"nothing was written" in done.stderr
    assert not list(tmp_path.iterdir())


def test_bytes_that_are_no_text_do_not_end_it(tmp_path: Path) -> None:
    done = run("new", "jet.toml", "--no-drawings", folder=tmp_path, typed=b"\xff\xfe jet\n3 kg\n")
    assert done.returncode == 2 and b"Traceback" not in done.stderr
    assert b"jet.unfinished.toml" in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["jet.unfinished.toml"]


def test_an_interruption_keeps_what_was_answered(tmp_path: Path) -> None:
    environment = os.environ | {"PYTHONPATH": str(ROOT), "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen(
        [*PROGRAM, "new", "jet.toml"], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
        stderr=subprocess.PIPE, cwd=tmp_path, env=environment,
    ) as process:  # fmt: skip
        assert process.stdin and process.stdout and process.stderr
        process.stdin.write(b"Interrupted jet\n?\n")
        process.stdin.flush()
        while b"In the" not in process.stdout.readline():
            pass
        time.sleep(0.2)
        process.send_signal(signal.SIGINT)
        _, told = process.communicate(timeout=20)
    assert process.returncode == 130
    assert b"jet.unfinished.toml" in told and b"Traceback" not in told
    (kept,) = tmp_path.iterdir()
    assert tomllib.loads(kept.read_text(encoding="utf-8"))["title"] == "Interrupted jet"


def test_nothing_is_overwritten_unless_told_to(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "jet.toml"
    target.write_text("mine", encoding="utf-8")
    assert main(["new", str(target), "--from", "meadow-jet"]) == 2
    assert "--force" in capsys.readouterr().err
    done = run("new", str(target), folder=tmp_path, typed="\n".join(lines(TAPE)))
    assert done.returncode == 2 and b"Question" not in done.stdout
    assert target.read_text(encoding="utf-8") == "mine"
    assert main(["new", str(target), "--from", "meadow-jet", "--force"]) == 0
    assert load_scenario(target) == load_scenario("meadow-jet")


def test_copies_of_shipped_scenarios_and_of_files(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    first, second = tmp_path / "first.toml", tmp_path / "second.toml"
    assert main(["new", str(first), "--from", "abort-drill"]) == 0
    told = capsys.readouterr().out
    assert f"wheelsoff run {first}" in told and "Question" not in told
    assert main(["new", str(second), "--from", str(first)]) == 0
    assert load_scenario(second) == load_scenario(first) == load_scenario("abort-drill")
    assert load_scenario(second).title == load_scenario("abort-drill").title


TABLE = "J CT CP\n0.0 0.12 0.07\n0.4 0.09 0.06\n0.8 0.02 0.025\n0.9 0.0 0.01\n"


def test_a_copy_in_another_folder_finds_the_tables_of_the_original(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a" / "tables").mkdir(parents=True)
    (tmp_path / "b").mkdir()
    (tmp_path / "a" / "tables" / "curves.txt").write_text(TABLE, encoding="utf-8")
    (tmp_path / "a" / "jet.toml").write_text(
        'extends = "meadow-jet"\n[power]\nkind = "propeller"\nrotation = "9000 rpm"\n'
        '[power.propeller]\ndiameter = "12 in"\ntable = "tables/curves.txt"\n',
        encoding="utf-8",
    )
    monkeypatch.chdir(tmp_path)
    assert main(["new", "b/copy.toml", "--from", "a/jet.toml"]) == 0
    monkeypatch.chdir("/")
    assert load_scenario(tmp_path / "b" / "copy.toml") == load_scenario(tmp_path / "a" / "jet.toml")


def test_a_file_named_like_a_shipped_scenario_is_meant_by_its_path(tmp_path: Path) -> None:
    done = run("new", "pavement", "--from", "long-grass", folder=tmp_path)
    assert done.returncode == 0
    assert b"wheelsoff run ./pavement" in done.stdout
    assert load_scenario(tmp_path / "pavement") == load_scenario("long-grass")


def test_an_unknown_example_is_bad_input(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["new", str(tmp_path / "a.toml"), "--from", "meadow-jat"]) == 2
    assert "meadow-jet" in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_a_message_on_a_narrow_terminal_breaks_no_word() -> None:
    text = "aeroplane.gear: given nothing\n  in /a/path/longer/than/that/jet-of-mine.toml, line 3"
    lines = folded(text, 24).split("\n")
    assert lines == [
        "aeroplane.gear: given",
        "  nothing",
        "  in",
        "    /a/path/longer/than/that/jet-of-mine.toml,",
        "    line 3",
    ]
    assert folded("one\n\n  two", 80) == "one\n\n  two"


def test_schema_is_printed_or_written(tmp_path: Path) -> None:
    printed = run("schema", folder=tmp_path)
    assert printed.returncode == 0
    assert json.loads(printed.stdout) == scenario_schema()
    assert run("schema", "-o", "s.json", folder=tmp_path).returncode == 0
    assert (tmp_path / "s.json").read_bytes() == printed.stdout
    assert b"wrote t.json" in run("schema", "-o", "t.json", folder=tmp_path).stderr
    again = run("schema", "-o", "s.json", folder=tmp_path)
    assert again.returncode == 2 and b"--force" in again.stderr
    assert run("schema", "-o", "s.json", "--force", folder=tmp_path).returncode == 0


def test_help_tells_how_to_point_an_editor_at_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["schema", "--help"]) == 0
    assert "#:schema ./scenario.schema.json" in capsys.readouterr().out
    assert main(["new", "--help"]) == 0
    told = capsys.readouterr().out
    assert "--from" in told and "--force" in told


def test_the_line_for_the_editor_does_not_disturb(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    assert main(["new", str(file), "--from", "meadow-jet"]) == 0
    text = "#:schema ./scenario.schema.json\n" + file.read_text(encoding="utf-8")
    file.write_text(text, encoding="utf-8")
    assert load_scenario(file) == load_scenario("meadow-jet")
