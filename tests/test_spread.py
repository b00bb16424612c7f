"""The spread against closed forms, analytic indices and the rolls one by one."""

import numpy as np
import pytest
from scipy.stats import binom, norm, triang, truncnorm

import sim
from sim.prepare import prepare
from sim.scenario import ScenarioError, parse_scenario, with_overrides
from sim.show.spread_document import spread_csv, spread_document
from sim.show.words_spread import of_ten
from sim.study.batch import roll_rows
from sim.study.distributions import CUT, Distribution, varied_of
from sim.study.draws import even_draws
from sim.study.executors import worker_pool
from sim.study.knobs import knob_of
from sim.study.sensitivity import (
    first_order,
    influences,
    rank_correlation,
    share_interval,
)
from sim.study.sources import variants_of
from sim.study.spread import QUANTILES, ROLL, plan_spread, roll_spread

JET = "textbook-rotation"
"""Its rolls need no lattice."""


@pytest.fixture(scope="module")
def jet():
    return sim.load_scenario(JET)


@pytest.fixture(scope="module")
def meadow():
    return sim.load_scenario("meadow-jet")


# --- distributions ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "kind", "low", "middle", "high"),
    [
        ("power.static_thrust=24 N +/- 1 N", "uniform", 23.0, 24.0, 25.0),
        ("power.static_thrust = 24 ± 1 N", "uniform", 23.0, 24.0, 25.0),
        ("power.static_thrust=24 N +- 5 %", "uniform", 22.8, 24.0, 25.2),
        ("power.static_thrust=+/- 4 %", "uniform", 24.0, 25.0, 26.0),
        ("power.static_thrust=20..30 N", "uniform", 20.0, 25.0, 30.0),
        ("power.static_thrust=20 N..22 N..30 N", "triangular", 20.0, 22.0, 30.0),
        ("power.static_thrust=24 N sd 0.5 N", "normal", 22.0, 24.0, 26.0),
        ("aeroplane.cg.station=+/- 3 mm", "uniform", -0.003, 0.0, 0.003),
        ("air.temperature=15 degC +/- 5 degC", "uniform", 283.15, 288.15, 293.15),
        ("air.temperature=+/- 9 degF", "uniform", 283.15, 288.15, 293.15),
        ("strip.rolling_resistance=0.06..0.08..0.12", "triangular", 0.06, 0.08, 0.12),
        ("strip.slope=1 % +/- 0.5 %", "uniform", 0.005, 0.01, 0.015),
        ("pilot.pull_at=8 m/s +/- 1 m/s", "uniform", 7.0, 8.0, 9.0),
        ("air.headwind=-1 m/s..3 m/s", "uniform", -1.0, 1.0, 3.0),
    ],
)
def test_texts_are_read(jet, text, kind, low, middle, high):
    found = varied_of(jet, text).distribution
    assert found.kind == kind
    assert (found.low, found.middle, found.high) == pytest.approx((low, middle, high), abs=1e-9)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("power.static_thrust", "KEY="),
        ("power.static_thrust=24 N", "TOLERANCE"),
        ("power.static_thrust=24 N +/- 0 N", "above zero"),
        ("power.static_thrust=24 N +/- -1 N", "above zero"),
        ("power.static_thrust=24 N +/- 1 m", "above zero"),
        ("power.static_thrust=30 N..20 N", "rise"),
        ("power.static_thrust=20 N..40 N..30 N", "rise"),
        ("power.static_thrst=+/- 1 N", "static_thrust"),
        ("aeroplane.length=+/- 1 mm", "leaves this key out"),
        ("strip.rolling_resistance=1..3", "0 to 2"),
        ("pilot.pull_at=8 m/s..12 m", "like the others"),
    ],
)
def test_mistakes_are_told(jet, text, wanted):
    with pytest.raises(ScenarioError, match=wanted):
        varied_of(jet, text)


def test_quantiles_are_those_of_the_textbook():
    """scipy.stats as the second implementation."""
    q = np.linspace(0.001, 0.999, 41)
    three = Distribution("triangular", 2.0, 3.0, 7.0)
    other = triang(c=0.2, loc=2.0, scale=5.0)
    assert three.at(q) == pytest.approx(other.ppf(q))
    assert three.deviation == pytest.approx(other.std())
    bell = Distribution("normal", 10.0 - 2.0 * CUT, 10.0, 10.0 + 2.0 * CUT)
    assert bell.at(q) == pytest.approx(truncnorm(-CUT, CUT, 10.0, 2.0).ppf(q), abs=1e-9)
    assert bell.at(np.array([1e-12, 1 - 1e-12])) == pytest.approx([2.0, 18.0], abs=1e-3)
    flat = Distribution("uniform", -1.0, 0.0, 1.0)
    assert flat.at(q) == pytest.approx(2 * q - 1) and flat.deviation == pytest.approx(3**-0.5)


