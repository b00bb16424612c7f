"""Pictures of vary, find and the gear window: everything that was rolled is in them."""

import numpy as np
import pytest
from matplotlib.patches import PathPatch, Rectangle

from sim.scenario import load_scenario
from sim.show.figures.curve import curve_figure, drawn_as_lines
from sim.show.figures.find import find_figure
from sim.show.figures.gear_window import gear_window_figure
from sim.show.figures.map import map_figure
from sim.show.figures.save import picture_bytes
from sim.show.figures.verdict_marks import MARKS
from sim.study.condition import condition_of
from sim.study.find import search
from sim.study.gear_window import gear_window
from sim.study.knobs import knob_of
from sim.study.outcome_columns import column_of
from sim.study.rows import GOOD_WORD, REFUSED_WORD, VERDICTS
from sim.study.vary import ROLL, Vary, roll_vary

BOOK, JET = load_scenario("textbook-rotation"), load_scenario("meadow-jet")
THRUST = "power.static_thrust=1 N:31 N:16"
DRAG = "strip.rolling_resistance=0.02,0.1,0.2,0.5"


@pytest.fixture(scope="module")
def curve() -> Vary:
    """Some do not move, some come too late."""
    vary = roll_vary(BOOK, [THRUST])
    assert {"does-not-move", GOOD_WORD} < set(vary.rows.counts())
    return vary


def marks_of(axes, symbol: str) -> int:
    return sum(len(line.get_xdata()) for line in axes.lines if line.get_marker() == symbol)


def texts_of(axes) -> str:
    return " | ".join(text.get_text() for text in axes.texts)


def test_every_failed_roll_stands_in_the_strip_below_by_its_verdict(curve):
    *_, strip = curve_figure(curve).axes
    for word, count in curve.rows.counts().items():
        if word != GOOD_WORD:
            assert f"{word} ({count})" in texts_of(strip)
            assert marks_of(strip, MARKS[word].symbol) == count
    assert marks_of(strip, MARKS[GOOD_WORD].symbol) == 0
    places = np.concatenate(
        [line.get_xdata() for line in strip.lines if line.get_marker() not in ("None", "")]
    )
    failed = [i for i in range(16) if curve.rows.verdict(i) != GOOD_WORD]
    assert sorted(places) == pytest.approx(curve.values[failed, 0])


def test_nothing_is_drawn_where_nothing_was_and_everything_where_it_was(curve):
    rolls, *_ = curve_figure(curve).axes
    line = max(rolls.lines, key=lambda one: len(one.get_xdata()))
    assert np.array_equal(line.get_ydata(), curve.rows[ROLL], equal_nan=True)
    assert np.isnan(line.get_ydata()).any()
    assert "strip ends, 60.0 m" in texts_of(rolls) and "now 25" in texts_of(rolls)
    ends = [one for one in rolls.lines if np.all(np.asarray(one.get_ydata()) == 60.0)]
    assert len(ends) == 1


def test_imperial_units(curve):
    figure = curve_figure(curve, "imperial")
    rolls, strip = figure.axes[0], figure.axes[-1]
    assert "[ft]" in rolls.get_ylabel() and "[lbf]" in strip.get_xlabel()
    line = max(rolls.lines, key=lambda one: len(one.get_xdata()))
    assert line.get_xdata()[0] == pytest.approx(1.0 / 4.4482216)
    assert np.nanmax(line.get_ydata()) == pytest.approx(np.nanmax(curve.rows[ROLL]) / 0.3048)


def test_the_strips_own_length_is_a_slanted_limit():
    rolls, *_ = curve_figure(roll_vary(BOOK, ["strip.length=10 m:60 m:6"])).axes
    assert any(np.array_equal(one.get_xdata(), one.get_ydata()) for one in rolls.lines)
    assert "strip ends, 60" not in texts_of(rolls)


def test_none_lifts_off():
    rolls, *_ = curve_figure(roll_vary(BOOK, ["power.static_thrust=1 N:2 N:3"])).axes
    assert "none of the rolls lifts off" in texts_of(rolls)


def test_few_words_are_lines_many_are_cells():
    few = roll_vary(BOOK, [THRUST, "pilot.pull_at=0 m,5 m/s,3 s"])
    assert drawn_as_lines(few)
    figure = curve_figure(few)
    assert [t.get_text() for t in figure.legends[0].get_texts()] == ["0 m", "5 m/s", "3 s"]
    assert not drawn_as_lines(roll_vary(BOOK, ["power.static_thrust=20 N,25 N", DRAG]))
    words = roll_vary(JET, ["strip.surface=pavement,mown grass", "aeroplane.mass=3 kg,3.5 kg,9 kg"])
    assert drawn_as_lines(words)


