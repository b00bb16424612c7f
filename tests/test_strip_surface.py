"""Ranges in order, notes where they are due, and the signs of sinkage."""

import pytest

from sim.strip.surface import (
    PUBLISHED,
    SCRAPING,
    SURFACES,
    Range,
    sinkage_factor,
    sinkage_resistance,
    wheel_notes,
)

MOWN = SURFACES["mown grass"]


def test_ranges_rise_strictly_and_carry_a_source() -> None:
    for surface in SURFACES.values():
        span = surface.rolling_resistance
        assert 0.0 < span.low < span.typical < span.high < 1.0
        assert "no source" in surface.source
        assert surface.description
    assert SCRAPING.low < SCRAPING.typical < SCRAPING.high


def test_order_of_surfaces() -> None:
    order = ["pavement", "matting", "short grass", "mown grass", "wet grass", "long grass"]
    typical = [SURFACES[name].rolling_resistance.typical for name in [*order, "soft ground"]]
    assert typical == sorted(typical)


def test_falling_range_is_refused() -> None:
    with pytest.raises(ValueError, match="rise"):
        Range(0.2, 0.1, 0.3)


def test_published_values_are_marked() -> None:
    for row in PUBLISHED:
        assert row.low <= row.high
        assert row.mark in {"read", "second-hand", "from memory"}
        assert row.source


def test_wheels_of_the_stated_size_need_no_note() -> None:
    assert wheel_notes(MOWN, 0.060, 0.064, 0.090) == ()


def test_wheels_outside_get_one_note_each_in_the_right_direction() -> None:
    small, large = wheel_notes(MOWN, 0.045, 0.110, 0.045)
    assert "45 mm" in small
    assert "more" in small
    assert "110 mm" in large
    assert "less" in large


def test_sinkage_signs() -> None:
    base = sinkage_resistance(0.04, 0.002, 0.064, 0.5)
    assert sinkage_resistance(0.04, 0.004, 0.064, 0.5) > base  # deeper is worse
    assert sinkage_resistance(0.04, 0.002, 0.090, 0.5) < base  # a larger wheel is better
    assert sinkage_resistance(0.04, 0.0, 0.064, 0.5) == 0.04


def test_sinkage_worked_number() -> None:
    # sqrt(1/64) = 1/8, times 0.8, on 0.04.
    assert sinkage_resistance(0.04, 0.001, 0.064, 0.5) == pytest.approx(0.14, abs=1e-12)


def test_sinkage_refusals() -> None:
    with pytest.raises(ValueError, match="radius"):
        sinkage_resistance(0.04, 0.033, 0.064)
    with pytest.raises(ValueError, match="radius"):
        sinkage_resistance(0.04, 0.0, 0.0)
    with pytest.raises(ValueError, match="exponent"):
        sinkage_factor(3.0)