# --- intervals -------------------------------------------------------------------------------


def test_the_interval_covers_at_least_what_it_says():
    """Clopper & Pearson 1934: coverage never below 95 %, added up over the binomial exactly."""
    n = 40
    ends = [share_interval(k, n) for k in range(n + 1)]
    for p in np.linspace(0.01, 0.99, 33):
        weights = binom.pmf(np.arange(n + 1), n, p)
        inside = np.array([e.low <= p <= e.high for e in ends])
        assert weights[inside].sum() >= 0.95
    # the ends are where the tails are 2.5 %
    found = share_interval(9, 40)
    assert binom.sf(8, n, found.low) == pytest.approx(0.025)
    assert binom.cdf(9, n, found.high) == pytest.approx(0.025)


def test_ends_of_the_interval():
    none, every = share_interval(0, 100), share_interval(100, 100)
    assert none.low == 0.0 and none.high == pytest.approx(1 - 0.025 ** (1 / 100))  # closed form
    assert every.high == 1.0 and every.low == pytest.approx(0.025 ** (1 / 100))
    nine = share_interval(9, 10)
    assert (nine.low, nine.high) == pytest.approx((0.5550, 0.9975), abs=1e-4)
    for count, total in ((1, 0), (-1, 5), (6, 5)):
        with pytest.raises(ValueError, match="of"):
            share_interval(count, total)


# --- what matters most -----------------------------------------------------------------------


@pytest.mark.parametrize("plain", [False, True])
def test_first_order_indices_of_a_known_function(plain):
    """Ishigami function, a = 7, b = 0.1: S1 = 0.3139, S2 = 0.4424, S3 = 0.

    Ishigami & Homma 1990; values from the closed form, computed here. Evenly spread draws and
    plain random ones.
    """
    n, a, b = 4096, 7.0, 0.1
    u = np.random.default_rng(4).random((n, 3)) if plain else even_draws(4, ("a", "b", "c"), 0, n)
    x = np.pi * (2.0 * u - 1.0)
    y = np.sin(x[:, 0]) + a * np.sin(x[:, 1]) ** 2 + b * x[:, 2] ** 4 * np.sin(x[:, 0])
    v1, v2 = 0.5 * (1 + b * np.pi**4 / 5) ** 2, a * a / 8
    v13 = b * b * np.pi**8 * (1 / 18 - 1 / 50)
    exact = np.array([v1, v2, 0.0]) / (v1 + v2 + v13)
    assert exact == pytest.approx([0.3139, 0.4424, 0.0], abs=5e-5)
    assert first_order(u, y) == pytest.approx(exact, abs=0.04 if plain else 0.02)


def test_shares_of_a_sum_and_of_nothing():
    u = even_draws(2, ("a", "b", "c"), 0, 1024)
    assert first_order(u, u[:, 0] + 2 * u[:, 1]) == pytest.approx([0.2, 0.8, 0.0], abs=2e-3)
    noise = np.random.default_rng(1).normal(size=1024)
    assert first_order(u, noise).max() < 0.03  # chance is taken off: 8/1024 each are expected
    assert np.isnan(first_order(u, np.ones(1024))).all()
    assert np.isnan(first_order(u[:20], u[:20, 0])).all()


def test_ranks():
    x = np.linspace(0.0, 1.0, 50)
    assert rank_correlation(x, np.exp(5 * x)) == pytest.approx(1.0)
    assert rank_correlation(x, -(x**3)) == pytest.approx(-1.0)
    lost = np.where(x > 0.8, np.inf, x)
    assert rank_correlation(x, lost) > 0.98
    assert np.isnan(rank_correlation(x, np.zeros(50)))


def test_rolls_that_never_lift_off_count_as_longest():
    u = even_draws(5, ("a", "b"), 0, 512)
    roll = np.where(u[:, 0] > 0.7, np.nan, 40.0 + u[:, 1])
    one, two = influences(("a", "b"), u, roll, (u[:, 0] > 0.7).astype(float))
    assert one.roll_rank > 0.6 > two.roll_rank > 0.2
    assert one.failure_share > 0.8 and two.failure_share < 0.02
    few = influences(("a", "b"), u, roll, (np.arange(512) < 19).astype(float))
    assert np.isnan(few[0].failure_share) and np.isnan(few[0].failure_rank)


# --- the whole -------------------------------------------------------------------------------


