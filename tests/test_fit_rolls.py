"""Keys from measured rolls: closed forms, synthetic rolls whose truth is known, and refusals."""

import numpy as np
import pytest

from sim.prepare import prepare
from sim.roll.block import batch_of
from sim.roll.quasi_static import one_block, rolling_forces
from sim.roll.result import simulate_setup
from sim.scenario import load_scenario, with_changes, with_overrides
from sim.scenario.measured_rolls import SEEN, MeasuredRoll, SpeedLog
from sim.scenario.measurements import MeasurementError
from sim.scenario.problems import ScenarioError
from sim.strip.reading import Label, Measured
from sim.study.fit_rolls import fit_rolls, on_their_ground, starts_for
from sim.study.least_squares import NoStart, fit_all
from sim.study.priors import priors_of
from sim.study.roll_model import _continued

DEVIATIONS = {"distance": 1.0, "time": 0.15, "ground_speed": 0.4}


@pytest.fixture(scope="module")
def jet():
    return load_scenario("meadow-jet")


def seen_in(scenario, names, deviations=DEVIATIONS):
    """What somebody without errors would have written down of a roll of this scenario."""
    result = simulate_setup(prepare(scenario).setup)
    return {
        name: Measured(
            getattr(result.event(SEEN[name].event), SEEN[name].column),
            deviations[SEEN[name].column],
        )
        for name in names
    }


def roll_of(jet, names, changes=(), overrides=(), truth=()):
    laid = with_changes(with_overrides(jet, [*truth, *overrides]), changes)
    return MeasuredRoll(Label("roll[1]", {}), seen_in(laid, names), changes, overrides)


def linear(matrix):
    return lambda z: z @ matrix.T


def test_a_linear_model_gives_the_textbook_answer():
    # two unknowns with priors of mean 0 and deviation 1: (A'A + I)^-1 A'y, worked by hand:
    # A = [[1, 0], [1, 1]], y = [3, 5] -> A'A + I = [[3, 1], [1, 2]], A'y = [8, 5]
    # -> z = [[2, -1], [-1, 3]]/5 [8, 5] = [2.2, 1.4]
    matrix = np.array([[1.0, 0.0], [1.0, 1.0]])
    fitted = fit_all(linear(matrix), np.array([[3.0, 5.0]]), np.ones(2), np.zeros((1, 2)))
    assert fitted.values[0] == pytest.approx([2.2, 1.4], abs=1e-9)
    expected = np.array([[2.0, -1.0], [-1.0, 3.0]]) / 5.0
    assert fitted.covariance[0] == pytest.approx(expected, abs=1e-9)
    assert fitted.settled.all()


def test_many_sets_give_what_each_gives_alone():
    def model(z):
        return np.stack([np.exp(0.5 * z[:, 0]), z[:, 0] * z[:, 1], z[:, 1] ** 3], axis=1)

    measured = np.array([[1.5, 0.4, 0.2], [0.7, -0.3, 0.9], [2.5, 1.0, 0.1]])
    starts = np.array([[0.0, 0.0], [0.5, 0.5]])
    together = fit_all(model, measured, np.full(3, 0.1), starts)
    for row, values in zip(measured, together.values, strict=True):
        alone = fit_all(model, row[None], np.full(3, 0.1), starts)
        assert alone.values[0] == pytest.approx(values, abs=2e-3)


def test_it_begins_where_everything_measured_happens():
    def model(z):
        return np.where(z[:, :1] > 0.3, z[:, :1], np.nan)

    starts = np.array([[0.0], [0.6]])
    found = fit_all(model, np.array([[0.8]]), np.array([0.01]), starts)
    assert found.values[0, 0] == pytest.approx(0.8, abs=1e-3)
    with pytest.raises(NoStart):
        fit_all(model, np.array([[0.8]]), np.array([0.01]), starts[:1])


def test_rolls_without_errors_give_the_truth_back(jet):
    truth = ("strip.rolling_resistance=0.155", "power.static_thrust=22 N")
    names = ("nose_up_distance", "lift_off_distance", "lift_off_time", "lift_off_speed")
    few = {"distance": 0.02, "time": 0.002, "ground_speed": 0.01}
    rolls = []
    for wind in ("0 m/s", "2 m/s"):
        day = (f"air.headwind={wind}",)
        wheel = "strip.measured_with=62 mm"  # the aeroplane's own: no law of sizes between
        laid = with_overrides(jet, [*truth, *day, wheel])
        rolls.append(MeasuredRoll(Label("roll", {}), seen_in(laid, names, few), (), day))
    found = fit_rolls(jet, rolls)
    assert found.settled
    resistance, thrust = found.keys
    laid = prepare(with_overrides(jet, [*truth, "strip.measured_with=62 mm"])).setup.parameters
    scaled = with_overrides(
        jet,
        [f"strip.rolling_resistance={resistance.value.value}",
         f"strip.measured_with={found.measured_with} m"],
    )  # fmt: skip
    # the priors pull along the line where more thrust and more resistance give nearly the same
    # roll: within the uncertainty told, which is a twentieth of what it was
    gap = prepare(scaled).setup.parameters.main_friction - laid.main_friction
    assert abs(gap) < 1.5 * resistance.value.deviation
    assert abs(thrust.value.value - 22.0) < 1.5 * thrust.value.deviation
    assert resistance.narrowed < 0.1 and thrust.narrowed < 0.15
    assert found.chi_square < 10.0  # the priors' own part: the truth lies off their middle


