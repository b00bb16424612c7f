"""`wheelsoff fit` with measured rolls: the report, the document, the picture, the scenario."""

import json
import re
from io import StringIO
from pathlib import Path

import numpy as np
import pytest
from matplotlib.image import imread
from rich.console import Console

from sim.cli import main
from sim.prepare import prepare
from sim.roll.result import simulate_setup
from sim.scenario import load_scenario, with_changes, with_overrides
from sim.scenario.measured_rolls import SEEN
from sim.scenario.measurement_files import read_measurements
from sim.show.figures.roll_fit import roll_fit_figure
from sim.show.roll_fit_document import roll_fit_document, roll_fitted_scenario
from sim.show.terminal_roll_fit import print_roll_fit
from sim.show.words_roll_fit import agreement_text, caution_texts, figures, pair_texts
from sim.strip.reading import Label, Measured
from sim.strip.tow import TowReading
from sim.study.fit import fit_grip
from sim.study.fit_rolls import FittedNumber, fit_rolls

SHIPPED = Path(__file__).parents[1] / "scenarios"
FIRST, SECOND = SHIPPED / "first-day.csv", SHIPPED / "second-day.csv"
TRUTH = {"strip.rolling_resistance": 0.15, "power.bench.thrust": 20.6}
"""Both shipped days are not measured: they are rolls of the workshop with these two keys, with
random errors of the usual uncertainties on every number (numpy default_rng(7)), rounded as people
read; the log with 0.25 m/s, let go at 122.87 s."""


@pytest.fixture(scope="module")
def workshop():
    return load_scenario("workshop")


@pytest.fixture(scope="module")
def first(workshop):
    return fit_rolls(workshop, read_measurements(FIRST))


@pytest.fixture(scope="module")
def second(workshop):
    """With the tow tests of the day as what was believed."""
    found = read_measurements(SECOND)
    tows = [one for one in found if isinstance(one, TowReading)]
    rolls = [one for one in found if not isinstance(one, TowReading)]
    grip = fit_grip(prepare(workshop), tows).resistance
    return fit_rolls(workshop, rolls, (), grip), grip


def call(capsys, *words):
    code = main([str(word) for word in words])
    captured = capsys.readouterr()
    return code, captured.out, captured.err


def told(fit, system="si", grip=None):
    console = Console(file=StringIO(), width=80, color_system=None)
    print_roll_fit(fit, "day.csv", grip, console, system)
    return console.file.getvalue()


# --- the shipped days ---------------------------------------------------------------------------


def test_the_days_give_their_truth_back(first, second):
    for fit in (first, second[0]):
        assert fit.settled and str(fit.agreement) == "agree"
        for key in fit.keys:
            off = key.value.value - TRUTH[key.prior.knob.key]
            assert abs(off) < 2.0 * key.value.deviation
    thrust = [next(k for k in fit.keys if "thrust" in k.prior.knob.key) for fit in
              (first, second[0])]  # fmt: skip
    assert thrust[1].value.deviation < 0.6 * thrust[0].value.deviation  # a log, and tow tests
    assert second[0].keys[0].prior.believed == second[1]


def test_the_log_of_the_second_day_finds_when_it_was_let_go(second):
    fit = second[0]
    (roll,) = [roll for roll in fit.rolls if roll.log]
    late = fit.point[-1] * roll.log.start.deviation
    assert roll.log.start.value + late == pytest.approx(122.87, abs=0.1)


# --- the report ---------------------------------------------------------------------------------


def test_the_report_tells_the_result_first(first):
    lines = told(first).split("\n")
    assert max(map(len, lines)) <= 80
    rows = {line.split()[0]: line for line in lines[3:6] if line}
    assert re.search(r"0\.139 \+/- 0\.029 +0\.1574 \+/- 0\.0085 clearly",
                     rows["strip.rolling_resistance"])  # fmt: skip
    assert "20.92 +/- 0.38 N clearly" in rows["power.bench.thrust"]
    words = " ".join(" ".join(lines).split())
    for text in (
        "not told apart (correlation 0.95): more of one with more of the other",
        "What would tell: tow tests in the same file; the bench read again",
        "a speed log of the whole roll",
        "agree with the simulated ones",
        "row 6 lift off time 4.50 0.20 4.37 4.78 s -1.4",
        "strip.rolling_resistance with power.bench.thrust: 0.95",
        "+/- 10 % (judgement)",
        "the nose wheel leaves the ground",
        "paces and eyes 1.0 m or 3 %, clock 0.2 s, speed 5 %, each speed of a log 0.4 m/s",
    ):
        assert text in words, text


def test_what_the_tow_tests_say_is_told_and_not_asked_for_again(second):
    fit, grip = second
    words = " ".join(told(fit, grip=grip).split())
    assert "Tow tests and coast-downs alone: rolling resistance 0.1523 +/- 0.0057." in words
    assert "strip.rolling_resistance before: tow tests and coast-downs" in words
    assert "30 speeds of the log" in words and "hardly" in words
    assert "Careful" not in words and "not used" not in words
    alone = replaced(fit, keys=fit.keys[1:], correlation=np.eye(1))
    assert "It is not used: rolling resistance is not among" in " ".join(
        told(alone, grip=grip).split()
    )


