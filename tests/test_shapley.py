"""Fair shares: against every order written out, the axioms, and games with known answers."""

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from sim.study.shapley import fair_shares, filled, pair_effects, players, sizes


def games(count):
    values = st.floats(-100.0, 100.0, allow_nan=False)
    return arrays(float, 1 << count, elements=values)


def by_orders(gains):
    """Walk through all n! orders."""
    count = players(gains)
    orders = list(permutations(range(count)))
    shares = np.zeros(count)
    for order in orders:
        mask = 0
        for i in order:
            shares[i] += gains[mask | 1 << i] - gains[mask]
            mask |= 1 << i
    return shares / len(orders)


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5])
@given(data=st.data())
def test_as_all_orders_written_out(count, data):
    gains = data.draw(games(count))
    assert np.allclose(fair_shares(gains), by_orders(gains), atol=1e-9)


@given(st.lists(st.floats(-50.0, 50.0), min_size=1, max_size=10))
def test_where_gains_add_up_everybody_gets_his_own(own):
    masks = np.arange(1 << len(own))
    gains = sum((masks >> i & 1) * value for i, value in enumerate(own))
    assert np.allclose(fair_shares(np.asarray(gains, dtype=float)), own, atol=1e-9)


@given(games(4))
def test_shares_add_up_to_the_whole(gains):
    assert fair_shares(gains).sum() == pytest.approx(gains[-1] - gains[0], abs=1e-9)


@given(games(4))
def test_twins_get_the_same(gains):
    """Changes 0 and 1 made interchangeable."""
    masks = np.arange(16)
    swapped = (masks & ~3) | (masks & 1) << 1 | (masks >> 1 & 1)
    gains = 0.5 * (gains + gains[swapped])
    shares = fair_shares(gains)
    assert shares[0] == pytest.approx(shares[1], abs=1e-9)


@given(games(3))
def test_who_adds_nothing_gets_nothing(gains):
    masks = np.arange(16)
    shares = fair_shares(gains[masks & 7])  # change 3 never matters
    assert shares[3] == pytest.approx(0.0, abs=1e-9)
    assert np.allclose(shares[:3], fair_shares(gains), atol=1e-9)


def test_one_pair_of_gloves():
    """Two left gloves, one right: the right one gets 2/3. Computed by hand over six orders."""
    masks = np.arange(8)
    gains = ((masks & 4 > 0) & (masks & 3 > 0)).astype(float)
    assert fair_shares(gains) == pytest.approx([1 / 6, 1 / 6, 2 / 3])


def test_a_parliament():
    """Weighted majority [51; 50, 49, 1]: 2/3, 1/6, 1/6.

    The smallest party has the power of one fifty times its size. Shapley & Shubik, American
    Political Science Review 48 (1954) 787, the kind of game (from memory); computed by hand.
    """
    weights, masks = (50, 49, 1), np.arange(8)
    total = sum((masks >> i & 1) * w for i, w in enumerate(weights))
    assert fair_shares((np.asarray(total) >= 51).astype(float)) == pytest.approx(
        [2 / 3, 1 / 6, 1 / 6]
    )


def test_the_worked_number():
    assert fair_shares(np.array([0.0, 3.0, 5.0, 10.0])) == pytest.approx([4.0, 6.0])
    assert pair_effects(np.array([0.0, 3.0, 5.0, 10.0])) == {(0, 1): 2.0}


def test_what_excludes_each_other_counts_as_its_best_part():
    nan = float("nan")
    full = filled(np.array([0.0, 5.0, 3.0, nan]))
    assert full.tolist() == [0.0, 5.0, 3.0, 5.0]
    # by hand: first alone 5, second adds 0; second 3, then first adds 2
    assert fair_shares(full) == pytest.approx([3.5, 1.5])
    three = filled(np.array([0.0, 1.0, 2.0, nan, 4.0, 4.5, nan, nan]))
    assert three[3] == 2.0 and three[6] == 4.0 and three[7] == 4.5
    assert np.isnan(pair_effects(np.array([0.0, 5.0, 3.0, nan]))[0, 1])


def test_sizes_and_lengths():
    assert sizes(3).tolist() == [0, 1, 1, 2, 1, 2, 2, 3]
    for length in (0, 3, 6, 1 << 17):
        with pytest.raises(ValueError, match="combinations"):
            players(np.zeros(length))
