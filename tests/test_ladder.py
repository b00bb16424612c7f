"""The ladder against rolls one by one, and against reason."""

from dataclasses import replace

import numpy as np
import pytest

import sim
from sim.prepare import prepare
from sim.report import build_report
from sim.scenario import ScenarioError, parse_scenario, with_changes
from sim.show.ladder_document import ladder_csv, ladder_document
from sim.study.executors import worker_pool
from sim.study.ladder import (
    GROUND_ROLL,
    ROTATION,
    LadderError,
    build_ladder,
    combinations_of,
)
from sim.study.ladder_answers import (
    best_pair,
    conflicts,
    extreme_pairs,
    fewest_hours,
    shortest_airborne,
    smallest_set,
)

NAMES = ("more-throw", "hot-motor", "long-nose-leg")


def jet(**changes):
    """The textbook jet, whose rolls need no lattice, with changes."""
    base = sim.load_scenario("textbook-rotation")
    return parse_scenario({**base.raw, "change": changes})


def thrust(newtons, **more):
    return {"text": f"{newtons} N", "power": {"static_thrust": f"{newtons} N"}, **more}


@pytest.fixture(scope="module")
def workshop():
    return sim.load_scenario("workshop")


@pytest.fixture(scope="module")
def ladder(workshop):
    return build_ladder(workshop, NAMES)


def test_every_combination_is_the_roll_of_the_scenario_with_them(workshop, ladder):
    assert len(ladder.rows) == 8
    for mask in range(8):
        names = [name for i, name in enumerate(NAMES) if mask >> i & 1]
        report = build_report(prepare(with_changes(workshop, names)), with_advice=False)
        assert ladder.rows.verdict(mask) == report.result.verdict
        place = report.result.event("lift-off").distance
        assert ladder.value(GROUND_ROLL, mask) == pytest.approx(place, rel=1e-9)
        airspeed = report.result.event("nose-wheel-off").airspeed
        assert ladder.value(ROTATION, mask) == pytest.approx(airspeed, rel=1e-9)


def test_rungs_shares_and_hours(ladder):
    assert ladder.rungs == (1, 3, 7)
    roll = ladder.rows[GROUND_ROLL]
    assert ladder.ground_roll.whole == pytest.approx(roll[0] - roll[7])
    assert ladder.ground_roll.parts == pytest.approx(3 * roll[0] - roll[1] - roll[2] - roll[4])
    # the middle change over the six orders, by hand: alone twice, last twice, after each once
    middle = 2 * (roll[0] - roll[2]) + (roll[1] - roll[3]) + (roll[4] - roll[6])
    middle = (middle + 2 * (roll[5] - roll[7])) / 6
    assert ladder.ground_roll.shares[1] == pytest.approx(middle)
    assert [ladder.hours(mask) for mask in (0, 1, 3, 7)] == pytest.approx([0.0, 0.3, 2.3, 3.8])
    assert ladder.cost(7) == pytest.approx(88.0)
    assert ladder.ground_roll.missing == 0 and ladder.ground_roll.order_holds


def test_the_order_of_the_rungs_does_not_touch_the_shares(workshop, ladder):
    turned = build_ladder(workshop, NAMES[::-1])
    assert turned.ground_roll.shares[::-1] == pytest.approx(ladder.ground_roll.shares)
    assert turned.rungs == (1, 3, 7) and turned.value(GROUND_ROLL, 1) == ladder.value(
        GROUND_ROLL, 4
    )


def test_answers_by_exhaustion(ladder):
    good = [m for m in range(8) if ladder.rows.verdict(m) == "airborne"]
    meets = [m for m in good if ladder.value(GROUND_ROLL, m) <= 0.8 * 70.0]
    assert meets and len(meets) < 8
    assert smallest_set(ladder) == 4 and 4 in meets  # the nose leg alone
    assert ladder.hours(fewest_hours(ladder)) == min(ladder.hours(m) for m in meets)
    assert ladder.value(GROUND_ROLL, shortest_airborne(ladder)) == min(
        ladder.value(GROUND_ROLL, m) for m in good
    )
    pairs = [m for m in (3, 5, 6) if m in good]
    assert best_pair(ladder) == min(pairs, key=lambda m: ladder.value(GROUND_ROLL, m))
    short, much = extreme_pairs(ladder.ground_roll)
    gain = ladder.ground_roll.gains
    effects = {p: gain[1 << p[0] | 1 << p[1]] - gain[1 << p[0]] - gain[1 << p[1]]
               for p in ((0, 1), (0, 2), (1, 2))}  # fmt: skip
    assert effects[short] == min(effects.values()) and effects[much] == max(effects.values())
    assert fewest_hours(replace(ladder, margin=0.99)) is None


