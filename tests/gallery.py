"""Regenerate `plots/`, the pictures of the shipped scenarios: `python -m tests.gallery`.

Byte-identical twice on one machine; elsewhere fonts and libraries may differ, so the test compares
pixels with a stated tolerance.
"""

import os
import sys
from contextlib import redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path
from tempfile import TemporaryDirectory

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command does: the last digits follow

import sim
from sim.cli import main as wheelsoff
from sim.show.figures import save_pictures
from tests.story import own_pictures, play

PLOTS = Path(__file__).parents[1] / "plots"
QUESTIONS = {
    "workshop-power": ("check", "workshop", "--with", "hot-motor"),
    "workshop-strength": ("check", "workshop", "--with", "tail-spar"),
    "meadow-jet-vary": (
        *("vary", "meadow-jet", "aeroplane.gear.main.station=600 mm:720 mm:25"),
        "air.headwind=-2 m/s:4 m/s:25",
    ),
    "meadow-jet-gear-window": (
        *("find", "meadow-jet", "aeroplane.gear.main.station", "--gear-window"),
    ),
    "workshop-ladder": (
        *("ladder", "workshop", "--changes"),
        "long-nose-leg,large-wheels,mains-forward,inboard-flaps,hot-motor",
    ),
    "wet-grass-spread": ("spread", "wet-grass", "-n", "1000"),
}
"""Pictures that answer a question of their own, and the command that draws each."""
FILES = {
    "meadow-jet-card.png": ("card", "meadow-jet"),
    "mains-far-aft-replay.gif": ("replay", "mains-far-aft", "--beside", "mains-forward"),
}
"""Pictures that are what a command is asked for, with -o."""


def names_of(folder: Path) -> dict[str, bytes]:
    """Every picture there is, by name."""
    return {path.name: path.read_bytes() for path in folder.glob("*.*")}


def draw(folder: Path, names: list[str] | None = None) -> dict[str, str]:
    """Draw pictures into a folder; returns what happened to each: new, same or changed.

    Names are those of scenarios, of questions and of files; without any, all are drawn.
    """
    folder.mkdir(parents=True, exist_ok=True)
    before, drawn = names_of(folder), []
    for name in names or [*sorted(sim.shipped_scenarios()), *QUESTIONS, *FILES, "story"]:
        if name == "story":
            drawn += _story(folder)
        elif name in FILES:
            _call(*FILES[name], "-o", str(folder / name), "--force")
            drawn.append(folder / name)
        elif name in QUESTIONS:
            drawn.append(_answer(name, folder))
        else:
            report = sim.make_report(sim.load_scenario(name))
            drawn += save_pictures(report, folder, name=name, force=True)
    return {path.name: _fate(before.get(path.name), path.read_bytes()) for path in drawn}


def _answer(question: str, folder: Path) -> Path:
    with TemporaryDirectory() as aside:
        _call(*QUESTIONS[question], "--plots", aside)
        picture = folder / f"{question}.png"
        picture.write_bytes((Path(aside) / picture.name).read_bytes())
    return picture


def _story(folder: Path) -> list[Path]:
    """Pictures of the worked story, drawn by playing it."""
    with TemporaryDirectory() as aside:
        play(Path(aside))
        contents = {n: path.read_bytes() for n, path in own_pictures(Path(aside)).items()}
    for name, content in contents.items():
        (folder / name).write_bytes(content)
    return [folder / name for name in contents]


def _call(*words: str) -> None:
    with redirect_stdout(StringIO()), redirect_stderr(StringIO()):
        code = wheelsoff(list(words))
    assert code == 0, words


def _fate(old: bytes | None, new: bytes) -> str:
    return "new" if old is None else "same" if old == new else "changed"


def main() -> None:
    """Draw them all, or those named on the command line."""
    for name, what in draw(PLOTS, sys.argv[1:] or None).items():
        print(f"{what:<8} {name}")


if __name__ == "__main__":
    main()