def test_a_quantile_maps_through_a_roll_that_goes_one_way(jet):
    """More thrust, shorter roll: the 5 % of ground rolls is the roll with the 95 % of thrust."""
    plan = plan_spread(jet, ["power.static_thrust=20 N..30 N"], 1)
    spread = roll_spread(plan, 2000)
    found = spread.quantiles(ROLL, True)
    knob = knob_of(jet, "power.static_thrust")
    thrusts = np.array([30.0 - 10.0 * q for q in QUANTILES]).reshape(-1, 1)
    exact = roll_rows(variants_of(jet, [knob], thrusts))[ROLL]
    assert found == pytest.approx(exact, rel=1e-3)
    influence = spread.influences()[0]
    assert influence.roll_rank == pytest.approx(-1.0) and influence.roll_share > 0.99


def test_a_chance_is_the_place_where_it_turns(jet):
    """The strip ends somewhere in the range of ground rolls: the chance is read off the thrust."""
    knob = knob_of(jet, "power.static_thrust")
    thrusts = np.linspace(20.0, 30.0, 41).reshape(-1, 1)
    rolls = roll_rows(variants_of(jet, [knob], thrusts))[ROLL]
    turn = 23.7
    short = with_overrides(jet, [f"strip.length={np.interp(turn, thrusts[:, 0], rolls)} m"])
    spread = roll_spread(plan_spread(short, ["power.static_thrust=20 N..30 N"], 3), 1000)
    chance = spread.chance("airborne")
    assert chance.share == pytest.approx(0.63, abs=0.005)  # (30 - 23.7)/10; random draws: 0.015
    assert chance.low < 0.63 < chance.high
    assert spread.chance("airborne-too-late").share == pytest.approx(0.37, abs=0.005)


def test_chances_scatter_less_than_those_of_chance(jet):
    """Over seeds, against the binomial: the interval is on the safe side. 0.44 of it measured."""
    short = with_overrides(jet, ["strip.length=13 m"])
    texts = ["power.static_thrust=+/- 6 %", "air.headwind=+/- 1 m/s", "aeroplane.mass=+/- 3 %"]
    found = [roll_spread(plan_spread(short, texts, seed), 128) for seed in range(20)]
    chances = [one.chance("airborne") for one in found]
    shares = np.array([one.share for one in chances])
    middle = float(shares.mean())
    assert 0.3 < middle < 0.8
    assert shares.std() < 0.7 * np.sqrt(middle * (1 - middle) / 128)
    assert all(one.low <= middle <= one.high for one in chances)


def test_run_17_is_the_same_alone_in_a_batch_and_in_workers(meadow):
    plan = plan_spread(meadow, (), 1)
    many = roll_spread(plan, 60)
    for count, chunk in ((17, 1024), (20, 3)):
        few = roll_spread(plan_spread(meadow, (), 1), count, chunk=chunk)
        assert np.array_equal(few.values, many.values[:count])
        assert np.array_equal(few.rows.values, many.rows.values[:, :count], equal_nan=True)
    with worker_pool(2) as pool:
        sent = roll_spread(plan, 60, executor=pool, chunk=16)
    assert spread_csv(sent) == spread_csv(many)
    alone = roll_rows(variants_of(meadow, [v.knob for v in plan.varied], many.values[16:17]))
    assert alone[ROLL][0] == pytest.approx(many.rows[ROLL][16], rel=1e-6)  # its own lattice


def test_seeds_and_orders(jet):
    texts = ["power.static_thrust=+/- 5 %", "air.headwind=0..2 m/s"]
    one = roll_spread(plan_spread(jet, texts, 1), 30)
    turned = roll_spread(plan_spread(jet, texts[::-1], 1), 30)
    other = roll_spread(plan_spread(jet, texts, 2), 30)
    assert np.array_equal(one.rows.values, turned.rows.values, equal_nan=True)
    assert not np.array_equal(one.values, other.values)


def test_until_ends_early_at_a_doubling_and_keeps_the_numbers(jet):
    plan = plan_spread(jet, ["power.static_thrust=+/- 5 %"], 1)
    early = roll_spread(plan, 3000, until=0.02)
    full = roll_spread(plan, 3000)
    assert early.stopped and len(early.rows) == 256 and early.rows.complete
    assert early.chance("airborne").half_width <= 0.02
    assert np.array_equal(early.rows.values, full.rows.values[:, :256], equal_nan=True)
    last = roll_spread(plan, 300, until=1e-6)
    assert not last.stopped and len(last.rows) == 300
    assert np.array_equal(last.rows.values, full.rows.values[:, :300], equal_nan=True)
    assert last.rows.lanes.tolist() == list(range(300))