def replaced(fit, **changes):
    return type(fit)(**{**{n: getattr(fit, n) for n in fit.__dataclass_fields__}, **changes})


def test_odd_numbers_far_values_and_a_search_without_end_are_pointed_out(first):
    bad = first.numbers[0]
    shifted = FittedNumber(bad.wanted, bad.before, bad.fitted - 3.0 * bad.wanted.measured.deviation)
    fit = replaced(first, numbers=(shifted, *first.numbers[1:]), settled=False)
    assert "Look at row 2 nose up distance." in agreement_text(fit)
    assert "3.2 !" in told(fit) and "!" not in told(first)
    assert any("did not settle" in text for text in caution_texts(fit))
    key = first.keys[0]
    believed = Measured(key.value.value - 3.0 * 0.01, 0.01)
    far = type(key)(type(key.prior)(key.prior.knob, believed, "x"), key.value)
    (text,) = caution_texts(replaced(first, keys=(far, first.keys[1])))
    assert "3.0 standard deviations from what was believed" in text
    believed = Measured(key.value.value + 5.0 * 0.01, 0.01)
    farthest = type(key)(type(key.prior)(key.prior.knob, believed, "x"), key.value)
    (text,) = caution_texts(replaced(first, keys=(farthest, first.keys[1])))
    assert "as far as a fit lets it, 5 standard deviations" in text


def test_keys_against_each_other_say_less_of_the_other(first):
    (text,) = pair_texts(replaced(first, correlation=-first.correlation))
    assert "correlation -0.95): more of one with less of the other" in text
    assert not list(pair_texts(replaced(first, correlation=0.5 * first.correlation)))


def test_two_figures_of_an_uncertainty():
    assert [figures(x) for x in (0.0085, 0.38, 1.2, 12.0, 340.0)] == [4, 2, 1, 0, 0]


def test_imperial_units_reach_the_tables(first):
    words = told(first, "imperial")
    assert "lbf clearly" in words and " ft " in words and " mph " in words
    assert not re.search(r"[0-9] (N|m|m/s)\b", words)


def test_the_document_is_plain_and_tells_the_same(first):
    document = json.loads(json.dumps(roll_fit_document(first, "day.csv", None), allow_nan=False))
    thrust = document["keys"][1]
    assert (thrust["key"], thrust["unit"], thrust["determinable"]) == (
        "power.bench.thrust", "N", True,
    )  # fmt: skip
    assert thrust["fitted"]["value"] == first.keys[1].value.value
    assert document["not_told_apart"][0][2] == pytest.approx(first.correlation[0, 1])
    assert len(document["numbers"]) == document["expected_chi_square"] == 17
    squares = sum(n["residual_in_standard_deviations"] ** 2 for n in document["numbers"])
    priors = sum(
        ((k["fitted"]["value"] - k["believed"]["value"]) / k["believed"]["standard_deviation"]) ** 2
        for k in document["keys"]
    )
    assert document["chi_square"] == pytest.approx(squares + priors)


# --- the scenario -------------------------------------------------------------------------------


def test_the_scenario_written_rolls_as_the_fit_does(first, tmp_path):
    path = tmp_path / "fitted.toml"
    path.write_text(roll_fitted_scenario(first, "workshop", "day.csv", path))
    new = load_scenario(path)
    resistance = new.strip.rolling_resistance
    value = first.keys[0].value
    assert resistance.typical == pytest.approx(value.value, abs=1e-4)
    assert resistance.high - resistance.low == pytest.approx(4.0 * value.deviation, abs=2e-4)
    assert new.power.bench.thrust == pytest.approx(first.keys[1].value.value, abs=1e-3)
    roll = first.rolls[3]  # with its own change: the fitted keys hold for that too
    result = simulate_setup(
        prepare(with_changes(with_overrides(new, roll.overrides), roll.changes)).setup
    )
    for number in first.numbers:
        if number.wanted.roll == 3:
            seen = SEEN[number.wanted.name]
            shown = getattr(result.event(seen.event), seen.column)
            assert shown == pytest.approx(number.fitted, rel=2e-3)


# --- the picture --------------------------------------------------------------------------------


def marks(axes, symbol):
    return [line for line in axes.lines if line.get_marker() == symbol and len(line.get_xdata())]


