"""Conditions: what they say, what they refuse, and that what is missing makes them false."""

from math import radians

import numpy as np
import pytest

from sim.roll.verdict import Verdict
from sim.study.condition import ConditionError, condition_of
from sim.study.outcome_columns import OUTCOME_COLUMNS, USUAL, column_of
from sim.study.rows import REFUSED, VERDICTS, Rows


def rows(values: list[float], name: str = "lift-off.distance", **verdicts: Verdict) -> Rows:
    index = [VERDICTS.index(v) for v in verdicts.values()] or [10] * len(values)
    return Rows(
        len(values),
        np.arange(len(values)),
        (name,),
        np.array([values]),
        np.array(index, dtype=np.int8),
        {},
    )


def test_it_holds_up_to_its_limit_and_never_for_what_is_missing() -> None:
    table = rows([59.9, 60.0, 60.1, float("nan")])
    assert condition_of("lift-off.distance <= 60 m").holds(table).tolist() == [1, 1, 0, 0]
    assert condition_of("lift-off.distance >= 60 m").holds(table).tolist() == [0, 1, 1, 0]
    assert condition_of("lift-off.distance == 60 m").holds(table).tolist() == [0, 1, 0, 0]


def test_the_margin_is_the_value_less_the_limit_whatever_the_sign() -> None:
    table = rows([50.0, 70.0, float("nan")])
    for sign in ("<=", ">=", "=="):
        margin = condition_of(f"lift-off.distance {sign} 60 m").margin(table)
        assert margin[:2].tolist() == [-10.0, 10.0] and np.isnan(margin[2])


@pytest.mark.parametrize(
    ("text", "name", "limit"),
    [
        ("lift-off.distance<=200 ft", "lift-off.distance", 60.96),
        ("lift-off.pitch_rate <= 90 deg/s", "lift-off.pitch_rate", radians(90.0)),
        ("peak_pitch_rate_deg_per_s <= 90 deg/s", "peak_pitch_rate_deg_per_s", radians(90.0)),
        ("stall_margin >= 0.1", "stall_margin", 0.1),
        ("lift-off.airspeed >= 40 mph", "lift-off.airspeed", 17.8816),
        ("  lift-off.main_load   >=   1 kgf ", "lift-off.main_load", 9.80665),
        ("least_nose_load_N <= 0 N", "least_nose_load_N", 0.0),
        (
            "pitch_acceleration_at_lift_off_deg_per_s2 <= 9 rad/s^2",
            "pitch_acceleration_at_lift_off_deg_per_s2",
            9.0,
        ),
        ('tip_back_deg >= "15 deg"', "tip_back_deg", radians(15.0)),
    ],
)
def test_values_carry_their_unit(text: str, name: str, limit: float) -> None:
    (clause,) = condition_of(text).clauses
    assert clause.name == name and clause.limit == pytest.approx(limit, rel=1e-12)


def test_a_verdict_is_a_condition_and_so_are_several_at_once() -> None:
    table = rows([50.0, 70.0, 55.0], a=Verdict.AIRBORNE, b=Verdict.AIRBORNE, c=Verdict.TOO_SLOW)
    both = condition_of("verdict == airborne and lift-off.distance <= 60 m")
    assert both.holds(table).tolist() == [True, False, False]
    assert both.columns == ("lift-off.distance",)
    assert np.isnan(both.margin(table)).all()
    alone = condition_of("verdict == airborne")
    assert np.isnan(alone.margin(table)).all() and alone.columns == ()
    refused = Rows(1, np.arange(1), (), np.zeros((0, 1)), np.array([REFUSED], dtype=np.int8), {})
    assert not alone.holds(refused).any()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("lift-of.distance <= 60 m", "nearest: lift-off.distance"),
        ("lift-off.distanse <= 60 m", "nearest: lift-off.distance"),
        ("lift-off.place <= 60 m", "behind lift-off."),
        ("stall_margn >= 0.1", "nearest: stall_margin"),
        ("lift-off.distance < 60 m", "nearest: lift-off.distance <= 60 m"),
        ("lift-off.distance = 60 m", "nearest: lift-off.distance == 60 m"),
        ("lift-off.distance <= 60", "a distance with its unit"),
        ("lift-off.distance <= 60 kg", "what is given is a mass"),
        ("lift-off.distance <= 60 mm2", "a distance with its unit"),
        ("stall_margin >= 10 %", "a plain number"),
        ("stall_margin >= nan", "a plain number"),
        ("stall_margin >= inf", "a plain number"),
        ("pitch_acceleration_at_lift_off_deg_per_s2 <= 9", "a number in rad/s^2"),
        ("verdict == airborn", "nearest: verdict == airborne"),
        ("verdict <= airborne", "nearest: verdict == airborne"),
        ("verdict", "NAME <= VALUE"),
        ("", "NAME <= VALUE"),
        ("lift-off.distance <= 60 m and", "a distance with its unit"),
        ("__import__('os') == 1", "NAME <= VALUE"),
        ("x" * 500, "NAME <= VALUE"),
    ],
)
def test_what_is_no_condition_is_told_in_words(text: str, words: str) -> None:
    with pytest.raises(ConditionError) as caught:
        condition_of(text)
    assert words in str(caught.value) and "given" in str(caught.value)


def test_the_registry_names_every_column_once_and_finds_the_nearest() -> None:
    assert all(name == column.name for name, column in OUTCOME_COLUMNS.items())
    assert len({(c.label, c.name) for c in OUTCOME_COLUMNS.values()}) == len(OUTCOME_COLUMNS)
    assert all(c.description and c.symbol and c.unit and c.label for c in OUTCOME_COLUMNS.values())
    assert set(USUAL) <= set(OUTCOME_COLUMNS)
    with pytest.raises(ValueError, match=r"nearest: lift-off\.distance"):
        column_of("lift_off.distance")