def test_changes_and_the_day_are_those_of_each_roll():
    workshop = load_scenario("workshop")
    names = ("lift_off_distance",)
    plain = MeasuredRoll(Label("roll[1]", {}), seen_in(workshop, names))
    longer = with_changes(workshop, ("long-nose-leg",))
    changed = MeasuredRoll(Label("roll[2]", {}), seen_in(longer, names), ("long-nose-leg",))
    found = fit_rolls(workshop, [plain, changed], ["strip.rolling_resistance"])
    # nothing was off, so nothing moves, before or after
    for number in found.numbers:
        assert number.before == pytest.approx(number.wanted.measured.value, rel=1e-3)
    assert found.keys[0].value.value == pytest.approx(found.keys[0].prior.believed.value, rel=1e-3)


def test_place_and_time_alone_do_not_tell_thrust_from_grip(jet):
    found = fit_rolls(jet, [roll_of(jet, ("nose_up_distance", "lift_off_distance"))])
    ((one, other, correlation),) = found.not_told_apart()
    assert {one.prior.knob.key, other.prior.knob.key} == {
        "strip.rolling_resistance",
        "power.static_thrust",
    }
    assert correlation > 0.9
    assert not found.keys[1].determinable


def logged(jet, truth, start=3.0, noise=0.0):
    trace = simulate_setup(prepare(with_overrides(jet, truth)).setup).trace
    times = np.arange(0.0, 5.0, 0.1)
    rng = np.random.default_rng(5)
    speeds = np.interp(times, trace["time"], trace["ground_speed"]) + noise * rng.normal(size=50)
    return SpeedLog("log.csv", times + start, speeds, False, 0.3, Measured(start + 0.2, 0.3))


def test_a_speed_log_finds_its_own_start(jet):
    log = logged(jet, ["power.static_thrust=22.5 N"])
    roll = MeasuredRoll(Label("roll", {}), {}, (), (), log)
    found = fit_rolls(jet, [roll], ["power.static_thrust=21 N +/- 4 N"])
    assert found.keys[0].value.value == pytest.approx(22.5, abs=0.15)
    assert found.point[-1] * 0.3 == pytest.approx(-0.2, abs=0.03)  # let go 0.2 s before it was said


def test_a_log_in_another_unit_than_it_says_is_refused(jet):
    log = logged(jet, [])
    knots = SpeedLog(log.name, log.times, log.speeds * 3.6, False, 0.3, log.start)
    with pytest.raises(MeasurementError, match="unit of its speed"):
        fit_rolls(jet, [MeasuredRoll(Label("roll[1]", {}), {}, (), (), knots)])


def test_what_never_happens_is_refused_by_name(jet):
    seen = {"lift_off_distance": Measured(40.0, 1.0)}
    never = ("power.static_thrust=8 N",)
    with pytest.raises(MeasurementError, match="lift_off_distance"):
        fit_rolls(jet, [MeasuredRoll(Label("roll[1]", {}), seen, (), never)], ["aeroplane.mass"])


def test_one_resistance_is_not_that_of_two_surfaces(jet):
    seen = {"lift_off_distance": Measured(40.0, 1.0)}
    surfaces = [("strip.surface=pavement",), ("strip.surface=wet grass",)]
    rolls = [MeasuredRoll(Label("roll", {}), seen, (), day) for day in surfaces]
    with pytest.raises(MeasurementError, match="several surfaces"):
        fit_rolls(jet, rolls)


def test_keys_that_cannot_be_fitted_are_refused(jet):
    prepared = prepare(jet)
    for texts, words in (
        (["aeroplane.gear.main.station"], "how well is it known"),
        (["aeroplane.mass", "aeroplane.mass=3 kg +/- 0.1 kg"], "each key once"),
        (["aeroplane.drag.zero_lifts=0.03 +/- 0.01"], "zero_lift"),
    ):
        with pytest.raises(ScenarioError, match=words):
            priors_of(jet, prepared, texts)


TRIALS = 100


