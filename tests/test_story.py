"""The worked story: every number it shows is printed, every picture is the one drawn."""

from pathlib import Path

import numpy as np
from matplotlib.image import imread

from tests.consoles import assert_printed, pictures_of
from tests.gallery import PLOTS
from tests.story import STORY, own_pictures, play
from tests.test_gallery import MOST_DIFFERENT


def test_the_story_is_what_its_commands_say_and_draw(tmp_path: Path) -> None:
    for (_, shown), printed in play(tmp_path):
        assert_printed(printed, shown)
    assert all(path.is_file() for path in pictures_of(STORY))
    for name, path in own_pictures(tmp_path).items():
        now, shipped = imread(path), imread(PLOTS / name)
        assert now.shape == shipped.shape, name
        different = np.abs(now - shipped).max(axis=-1) > 0.1
        assert different.mean() <= MOST_DIFFERENT, name
