"""Fits: synthetic truth recovered, intervals that cover it, axles and slopes told apart."""

import math
from dataclasses import replace

import numpy as np
import pytest

from sim.prepare import Prepared, prepare
from sim.scenario import load_scenario
from sim.scenario.measurements import MeasurementError, Reading
from sim.strip.coast_down import CoastPastMarks, CoastToStop, place_after, stopping
from sim.strip.reading import Course, Label, Measured
from sim.strip.tow import TowReading
from sim.study.fit import (
    Agreement,
    agreement_of,
    fit_grip,
    least_squares,
    on_course,
    roller_of,
    written_range,
)

TRUTH = 0.13
JET: Prepared = prepare(load_scenario("meadow-jet"))
ROLLER = roller_of(JET)
WEIGHT = ROLLER.mass * ROLLER.gravity


def label(i: int) -> Label:
    return Label(f"tow[{i}]", {"pull": "some N"})


def tow(pull: float, spread: float = 0.1, **more: object) -> TowReading:
    return TowReading(label(1), Measured(pull, spread), **more)  # type: ignore[arg-type]


def coast(speed: float, distance: float, spread: float = 0.05) -> CoastToStop:
    return CoastToStop(label(2), Measured(speed, spread * speed), distance=Measured(distance, 0.1))


def test_the_roller_is_the_aeroplane_of_the_scenario() -> None:
    p = JET.setup.parameters
    # By hand: stations 550, 655 and 210 mm; nose up by 3.5 mm over 445 mm (axles 6 mm, radii
    # 2.5 mm), which carries the CG, 122 mm above the mains' axle, 1 mm aft.
    tilt = 0.0035 / 0.445
    nose, main = 0.340 + 0.128 * tilt, 0.105 - 0.122 * tilt
    assert ROLLER.main_share == pytest.approx(nose / (nose + main), abs=1e-4)
    assert (ROLLER.mass, ROLLER.slope, ROLLER.headwind) == (p.mass, 0.0, 0.0)
    half = 0.5 * p.air_density * p.reference_area
    assert 0.8 * p.zero_lift_drag_start < ROLLER.drag_per_square / half < 0.2
    against = on_course(replace(ROLLER, slope=0.02, headwind=2.0), Course(-1), 3.5)
    assert (against.slope, against.headwind, against.mass) == (-0.02, -2.0, 3.5)


def test_one_reading_is_itself_and_unchecked() -> None:
    fit = fit_grip(JET, [tow(TRUTH * WEIGHT)])
    assert fit.resistance.value == pytest.approx(TRUTH)
    assert fit.resistance.deviation == pytest.approx(0.1 / WEIGHT)
    assert (fit.freedom, fit.agreement, fit.scatter) == (0, Agreement.UNCHECKED, {})


def test_equal_repeats_average_and_their_uncertainty_shrinks() -> None:
    fit = fit_grip(JET, [tow(TRUTH * WEIGHT + d) for d in (-0.1, 0.0, 0.1, 0.0)])
    assert fit.resistance.value == pytest.approx(TRUTH)
    assert fit.reading_deviation == pytest.approx(0.05 / WEIGHT)
    # two of four are one deviation off: 2 against 3 expected; scatter sqrt(0.02/3) N
    assert (fit.chi_square, fit.freedom) == (pytest.approx(2.0), 3)
    assert fit.scatter["tow test"] == pytest.approx(math.sqrt(0.02 / 3) / WEIGHT)
    assert fit.resistance.deviation == fit.reading_deviation


def test_scatter_beyond_the_readings_enlarges_the_result() -> None:
    fit = fit_grip(JET, [tow(TRUTH * WEIGHT + d) for d in (-0.5, 0.5, -0.5, 0.5)])
    assert fit.agreement is Agreement.CONTRADICT
    # the scatter's own standard deviation, 0.577 N, over two, times Student's factor: 1.197 for
    # 68.27 % and three to spare (tables of the t distribution, from memory)
    by_hand = 1.197 * math.sqrt(1.0 / 3.0) / WEIGHT / 2.0
    assert fit.resistance.deviation == pytest.approx(by_hand, rel=1e-3)
    assert fit.resistance.deviation > 5 * fit.reading_deviation


