"""Tow tests: by hand, signs of slope, which loads count."""

import math
from dataclasses import replace

import pytest

from sim.strip.reading import ImpossibleReading, Label, Measured, Roller
from sim.strip.tow import TowReading, reduce_tow, tow_resistance

JET = Roller(3.1, 9.80665, 0.8)
HERE = Label("tow[1]", {"pull": "4.1 N"})
PULL = Measured(4.1, 0.1)


def test_by_hand() -> None:
    assert tow_resistance(4.1, 30.4, 0.0) == pytest.approx(0.1349, abs=5e-5)
    assert tow_resistance(4.1, 30.4, math.atan(0.02)) == pytest.approx(0.1149, abs=5e-5)


def test_up_and_down_a_slope_average_it_away() -> None:
    slope, mu, weight = math.atan(0.03), 0.12, 30.0
    up, down = (weight * (mu * math.cos(s) + math.sin(s)) for s in (slope, -slope))
    level = [tow_resistance(pull, weight, 0.0) for pull in (up, down)]
    assert sum(level) / 2 == pytest.approx(mu, abs=1e-4)
    assert tow_resistance(up, weight, slope) == pytest.approx(mu, rel=1e-12)


def test_which_load_counts() -> None:
    own = reduce_tow(TowReading(HERE, PULL), JET)
    assert own.value() == pytest.approx(4.1 / (3.1 * 9.80665))
    assert (own.main_share, own.loads_told) == (0.8, False)
    given = reduce_tow(TowReading(HERE, PULL, load=Measured(41.0, 0.4)), JET)
    assert given.value() == pytest.approx(0.1)
    loads = {"main_load": Measured(30.0, 0.3), "nose_load": Measured(11.0, 0.1)}
    apart = reduce_tow(TowReading(HERE, PULL, **loads), JET)
    assert apart.value() == pytest.approx(0.1)
    assert apart.main_share == pytest.approx(30 / 41) and apart.loads_told


def test_uncertainty_by_hand() -> None:
    """mu = F/W: relative uncertainties add as squares."""
    reduced = reduce_tow(TowReading(HERE, PULL, load=Measured(41.0, 0.8)), JET)
    assert reduced.deviation() / reduced.value() == pytest.approx(
        math.hypot(0.1 / 4.1, 0.8 / 41.0), rel=1e-3
    )


def test_a_pull_above_the_load_is_refused() -> None:
    with pytest.raises(ImpossibleReading, match="less than the load"):
        reduce_tow(TowReading(HERE, Measured(31.0, 0.1)), replace(JET, mass=3.1))
