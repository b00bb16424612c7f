"""The worked story, played: its commands one after the other in a folder of their own."""

import os
import shlex
from contextlib import chdir, redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path

from sim.cli import main as wheelsoff
from tests.consoles import Console, consoles_of, pictures_of

STORY = Path(__file__).parents[1] / "scenarios" / "STORY.md"
PREFIX = "story-"
"""Before the names of its own pictures in `plots/`."""


def play(folder: Path) -> list[tuple[Console, str]]:
    """Run every command of the story; each with what it printed."""
    os.symlink(STORY.parent, folder / "scenarios")
    played = []
    with chdir(folder):
        for console in consoles_of(STORY):
            words = shlex.split(console[0])
            printed = StringIO()
            with redirect_stdout(printed), redirect_stderr(printed):
                code = wheelsoff(words[1:])
            assert words[0] == "wheelsoff" and code == 0, printed.getvalue()
            played.append((console, printed.getvalue()))
    return played


def own_pictures(folder: Path) -> dict[str, Path]:
    """Pictures of the story in `plots/` by name, and the files they were drawn to."""
    names = [path.name for path in pictures_of(STORY) if path.name.startswith(PREFIX)]
    drawn = {path.name: path for path in folder.rglob("*.png") if "scenarios" not in path.parts}
    return {name: drawn[name.removeprefix(PREFIX)] for name in names}
