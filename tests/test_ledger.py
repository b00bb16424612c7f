"""The mass ledger: by hand, against masses summed one by one, and what must hold for any rows."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from sim.aeroplane.ledger import MassProperties, Row, ledger, total

BASE = MassProperties(3.0, 0.55, 0.004, 0.15)


def row(mass, station, height=0.004, item="lead"):
    return Row(item, mass, station, height)


def same(one, other, rel=1e-12):
    for name in ("mass", "station", "height", "pitch_inertia"):
        assert getattr(one, name) == pytest.approx(getattr(other, name), rel=rel, abs=1e-14), name


def test_the_worked_number_of_the_docstring():
    # by hand: reduced mass 3.0*0.2/3.2 = 0.1875 kg, distance squared 0.17 m2
    found = total(MassProperties(3.0, 0.0, 0.0, 0.15), [row(0.2, -0.4, -0.1)])
    same(found, MassProperties(3.2, -0.025, -0.00625, 0.15 + 0.1875 * 0.17))


def test_a_moved_pack_keeps_the_mass_and_moves_the_cg():
    # 0.5 kg moved 0.1 m ahead in 3.0 kg: the CG goes ahead by 0.5*0.1/3 m
    found = total(BASE, [row(-0.5, 0.60), row(0.5, 0.50)])
    assert found.mass == 3.0
    assert BASE.station - found.station == pytest.approx(0.05 / 3.0)
    # about the old CG both are 0.05 m away, before and after: only the shift is taken off
    assert found.pitch_inertia == pytest.approx(0.15 - 3.0 * (0.05 / 3.0) ** 2)


def test_height_counts_like_station():
    turned = total(MassProperties(3.0, 0.0, 0.0, 0.15), [row(0.2, -0.1, -0.4)])
    flat = total(MassProperties(3.0, 0.0, 0.0, 0.15), [row(0.2, -0.4, -0.1)])
    assert turned.pitch_inertia == pytest.approx(flat.pitch_inertia)
    assert (turned.station, turned.height) == (flat.height, flat.station)


def test_against_points_summed_one_by_one():
    """A base made of points itself: CG and inertia from their definitions."""
    points = [(1.2, 0.3, 0.02), (0.9, 0.7, -0.01), (0.8, 0.9, 0.03)]
    added = [(0.15, 0.1, -0.1), (0.02, 1.1, 0.2)]

    def lumps(parts):
        mass = sum(m for m, _, _ in parts)
        x = sum(m * s for m, s, _ in parts) / mass
        z = sum(m * h for m, _, h in parts) / mass
        return MassProperties(
            mass, x, z, sum(m * ((s - x) ** 2 + (h - z) ** 2) for m, s, h in parts)
        )

    same(total(lumps(points), [row(*part) for part in added]), lumps(points + added))
    same(total(lumps(points + added), [row(-m, s, h) for m, s, h in added]), lumps(points), 1e-11)


def test_without_rows_nothing_is_touched():
    assert total(BASE, []) is BASE
    assert ledger(BASE, ()).total is BASE


def test_what_cannot_be_is_told_with_its_number():
    with pytest.raises(ValueError, match="3000 g taken out of 3000 g leave 0 g"):
        total(BASE, [row(-3.0, 0.55)])
    with pytest.raises(ValueError, match="-500 g"):
        total(BASE, [row(-3.5, 0.55)])
    # 0.5 kg taken out 1 m from the CG hold 0.5*3/2.5*1 = 0.6 kg m2 > 0.15
    with pytest.raises(ValueError, match=r"-0\.45 kg m2 would be left"):
        total(BASE, [row(-0.5, 1.55)])


masses = st.floats(-0.3, 1.0)
stations = st.floats(-0.5, 1.5)
heights = st.floats(-0.3, 0.3)
rows = st.builds(row, masses, stations, heights)


def whole(parts):
    try:
        return total(BASE, parts)
    except ValueError:
        assume(False)
        raise


@settings(max_examples=150, deadline=None)
@given(st.lists(rows, min_size=1, max_size=6), st.randoms())
def test_the_order_of_rows_does_not_matter(parts, random):
    first = whole(parts)
    random.shuffle(parts)
    assert total(BASE, parts) == first  # to the last digit


@settings(max_examples=150, deadline=None)
@given(st.lists(rows, max_size=4), rows)
def test_put_in_and_taken_out_again_is_nothing(parts, one):
    back = Row("back", -one.mass, one.station, one.height)
    same(whole([*parts, one, back]), whole(parts), 1e-9)


@settings(max_examples=150, deadline=None)
@given(st.lists(rows, max_size=4), rows)
def test_two_halves_are_one(parts, one):
    half = Row("half", 0.5 * one.mass, one.station, one.height)
    same(whole([*parts, half, half]), whole([*parts, one]), 1e-9)


@settings(max_examples=150, deadline=None)
@given(st.floats(-2.0, 5.0))
def test_a_mass_at_the_cg_leaves_cg_and_inertia(mass):
    found = total(BASE, [row(mass, BASE.station, BASE.height)])
    same(found, MassProperties(3.0 + mass, BASE.station, BASE.height, BASE.pitch_inertia))


@settings(max_examples=150, deadline=None)
@given(rows, rows)
def test_one_after_the_other_is_both_at_once(one, other):
    together = whole([one, other])
    step = whole([one])
    assume(step.pitch_inertia > 1e-3 and together.pitch_inertia > 1e-3)
    same(total(step, [other]), together, 1e-9)


@settings(max_examples=100, deadline=None)
@given(st.floats(0.001, 2.0), stations, heights)
def test_a_mass_put_in_never_lowers_the_inertia_and_draws_the_cg(mass, station, height):
    found = total(BASE, [row(mass, station, height)])
    assert found.pitch_inertia >= BASE.pitch_inertia - 1e-15
    toward = math.copysign(1.0, station - BASE.station)
    assert toward * (found.station - BASE.station) >= 0.0