def test_one_standard_deviation_covers_the_truth_as_often_as_it_says(jet):
    """Within one standard deviation 55 to 80 times of 100, and under half the prior's width.

    Truths are drawn from the priors, measurements from their uncertainties; all fits run at once.
    Measured when written: 64, 58 and 73 of 100, widths 0.44 to 0.49, 0.49 to 0.62 and 0.97 of the
    priors'. Between 55 and 80 lie 99 of 100 counts of a true 68 in 100 (binomial, by hand).
    """
    names = ("nose_up_distance", "nose_up_time", "nose_up_speed", "lift_off_distance",
             "lift_off_time", "lift_off_speed")  # fmt: skip
    days = [("air.headwind=0 m/s",), ("air.headwind=2 m/s",)]
    keys = ["strip.rolling_resistance", "power.static_thrust", "aeroplane.mass=3.1 kg +/- 0.05 kg"]
    rolls = [roll_of(jet, names, (), day) for day in days]
    called = fit_rolls(jet, rolls, keys)
    determinable = [key.determinable for key in called.keys]
    assert determinable == [True, False, False]
    model, wanted = called.model, called.model.wanted
    rng = np.random.default_rng(1)
    truth = rng.normal(size=(TRIALS, model.unknowns))
    deviations = np.array([w.measured.deviation for w in wanted])
    shown = model(truth)
    assert np.isfinite(shown).all()
    fitted = fit_all(model, shown + deviations * rng.normal(size=shown.shape), deviations,
                     starts_for(model)[:5])  # fmt: skip
    spread = np.sqrt(np.diagonal(fitted.covariance, axis1=1, axis2=2))
    inside = (np.abs(fitted.values - truth) < spread).sum(axis=0)
    assert fitted.settled.all()
    assert ((inside >= 55) & (inside <= 80)).all(), inside
    assert spread[:, determinable].max() < 0.5


# --- effectiveness of the tail ------------------------------------------------------------------


def test_half_the_effectiveness_is_half_of_what_the_elevator_does(jet):
    half = prepare(with_overrides(jet, ["aeroplane.tail.effectiveness=0.5"])).setup
    whole = prepare(jet).setup
    assert half.parameters.elevator_effect == 0.5 * whole.parameters.elevator_effect == 0.5
    # before the fade a given part of the throw turns the flow half as far, the rest as before
    blocks = [one_block(batch_of([setup]), np.array([0])) for setup in (half, whole)]
    lifts = [
        [float(np.ravel(rolling_forces(b, 15.0, np.array([angle])).air.across)[0])
         for angle in (0.0, -0.1, -0.05)]
        for b in blocks
    ]  # fmt: skip
    assert lifts[0][0] == lifts[1][0]
    assert lifts[0][1] == pytest.approx(lifts[1][2]) != pytest.approx(lifts[1][1])


def test_the_effectiveness_is_found_where_the_nose_comes_up(jet):
    truth = ("aeroplane.tail.effectiveness=0.85",)
    rolls = [roll_of(jet, ("nose_up_distance",), (), (), truth) for _ in range(2)]
    found = fit_rolls(jet, rolls, ["aeroplane.tail.effectiveness"])
    (key,) = found.keys
    assert abs(key.value.value - 0.85) < key.value.deviation < 0.1 and key.determinable
    assert key.prior.believed.value == 1.0


# --- the ground of the rolls --------------------------------------------------------------------


def on(surface):
    day = (f"strip.surface={surface}",) if surface else ()
    return MeasuredRoll(Label("roll", {}), {"lift_off_distance": Measured(50.0, 1.0)}, (), day)


def test_a_surface_all_rolls_name_is_what_is_believed(jet):
    plain, same = on_their_ground(jet, [on(None), on("mown grass")])
    assert same is jet and all(not roll.overrides for roll in plain)  # it is the scenario's own
    plain, ground = on_their_ground(jet, [on("wet grass"), on("wet grass")])
    assert ground.strip.surface == "wet grass" and all(not roll.overrides for roll in plain)
    key = ["strip.rolling_resistance"]
    (wet,), (own,) = (priors_of(one, prepare(one), key) for one in (ground, jet))
    assert wet.believed.value > own.believed.value + 0.02
    plain, ground = on_their_ground(jet, [on("wet grass"), on(None)])
    assert ground is jet and plain[0].overrides


def test_changes_that_do_not_go_are_told_by_roll(jet):
    seen = {"lift_off_distance": Measured(40.0, 1.0)}
    rolls = [MeasuredRoll(Label(name, {}, i), seen, (f"no-{name}",)) for i, name in
             enumerate(("roll[1]", "roll[2]"), 4)]  # fmt: skip
    with pytest.raises(MeasurementError) as wrong:
        fit_rolls(jet, rolls, ["strip.rolling_resistance"])
    told = str(wrong.value)
    assert "roll[1]" in told and "no-roll[2]" in told and "line 5" in told


def test_speeds_after_the_simulated_end_go_on_as_it_ended():
    times = np.linspace(0.0, 2.0, 21)
    going = _continued(np.array([1.0, 2.0, 2.5]), times, 3.0 * times)
    assert going == pytest.approx([3.0, 6.0, 7.5])