def test_a_better_reading_counts_for_more() -> None:
    fit = fit_grip(JET, [tow(3.0, 0.1), tow(4.0, 0.2)])
    assert fit.resistance.value * WEIGHT == pytest.approx((3.0 / 0.01 + 4.0 / 0.04) / 125.0)


def test_agreement_by_published_limits() -> None:
    """Chi-square tables: 5 % is passed beyond 3.841 for 1 and 11.070 for 5, 0.1 % beyond 10.828
    and 20.515 (any handbook of statistics, from memory)."""
    assert agreement_of(3.83, 1) is Agreement.AGREE
    assert agreement_of(3.85, 1) is agreement_of(11.08, 5) is Agreement.SCATTER
    assert agreement_of(11.06, 5) is Agreement.AGREE
    assert agreement_of(10.82, 1) is agreement_of(20.51, 5) is Agreement.SCATTER
    assert agreement_of(10.84, 1) is agreement_of(20.53, 5) is Agreement.CONTRADICT


def test_axles_are_told_apart_by_weighed_loads() -> None:
    def pulled(main: float, nose: float) -> TowReading:
        loads = {"main_load": Measured(main, 0.01), "nose_load": Measured(nose, 0.01)}
        return tow(0.11 * main + 0.19 * nose, 0.05, **loads)

    fit = fit_grip(JET, [pulled(27, 3), pulled(15, 15), pulled(21, 9)])
    assert fit.main is not None and fit.nose is not None
    assert (fit.main.value, fit.nose.value) == pytest.approx((0.11, 0.19))
    share = ROLLER.main_share
    assert fit.resistance.value == pytest.approx(share * 0.11 + (1 - share) * 0.19)
    near = fit_grip(JET, [pulled(24, 6), pulled(23, 7)])
    assert near.main is None


def test_both_ways_find_the_slope_and_keep_the_resistance() -> None:
    pulls = (0.13 + 0.02, 0.13 - 0.02, 0.13 + 0.02)
    ways = (Course(1), Course(-1), Course(1))
    readings = [tow(m * WEIGHT, course=c) for m, c in zip(pulls, ways, strict=True)]
    fit = fit_grip(JET, readings)
    assert fit.resistance.value == pytest.approx(0.13)
    assert fit.slope is not None and fit.slope.value == pytest.approx(0.02)
    assert fit_grip(JET, readings[:1]).slope is None
    told = [replace(r, course=replace(r.course, slope=0.02 * r.course.sense)) for r in readings]
    known = fit_grip(JET, told)
    assert known.slope is None and known.resistance.value == pytest.approx(0.13, abs=5e-5)


def test_the_slope_of_the_scenario_is_used() -> None:
    hill = prepare(load_scenario("meadow-jet", ["strip.slope=2 %"]))
    up = fit_grip(hill, [tow(0.15 * WEIGHT)])
    down = fit_grip(hill, [tow(0.11 * WEIGHT, course=Course(-1))])
    assert up.resistance.value == pytest.approx(0.13, abs=1e-4)
    assert down.resistance.value == pytest.approx(0.13, abs=1e-4)


def test_different_kinds_meet_in_one_fit() -> None:
    distance, _ = stopping(TRUTH, 8.0, ROLLER)
    times = (1.0, 2.5, 4.0)
    marks = CoastPastMarks(
        label(3),
        tuple(Measured(place_after(TRUTH, 7.0, t, ROLLER), 0.1) for t in times),
        tuple(Measured(t, 0.1) for t in times),
    )
    fit = fit_grip(JET, [tow(TRUTH * WEIGHT), coast(8.0, distance), marks])
    assert fit.resistance.value == pytest.approx(TRUTH, abs=1e-6)
    assert fit.chi_square < 1e-6 and fit.agreement is Agreement.AGREE