def test_every_cell_that_fails_is_hatched_and_named():
    vary = roll_vary(BOOK, [DRAG, THRUST])
    figure = map_figure(vary)
    (axes,) = figure.axes
    patches = [patch for patch in axes.patches if isinstance(patch, PathPatch)]
    by_hatch = {patch.get_hatch(): patch for patch in patches}
    named = [text.get_text() for text in figure.legends[0].get_texts()]
    resistances = sorted({0.02, 0.1, 0.2, 0.5})
    edges = [0.02 - 0.04, 0.06, 0.15, 0.35, 0.65]
    heights = dict(zip(resistances, np.diff(edges), strict=True))
    for word in vary.rows.counts():
        if word == GOOD_WORD:
            continue
        assert word in named
        area = sum(
            2.0 * heights[float(vary.values[i, 0])]
            for i in range(len(vary.rows))
            if vary.rows.verdict(i) == word
        )
        assert area_of(by_hatch[MARKS[word].hatch]) == pytest.approx(area), word
    assert any(text.get_text() == "now" for text in axes.texts)


def area_of(patch: PathPatch) -> float:
    """Sum of the rectangles of a region."""
    corners = patch.get_path().vertices.reshape(-1, 5, 2)
    return float(np.sum(np.prod(corners[:, 2] - corners[:, 0], axis=1)))


def test_the_strips_end_is_the_contour_of_nothing_left():
    vary = roll_vary(BOOK, [DRAG, THRUST])
    (axes,) = map_figure(vary).axes
    assert "strip ends" in texts_of(axes)
    short = roll_vary(
        BOOK, ["strip.rolling_resistance=0.02,0.03,0.04", "power.static_thrust=29 N:31 N:3"]
    )
    (axes,) = map_figure(short).axes
    assert "strip ends" not in texts_of(axes)


def test_words_on_a_map_have_cells_with_numbers():
    many = "strip.surface=pavement,short grass,mown grass,long grass,wet grass"
    vary = roll_vary(JET, [many, "air.headwind=0 m/s,2 m/s"])
    assert not drawn_as_lines(vary)
    (axes,) = map_figure(vary).axes
    shown = [text.get_text() for text in axes.texts]
    for roll in vary.rows[ROLL][np.isfinite(vary.rows[ROLL])]:
        assert f"{roll:.0f}" in shown
    assert [t.get_text() for t in axes.get_yticklabels()][-1] == "wet\ngrass"


def test_every_verdict_has_a_symbol_and_a_hatch_of_its_own():
    words = {str(verdict.value) for verdict in VERDICTS} | {REFUSED_WORD}
    assert set(MARKS) == words
    assert len({mark.symbol for mark in MARKS.values()}) == len(words)
    assert len({mark.hatch for mark in MARKS.values()}) == len(words)


def test_the_interval_is_shaded_to_its_edges():
    knob = knob_of(BOOK, "power.static_thrust")
    text = "lift-off.distance <= 20 m and lift-off.airspeed >= 5 m/s"
    looked = search(BOOK, knob, (10.0, 40.0), [condition_of(text)])
    (interval,) = looked.found[0].intervals
    figure = find_figure(looked)
    assert len(figure.axes) == 3  # a panel for each clause and the strip of failures
    for axes in figure.axes[:2]:
        (band,) = [p for p in axes.patches if isinstance(p, Rectangle) and p.get_width() < 40.0]
        assert band.get_x() == pytest.approx(interval.low.value)
        assert band.get_x() + band.get_width() == pytest.approx(interval.high.value)
    assert "at most 20 m" in texts_of(figure.axes[0])
    assert "at least 5 m/s" in texts_of(figure.axes[1])
    verdict = search(BOOK, knob, (10.0, 40.0), [condition_of("verdict == airborne")])
    assert column_of(ROLL).label in find_figure(verdict).axes[0].get_ylabel().replace("\n", " ")


def test_the_gear_window_stands_over_the_side_view_and_in_every_panel():
    window = gear_window(BOOK, (0.01, 0.12), "9 m/s")
    (one,) = window.cases[0].windows
    figure = gear_window_figure(window)
    view, bars, *panels, strip = figure.axes
    ends = [one.low.value, one.high.value]
    bands = [p for p in view.patches if isinstance(p, Rectangle)]
    assert [bands[0].get_x(), bands[0].get_x() + bands[0].get_width()] == pytest.approx(ends)
    bar = bars.patches[0]
    assert [bar.get_x(), bar.get_x() + bar.get_width()] == pytest.approx([1e3 * e for e in ends])
    for axes, words in zip(
        panels, ("nose wheel off by 9 m/s", "tip-back angle at least 15 deg", "share at least 5 %"),
        strict=True,
    ):  # fmt: skip
        assert words in texts_of(axes)
        found = [p for p in axes.patches if p.get_x() == pytest.approx(1e3 * ends[0])]
        assert len(found) == 1
    assert "station of the main wheels [mm]" in strip.get_xlabel()


def test_the_same_study_gives_the_same_bytes(curve):
    assert picture_bytes(curve_figure(curve)) == picture_bytes(curve_figure(curve))
    vary = roll_vary(BOOK, [DRAG, THRUST])
    assert picture_bytes(map_figure(vary)) == picture_bytes(map_figure(vary))
