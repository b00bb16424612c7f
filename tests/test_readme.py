"""The README shows what the program does: its commands are run and their output compared."""

import re
import shlex
from pathlib import Path

import pytest

from sim.cli import main
from tests.consoles import assert_printed, consoles_of

README = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
CONSOLE = consoles_of(Path(__file__).parents[1] / "README.md")
PYTHON = re.findall(r"```python\n(.*?)```", README, flags=re.DOTALL)


@pytest.mark.parametrize(("command", "shown"), CONSOLE, ids=[c for c, _ in CONSOLE])
def test_a_command_prints_what_the_readme_shows(
    command: str, shown: str, capsys: pytest.CaptureFixture[str]
) -> None:
    words = shlex.split(command)
    assert words[0] == "wheelsoff"
    main(words[1:])
    printed = capsys.readouterr()
    assert_printed(printed.out + printed.err, shown)


@pytest.mark.parametrize("snippet", PYTHON)
def test_a_python_snippet_runs(snippet: str, capsys: pytest.CaptureFixture[str]) -> None:
    exec(compile(snippet, "README.md", "exec"), {})
    assert "airborne" in capsys.readouterr().out


def test_the_two_commands_stand_at_the_top() -> None:
    head = README[: README.index("## A tour")]
    commands = re.findall(r"```sh\n(.*?)\n```", head, flags=re.DOTALL)
    assert len(commands) == 2
    assert all("venv" in command for command in commands)
    assert "wheelsoff run" in commands[0]
    assert "pytest" in commands[1]


def test_every_picture_shown_exists() -> None:
    pictures = re.findall(r"!\[.*?\]\((.*?)\)", README)
    assert pictures
    for picture in pictures:
        assert (Path(__file__).parents[1] / picture).is_file(), picture