def drawn(rng: np.random.Generator) -> list[Reading]:
    """Five tow tests and three coast-downs around the truth, each off by its own uncertainty."""
    pulls = TRUTH * WEIGHT + 0.1 * rng.standard_normal(5)
    readings: list[Reading] = [tow(float(pull)) for pull in pulls]
    for speed in (6.0, 8.0, 9.0):
        distance = stopping(TRUTH, speed, ROLLER)[0] + 0.1 * rng.standard_normal()
        read = speed * (1.0 + 0.05 * rng.standard_normal())
        readings.append(coast(float(read), float(distance)))
    return readings


def test_intervals_cover_the_truth_as_often_as_they_say() -> None:
    """68 % and 95 % of 400 draws; a hundred alone would wander by 4.5 either way."""
    rng = np.random.default_rng(20261125)
    fits = [fit_grip(JET, drawn(rng)) for _ in range(400)]
    off = np.array([abs(f.resistance.value - TRUTH) / f.resistance.deviation for f in fits])
    print(f"{np.mean(off <= 1.0):.3f} within one, {np.mean(off <= 2.0):.3f} within two deviations")
    assert 0.55 <= np.mean(off <= 1.0) <= 0.80
    assert np.mean(off <= 2.0) >= 0.90


@pytest.mark.parametrize("count", [2, 3, 8])
def test_intervals_cover_the_truth_where_the_ground_scatters_beyond_the_readings(
    count: int,
) -> None:
    """Each pull differs by three times its uncertainty: only the enlargement saves the day."""
    rng = np.random.default_rng(7)
    hits, naive = 0, 0
    for _ in range(100):
        noise = 0.3 * rng.standard_normal(count)
        fit = fit_grip(JET, [tow(TRUTH * WEIGHT + float(d)) for d in noise])
        off = abs(fit.resistance.value - TRUTH)
        hits += off <= fit.resistance.deviation
        naive += off <= fit.reading_deviation
    assert 55 <= hits <= 80
    assert naive < 45


def test_what_no_resistance_explains_is_told_all_at_once() -> None:
    wrong = [
        tow(31.0),
        replace(coast(8.0, 40.0, 0.01), course=Course(1, slope=0.15)),  # the hill alone does it
        coast(8.0, 1.0, 0.01),
        coast(60.0, 900.0, 0.01),
    ]
    with pytest.raises(MeasurementError) as error:
        fit_grip(JET, wrong)
    allowed = [p.allowed for p in error.value.problems]
    assert len(allowed) == 4
    for text, word in zip(
        allowed, ("load", "leave some", "times its load", "lift off"), strict=True
    ):
        assert word in text


def test_the_range_written_is_two_deviations_and_never_negative() -> None:
    fit = fit_grip(JET, [tow(TRUTH * WEIGHT)])
    low, typical, high = written_range(fit)
    assert (high - typical, typical - low) == pytest.approx([2 * fit.resistance.deviation] * 2)
    loose = replace(fit, resistance=Measured(0.01, 0.02))
    assert written_range(loose) == (0.0, 0.01, 0.05)


def test_least_squares_against_the_normal_equations() -> None:
    rng = np.random.default_rng(1)
    design, right = rng.normal(size=(6, 2)), rng.normal(size=6)
    spread = rng.uniform(0.5, 2.0, 6)
    own = [Measured(float(v), float(s)) for v, s in zip(right, spread, strict=True)]
    values, covariance, _ = least_squares(design, own)
    weight = np.diag(spread**-2.0)
    inverse = np.linalg.inv(design.T @ weight @ design)
    assert covariance == pytest.approx(inverse)
    assert values == pytest.approx(inverse @ design.T @ weight @ right)