def test_refused_draws_are_counted_apart(jet):
    """A normal distribution that reaches below zero thrust, which no scenario takes."""
    plan = plan_spread(jet, ["aeroplane.mass=2 kg..6 kg"], 1)
    spread = roll_spread(plan, 50)
    assert spread.counted == 50
    bad = plan_spread(jet, ["power.static_thrust=1 N sd 2 N"], 1)
    found = roll_spread(bad, 200)
    refused = 200 - found.counted
    assert 0 < refused < 200
    # below zero thrust half a deviation down: 30.9 % of a normal one
    assert refused / 200 == pytest.approx(norm.cdf(-0.5), abs=0.02)
    total = sum(found.rows.counts().values()) - refused
    assert total == found.counted
    assert sum(c["share"] for c in spread_document(found)["chances"].values()) == pytest.approx(1)
    assert len(spread_csv(found).splitlines()) == 201


def test_ctrl_c_leaves_what_is_finished(jet):
    plan = plan_spread(jet, ["power.static_thrust=+/- 5 %"], 1)

    def stop(done, total):
        assert total == 100
        if done >= 40:
            raise KeyboardInterrupt

    part = roll_spread(plan, 100, chunk=20, progress=stop)
    assert not part.rows.complete and len(part.rows) == 40
    lines = spread_csv(part).splitlines()
    assert len(lines) == 42 and "incomplete: 40 of 100" in lines[-1]
    full = roll_spread(plan, 100)
    assert np.array_equal(part.rows.values, full.rows.values[:, :40], equal_nan=True)


def test_the_usual_is_marked_as_judgement_and_fits_the_scenario(meadow, jet):
    plan = plan_spread(meadow, (), 1)
    assert all(one.judgement for one in plan.varied) and not plan.left
    spans = {v.knob.key: (v.distribution.low, v.distribution.high) for v in plan.varied}
    assert spans["power.static_thrust"] == pytest.approx((20.37, 21.63))
    assert spans["aeroplane.cg.station"] == pytest.approx((0.547, 0.553))
    assert spans["pilot.pull_at"] == pytest.approx((18.0, 22.0))
    assert spans["strip.surface"] == (-1.0, 1.0)
    given = plan_spread(jet, (), 1)
    keys = [one.knob.key for one in given.varied]
    assert "strip.surface" not in keys  # its resistance is one number
    assert any(line.startswith("strip.surface") for line in given.left)
    electric = plan_spread(sim.load_scenario("workshop"), (), 1)
    stepped = [one for one in electric.varied if one.steps]
    assert [one.knob.key for one in stepped] == ["power.bench.thrust"]
    column = [one.knob.key for one in electric.varied].index("power.bench.thrust")
    assert len(np.unique(electric.values(0, 300)[:, column])) == stepped[0].steps


def test_an_estimated_tail_limit_is_varied_about_its_estimate(meadow):
    tree = {**meadow.raw, "aeroplane": {**meadow.raw["aeroplane"]}}
    tree["aeroplane"]["tail"] = {**tree["aeroplane"]["tail"], "section": {"thickness": "6 %"}}
    scenario = parse_scenario(tree)
    key = "aeroplane.tail.section.max_lift"
    estimate = next(e.value for e in prepare(scenario).estimates if e.key == key)
    found = {v.knob.key: v.distribution for v in plan_spread(scenario, (), 1).varied}[key]
    assert (found.low, found.high) == pytest.approx((0.85 * estimate, 1.15 * estimate))


def test_whole_numbers_stay_whole():
    plan = plan_spread(sim.load_scenario("workshop"), ["power.battery.cells=5..6"], 1)
    assert set(np.unique(plan.values(0, 40))) == {5.0, 6.0}


def test_what_cannot_be(jet):
    with pytest.raises(ScenarioError, match="once"):
        plan_spread(jet, ["aeroplane.mass=+/- 1 %", "aeroplane.mass=+/- 2 %"], 1)
    with pytest.raises(ScenarioError, match=r"strip\.surface"):
        plan_spread(jet, ["strip.surface=low..high"], 1)
    plan = plan_spread(jet, ["aeroplane.mass=+/- 1 %"], 1)
    for count, until in ((0, None), (10, 0.0), (10, 1.0), (2_000_000, None)):
        with pytest.raises(ValueError, match="rolls"):
            roll_spread(plan, count, until=until)


@pytest.mark.parametrize(
    ("count", "total", "words"),
    [(9000, 10000, "About 9 of 10"), (8950, 10000, "About 9 of 10"),
     (9700, 10000, "About 97 of 100"),
     (9929, 10000, "9929 of 10000"), (0, 50, "None of 50"), (50, 50, "All 50"),
     (1000, 10000, "About 1 of 10 rolls is"), (4980, 10000, "About 5 of 10"),
     (1, 3, "1 of 3 rolls is")],
)  # fmt: skip
def test_chances_in_plain_words(count, total, words):
    assert of_ten(count, total).startswith(words)
