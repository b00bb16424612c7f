"""Draws: keyed by seed, place and name; spread evenly in one dimension and in several."""

import numpy as np
import pytest
from scipy.stats import qmc

from sim.study.draws import LONGEST, even_draws

NAMES = ("pilot.pull_at", "air.headwind", "aeroplane.mass")


def test_a_point_is_the_same_alone_and_among_others():
    many = even_draws(7, NAMES, 0, 1000)
    for place in (0, 1, 17, 511, 999):
        assert np.array_equal(even_draws(7, NAMES, place, place + 1)[0], many[place])
    assert np.array_equal(even_draws(7, NAMES, 100, 321), many[100:321])
    assert even_draws(7, NAMES, 5, 5).shape == (0, 3)


def test_the_order_of_names_only_orders_the_columns():
    turned = even_draws(7, NAMES[::-1], 0, 64)
    assert np.array_equal(turned[:, ::-1], even_draws(7, NAMES, 0, 64))


def test_seeds_and_names_are_keys():
    one, other = even_draws(1, NAMES, 0, 64), even_draws(2, NAMES, 0, 64)
    assert not np.any(one == other)
    renamed = even_draws(1, ("a.key", *NAMES[:2]), 0, 64)
    assert not np.array_equal(renamed[:, 0], one[:, 2])


@pytest.mark.parametrize("seed", [0, 1, 2**62])
def test_each_name_has_one_point_in_every_equal_part(seed):
    """Of 2^k first points in each of 2^k parts: what plain chance does not do."""
    points = even_draws(seed, NAMES, 0, 256)
    for column in points.T:
        assert sorted((column * 256).astype(int)) == list(range(256))
    # and of a later stretch of the sequence as well
    later = even_draws(seed, NAMES, 512, 768)
    assert sorted((later[:, 0] * 256).astype(int)) == list(range(256))


def test_the_first_two_dimensions_fill_all_boxes():
    """The scramble keeps the sequence's net property: 1, 4, 16, 64 by 256/... boxes, one each.

    The first two dimensions of Sobol's sequence are a (0, 2)-sequence in base 2: Niederreiter,
    Random Number Generation and Quasi-Monte Carlo Methods, 1992 (from memory).
    """
    points = even_draws(11, ("a", "b"), 0, 256)
    for split in range(9):
        boxes = (points * [2**split, 2 ** (8 - split)]).astype(int)
        assert len(np.unique(boxes, axis=0)) == 256


def test_more_even_than_chance_and_within_bounds():
    names = tuple("abcdefg")
    points = even_draws(3, names, 0, 1024)
    assert points.min() > 0.0 and points.max() < 1.0
    chance = np.random.default_rng(3).random((1024, 7))
    assert qmc.discrepancy(points) < 0.1 * qmc.discrepancy(chance)
    assert np.abs(np.corrcoef(points.T) - np.eye(7)).max() < 0.03


def test_the_mean_over_seeds_is_fair():
    """Every point alone is uniform over the seeds: the scramble leaves no bias."""
    firsts = np.array([even_draws(seed, ("x",), 3, 4)[0, 0] for seed in range(400)])
    assert abs(firsts.mean() - 0.5) < 4.0 / np.sqrt(12 * 400)
    assert abs(firsts.var() - 1 / 12) < 0.015


@pytest.mark.parametrize(
    ("seed", "names", "first", "last"),
    [(-1, ("a",), 0, 1), (2**63, ("a",), 0, 1), (1, ("a", "a"), 0, 1), (1, (), 0, 1),
     (1, ("a",), 2, 1), (1, ("a",), 0, LONGEST + 1)],
)  # fmt: skip
def test_what_cannot_be(seed, names, first, last):
    with pytest.raises(ValueError, match=r"range|name"):
        even_draws(seed, names, first, last)
