"""The pictures in `plots/` are those of the shipped scenarios, and drawing them is repeatable."""

from pathlib import Path

import numpy as np
import pytest
from matplotlib.image import imread

import sim
from tests.consoles import pictures_of
from tests.gallery import FILES, PLOTS, QUESTIONS, draw
from tests.story import STORY

MOST_DIFFERENT = 0.02
"""Share of pixels that may differ by more than a tenth: another machine's font rendering."""


def test_every_shipped_scenario_has_its_four_pictures_and_every_question_its_own() -> None:
    kinds = ("speed", "pitch", "loads", "budget")
    wanted = {f"{name}-{kind}.png" for name in sim.shipped_scenarios() for kind in kinds}
    wanted |= {f"{name}.png" for name in QUESTIONS} | set(FILES)
    wanted |= {path.name for path in pictures_of(STORY)}
    assert {path.name for path in PLOTS.iterdir()} == wanted


def test_drawn_twice_the_bytes_are_the_same(tmp_path: Path) -> None:
    draw(tmp_path / "first", ["pavement"])
    draw(tmp_path / "second", ["pavement"])
    for path in sorted((tmp_path / "first").iterdir()):
        assert path.read_bytes() == (tmp_path / "second" / path.name).read_bytes(), path.name


PICKED = ["meadow-jet", "small-tail-flaps", "wheelbarrow", "workshop-power", "meadow-jet-vary"]
PICKED += ["workshop-strength", "meadow-jet-card.png"]


@pytest.mark.parametrize("name", PICKED)
def test_the_shipped_pictures_are_what_is_drawn_now(name: str, tmp_path: Path) -> None:
    draw(tmp_path, [name])
    for path in sorted(tmp_path.iterdir()):
        now, shipped = imread(path), imread(PLOTS / path.name)
        assert now.shape == shipped.shape, path.name
        different = np.abs(now - shipped).max(axis=-1) > 0.1
        assert different.mean() <= MOST_DIFFERENT, path.name