def test_the_picture_shows_every_number_once(first):
    axes = roll_fit_figure(first).axes
    names = [[n for n in first.numbers if n.wanted.name.endswith(kind)] for kind in
             ("distance", "time", "speed")]  # fmt: skip
    for one, numbers in zip(axes, names, strict=True):
        for symbol, values in (
            ("o", [n.wanted.measured.value for n in numbers]),
            ("D", [n.before for n in numbers]),
            ("s", [n.fitted for n in numbers]),
        ):
            (line,) = marks(one, symbol)
            assert np.asarray(line.get_xdata()) == pytest.approx(values)
        segments = one.collections[0].get_segments()
        widths = [float(end[0] - start[0]) for start, end in segments]
        assert widths == pytest.approx([2.0 * n.wanted.measured.deviation for n in numbers])
        texts = [text.get_text() for text in one.get_yticklabels()]
        assert len(texts) == len(numbers) and texts[0].startswith(
            f"row {numbers[0].wanted.roll + 2}, "
        )
    assert [one.get_xlabel() for one in axes] == [
        "place [m]", "time since it was let go [s]", "ground speed [m/s]",
    ]  # fmt: skip


def test_a_log_has_a_panel_and_nothing_lies_over_anything(second):
    figure = roll_fit_figure(second[0], "imperial")
    log = figure.axes[-1]
    speeds = [n for n in second[0].numbers if n.wanted.name == "speed"]
    assert np.asarray(log.lines[-1].get_ydata()) == pytest.approx(
        [n.fitted / 0.44704 for n in speeds]
    )
    assert "second-day-log.csv" in log.get_xlabel() and "[mph]" in log.get_ylabel()
    figure.canvas.draw()
    boxes = [axes.get_tightbbox() for axes in figure.axes]
    boxes += [text.get_window_extent() for text in figure.texts]
    boxes += [legend.get_window_extent() for legend in figure.legends]
    for i, one in enumerate(boxes):
        assert one.x0 >= 0 and one.x1 <= figure.bbox.width and one.y0 >= 0
        assert not any(one.overlaps(other) for other in boxes[i + 1 :]), i


# --- the command --------------------------------------------------------------------------------

ROLL = """
[[roll]]
nose_up_distance = "45 m"
lift_off_distance = "52 m"
lift_off_time = "5.4 s"
"""


@pytest.fixture
def day(tmp_path):
    path = tmp_path / "day.toml"
    path.write_text(ROLL)
    return path


def test_one_call_writes_scenario_and_picture_and_prints_the_document(capsys, day, tmp_path):
    target, plots = tmp_path / "new.toml", tmp_path / "pictures"
    words = ("fit", "meadow-jet", day, "--key", "strip.rolling_resistance", "--json")
    code, out, err = call(capsys, *words, "-o", target, "--plots", plots)
    assert code == 0 and json.loads(out)["keys"][0]["determinable"]
    assert err.count("wrote") == 2 and imread(plots / "meadow-jet-fit.png").shape[1] == 1008
    assert load_scenario(target).strip.rolling_resistance.typical == pytest.approx(
        json.loads(out)["keys"][0]["fitted"]["value"], abs=1e-4
    )
    code, out, err = call(capsys, *words, "-o", target)
    assert code == 2 and out == "" and "--force" in err
    code, out, err = call(capsys, *words, "-o", day, "--force")
    assert code == 2 and out == "" and "worked out from" in err and day.read_text() == ROLL


def test_the_report_of_a_key_with_its_own_tolerance(capsys, day):
    key = "power.static_thrust=21 N +/- 1 N"
    code, out, _ = call(capsys, "fit", "meadow-jet", day, "--key", key)
    assert code == 0 and "Fitted to 1 roll of day.toml" in out
    assert "21.00 +/- 0.58 N" in out  # a limit of 1 N either way: 1/sqrt(3)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--key", "aeroplane.mas"), "nearest: aeroplane.mass"),
        (("--key", "aeroplane.mass", "--key", "aeroplane.mass=3 kg +/- 1 kg"), "each key once"),
        (("--key", "aeroplane.gear.main.station"), "how well is it known"),
        (("--set", "pilot.pull=7"), "cannot be used for a fit"),
    ],
)
def test_what_cannot_be_fitted_is_refused(capsys, day, words, said):
    code, out, err = call(capsys, "fit", "meadow-jet", day, *words)
    assert code == 2 and out == "" and said in err


def test_without_rolls_there_are_no_keys_and_no_picture(capsys, tmp_path):
    path = tmp_path / "tow.csv"
    path.write_text("kind,pull [N]\ntow,4\n")
    for words in (("--key", "aeroplane.mass"), ("--plots", tmp_path / "p")):
        code, out, err = call(capsys, "fit", "meadow-jet", path, *words)
        assert code == 2 and out == "" and "no rolls" in err


def test_an_unknown_change_is_told_with_its_roll(capsys, tmp_path):
    path = tmp_path / "day.csv"
    path.write_text("kind,lift off time [s],changes\nroll,4.5,mains-forwards\n")
    code, _, err = call(capsys, "fit", "workshop", path)
    assert code == 2 and "row 2" in err and "nearest: mains-forward" in err
    assert err.startswith("These measurements cannot be used")


def test_labels_say_where_a_roll_stands(first):
    assert isinstance(first.rolls[0].label, Label) and first.rolls[0].label.line == 2