def test_a_margin_nothing_needs_is_met_by_nothing_at_all():
    easy = build_ladder(jet(a=thrust(40)), (), 0.0)
    assert smallest_set(easy) == 0 and fewest_hours(easy) == 0


def test_changes_of_one_key_exclude_each_other():
    both = build_ladder(jet(a=thrust(30), b=thrust(34)), ())
    assert both.rows.verdict(3) == "refused" and "static_thrust" in both.rows.refused[3]
    assert both.rungs == (1, 1)
    assert [mask for mask, _ in conflicts(both)] == [3]
    gains = both.ground_roll.gains
    assert gains[2] > gains[1] > 0.0 and np.isnan(gains[3])
    assert both.ground_roll.whole == pytest.approx(gains[2])  # the better of the two
    assert both.ground_roll.shares == pytest.approx([gains[1] / 2, gains[2] - gains[1] / 2])
    assert best_pair(both) is None
    data = ladder_document(both)
    assert data["rungs"][1]["left_out"] and data["left_out"][0]["changes"] == ["a", "b"]


def test_only_the_smallest_conflicts_are_told():
    many = {"a": thrust(30), "b": thrust(34), "c": {"text": "c", "pilot": {"pull_at": "12 m"}}}
    ladder = build_ladder(jet(**many), ())
    assert [mask for mask, _ in conflicts(ladder)] == [3] and ladder.refused.sum() == 2
    assert ladder.rungs == (1, 1, 5)


def test_rolls_without_lift_off_are_counted_and_told():
    """4 N against 3.1 N of friction never reach the speed to rotate: no end to the ground roll."""
    smooth = {"text": "smooth strip", "strip": {"rolling_resistance": 0.078}}
    ladder = build_ladder(jet(weak=thrust(4), smooth=smooth), ())
    counted = ladder.ground_roll
    assert ladder.rows.verdict(1) == ladder.rows.verdict(3) == "too-slow"
    assert counted.missing == 2
    assert counted.stand_in == 2.0 * ladder.strip_length
    assert counted.gains[1] == pytest.approx(counted.values[0] - counted.stand_in)
    assert counted.shares[0] < 0.0 < counted.shares[1] and counted.order_holds
    assert ladder.rotation.missing == 1 and np.isfinite(ladder.rotation.shares).all()
    assert ladder.rotation.stand_in >= np.nanmax(ladder.rotation.values)


def test_hours_not_given_are_never_the_fewest():
    ladder = build_ladder(jet(a=thrust(60), b=thrust(50, hours=3)), (), 0.85)
    assert np.isnan(ladder.hours(1)) and ladder.hours(2) == 3.0
    assert ladder.meets[1] and ladder.meets[2]
    assert fewest_hours(ladder) == 2


def test_the_numbers_are_the_same_in_workers_and_told(ladder, workshop):
    seen = []
    with worker_pool(2) as pool:
        sent = build_ladder(
            workshop, NAMES, executor=pool, progress=lambda done, total: seen.append((done, total))
        )
    assert np.array_equal(sent.rows.values, ladder.rows.values, equal_nan=True)
    assert ladder_document(sent) == ladder_document(ladder) and seen[-1] == (8, 8)


def test_what_cannot_be_built(workshop):
    with pytest.raises(LadderError, match="nothing to stack"):
        build_ladder(sim.load_scenario("meadow-jet"), ())
    with pytest.raises(LadderError, match="twice"):
        build_ladder(workshop, ("hot-motor", "hot-motor"))
    with pytest.raises(ScenarioError, match="hot-motor"):
        build_ladder(workshop, ("hot-moter",))
    many = {f"c{i}": {"text": "t", "pilot": {"pull": 1.0 - 0.01 * i}} for i in range(11)}
    with pytest.raises(LadderError, match="at most 10"):
        build_ladder(jet(**many), ())


def test_power_limits_passed_are_found(workshop):
    hot = build_ladder(workshop, ("hot-motor",))
    known = prepare(with_changes(workshop, ["hot-motor"])).power
    over = {f"{m.part} {m.quantity}" for m in known.margins if m.exceeded}
    assert set(hot.over[1]) == over and set(hot.over) == {0, 1}


def test_changes_already_there_stay_under_all(workshop):
    laid = with_changes(workshop, ["hot-motor"])
    rest = build_ladder(laid, ("more-throw",))
    alone = build_ladder(workshop, ("more-throw", "hot-motor"))
    assert rest.value(GROUND_ROLL, 0) == pytest.approx(alone.value(GROUND_ROLL, 2))
    assert len(combinations_of(laid, ("more-throw",))) == 2


def test_the_table_has_a_row_for_every_combination(ladder):
    lines = ladder_csv(ladder.changes, ladder.rows).splitlines()
    assert len(lines) == 9
    assert lines[0].startswith("lane,change.more-throw [-],change.hot-motor [-]")
    assert lines[4].startswith("4,1,1,0,2.3,80,")
