"""Pictures, looked at through what is drawn: lines, labels, limits, colours, bytes."""

from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np
import pytest
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure

from sim.roll.verdict import Verdict
from sim.show.figures import (
    budget_figure,
    loads_figure,
    pitch_figure,
    save_pictures,
    speed_figure,
)
from sim.show.figures.budget import GROUPS
from sim.show.figures.labels import Mark, put_marks
from sim.show.figures.save import figure_of, picture_bytes
from sim.show.figures.style import INK, LIMIT, LINES, PAPER, PHASES, new_axes
from sim.show.figures.timeline import spans
from sim.show.files import OutputError
from sim.show.names import slug
from tests.test_show_reports import dragging_report, report_of

DRAWERS = (speed_figure, pitch_figure, loads_figure, budget_figure)
VERDICTS = list(Verdict)


def lines_of(axes):
    found = {}
    for each in axes.figure.axes:
        found |= {line.get_label(): line for line in each.get_lines()}
    return found


def legend_of(axes):
    return [text.get_text() for text in axes.get_legend().get_texts()]


def boxes(axes):
    """Extents of everything that is written: event labels, title, axis labels, legend."""
    figure = figure_of(axes)
    figure.draw_without_rendering()
    labels = [text for text in axes.texts if text.get_text()]
    words = [*labels, axes.title, axes.xaxis.label, axes.get_legend()]
    words += [each.yaxis.label for each in figure.axes]
    return figure, [word.get_window_extent() for word in words]


@pytest.mark.parametrize("draw", DRAWERS)
@pytest.mark.parametrize("verdict", VERDICTS)
def test_nothing_written_overlaps_or_leaves_the_picture(draw, verdict):
    axes = draw(report_of(verdict))
    figure, extents = boxes(axes)
    for box in extents:
        assert box.x0 >= -0.5 and box.y0 >= -0.5
        assert box.x1 <= figure.bbox.x1 + 0.5 and box.y1 <= figure.bbox.y1 + 0.5
    for a, b in combinations(extents, 2):
        width = min(a.x1, b.x1) - max(a.x0, b.x0)
        height = min(a.y1, b.y1) - max(a.y0, b.y0)
        assert width < 1.0 or height < 1.0


@pytest.mark.parametrize("draw", DRAWERS)
def test_title_is_scenario_and_verdict(draw):
    title = draw(report_of(Verdict.TOO_SLOW)).get_title(loc="left")
    assert title.startswith("Jet of the tests, too-slow\ntoo-slow")


def test_speed_picture_shows_the_trace_its_limits_and_events():
    report = report_of(Verdict.AIRBORNE_TOO_LATE)
    axes = speed_figure(report)
    lines = lines_of(axes)
    trace = report.result.trace
    assert lines["ground speed"].get_ydata() == pytest.approx(trace["ground_speed"])
    assert lines["distance"].get_ydata() == pytest.approx(trace["distance"])
    assert lines["strip end: 30 m"].get_ydata()[0] == 30.0
    needed = f"airspeed needed to rotate: {report.outlook.needed:.1f} m/s"
    assert lines[needed].get_ydata()[0] == pytest.approx(report.outlook.needed)
    assert axes.get_xlabel() == "time [s]"
    assert [each.get_ylabel() for each in axes.figure.axes] == ["speed [m/s]", "distance [m]"]
    written = " ".join(text.get_text() for text in axes.texts)
    assert all(event.name in written for event in report.result.events)
    assert axes.get_ylim()[1] > trace["ground_speed"].max()


def test_airspeed_has_its_own_line_only_in_wind():
    assert "airspeed" in lines_of(speed_figure(report_of(Verdict.AIRBORNE)))
    assert "airspeed" not in lines_of(speed_figure(report_of(Verdict.TOO_SLOW)))


def test_imperial_picture_is_the_same_converted():
    report = report_of(Verdict.AIRBORNE)
    metric, imperial = (lines_of(speed_figure(report, None, s)) for s in ("si", "imperial"))
    for name, factor in (("ground speed", 0.44704), ("distance", 0.3048)):
        assert np.array(imperial[name].get_ydata()) * factor == pytest.approx(
            metric[name].get_ydata()
        )
    assert loads_figure(report, None, "imperial").get_ylabel() == "load [lbf]"


def test_pitch_picture_in_degrees_with_its_levels():
    report = report_of(Verdict.SCRAPES_TAIL)
    axes = pitch_figure(report)
    lines = lines_of(axes)
    assert lines["pitch"].get_ydata() == pytest.approx(np.degrees(report.result.trace["pitch"]))
    assert lines["elevator, up positive"].get_ydata().max() == pytest.approx(15.0, abs=0.01)
    strike = np.degrees(report.stance.tail_strike_attitude)
    assert lines[f"tail strikes at {strike:.1f} deg"].get_ydata()[0] == pytest.approx(strike)
    notice = np.degrees(report.stance.ground_attitude) + 2.0
    assert lines[f"pilot notices at {notice:.1f} deg"].get_ydata()[0] == pytest.approx(notice)
    rate = lines["pitch rate"].get_ydata()
    assert rate == pytest.approx(np.degrees(report.result.trace["pitch_rate"]))
    assert legend_of(axes)[-1] == "airborne"


def test_pitch_picture_marks_the_stall_where_it_is():
    axes = pitch_figure(report_of(Verdict.LEAPS_AND_STALLS))
    stalled = lines_of(axes)["wing beyond its stall"]
    time = np.array(stalled.get_xdata())[np.isfinite(stalled.get_ydata())]
    event = report_of(Verdict.LEAPS_AND_STALLS).result.event("wing-stall")
    assert time[0] == pytest.approx(event.time, abs=0.011)
    calm = legend_of(pitch_figure(report_of(Verdict.AIRBORNE)))
    assert any(words.startswith("wing at most at ") for words in calm)


def test_stick_held_has_no_notice_level():
    words = legend_of(pitch_figure(report_of(Verdict.LEAPS_AND_STALLS)))
    assert not any(text.startswith("pilot notices") for text in words)


def test_loads_picture():
    report = report_of(Verdict.AIRBORNE)
    lines = lines_of(loads_figure(report))
    assert lines["nose wheel"].get_ydata() == pytest.approx(report.result.trace["nose_load"])
    assert lines["weight"].get_ydata()[0] == pytest.approx(3.2 * 9.80665)
    assert "tail" not in lines


def test_a_dragging_tail_has_its_load_and_its_tint():
    axes = loads_figure(dragging_report())
    tail = lines_of(axes)["tail"].get_ydata()
    assert tail == pytest.approx(dragging_report().result.trace["tail_load"])
    assert tail.max() > 0.5
    assert "on the tail alone" in legend_of(axes) or "dragging the tail" in legend_of(axes)


@pytest.mark.parametrize("verdict", [Verdict.AIRBORNE, Verdict.NEVER_ROTATES, Verdict.TOO_SLOW])
def test_budget_picture_stacks_sum_to_the_nose_load(verdict):
    report = report_of(verdict)
    axes = budget_figure(report)
    total = lines_of(axes)["load on the nose wheel"]
    speed, load = total.get_xdata(), total.get_ydata()
    assert load == pytest.approx(report.budget.nose_load[: len(load)])
    # at any speed: top of the pile of loads plus bottom of the pile of unloads is the sum
    stacks = [patch.get_paths()[0].vertices for patch in axes.collections]
    i = len(speed) // 2
    at = np.concatenate([v[np.isclose(v[:, 0], speed[i]), 1] for v in stacks])
    assert at.max() + at.min() == pytest.approx(load[i], abs=2e-3 * np.abs(at).max())
    title = axes.get_title(loc="left")
    free = f"nose wheel free at {report.outlook.needed:.1f} m/s"
    expected = "never free" if verdict == Verdict.NEVER_ROTATES else free
    assert expected in title


def test_budget_picture_marks_its_speeds():
    report = report_of(Verdict.AIRBORNE)
    words = [text.get_text() for text in budget_figure(report).texts]
    pull = report.result.event("pull").airspeed
    assert f"pull {pull:.1f} m/s" in words
    assert f"nose wheel free {report.outlook.needed:.1f} m/s" in words


def test_phases_are_tinted_where_they_are():
    found = spans(np.array([0.0, 1.0, 1.0, 2.0, 3.0]), np.array([0, 0, 1, 1, 6]))
    assert found == [(0.0, 1.0, "rolling on three wheels"), (1.0, 2.0, "rotating about the mains")]
    axes = loads_figure(report_of(Verdict.AIRBORNE))
    lift_off = report_of(Verdict.AIRBORNE).result.event("lift-off").time
    tints = [p for p in axes.patches if p.get_facecolor()[:3] == to_rgb(PHASES["airborne"])]
    assert tints[0].get_x() == pytest.approx(lift_off)


def test_given_axes_are_drawn_into_and_given_back():
    figure = Figure(figsize=(9, 4))
    given = figure.subplots()
    place = given.get_position().bounds
    for draw in DRAWERS:
        given.clear()
        assert draw(report_of(Verdict.AIRBORNE), given) is given
    assert tuple(figure.get_size_inches()) == (9.0, 4.0)
    assert given.get_position().bounds == place


def test_close_labels_are_staggered_and_far_ones_are_not():
    axes = new_axes()
    axes.set_xlim(0.0, 10.0)
    texts = put_marks(axes, [Mark(9.0, "lift-off"), Mark(8.9, "nose-wheel-off"), Mark(3.0, "pull")])
    heights = {text.get_text(): text.get_position()[1] for text in texts}
    assert heights["pull"] == heights["nose-wheel-off"] < heights["lift-off"]


def luminance(colour):
    """Relative luminance of WCAG 2.1 (W3C 2018), from memory."""
    c = np.array(to_rgb(colour))
    linear = np.where(c <= 0.03928, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)
    return float(linear @ [0.2126, 0.7152, 0.0722])


def contrast(a, b):
    bright, dark = sorted((luminance(a), luminance(b)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def test_contrast_formula_on_known_pairs():
    # Black on white is 21:1; #767676 is the lightest grey that passes 4.5:1 (WCAG, known values).
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("tint", PHASES.values())
def test_lines_and_words_stand_out_against_every_tint(tint):
    # WCAG 2.1 success criteria 1.4.11 (3:1 for graphics) and 1.4.3 (4.5:1 for text).
    for colour in (*LINES.values(), LIMIT):
        assert contrast(colour, tint) >= 3.0
    assert contrast(INK, tint) >= 4.5
    assert contrast(LINES["first"], PAPER) >= 4.5 and contrast(LINES["second"], PAPER) >= 4.5


# Machado, Oliveira & Fernandes (2009), full severity, on linear RGB; from memory, rows sum to one.
BLINDNESS = {
    "protan": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deutan": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
}


def lab(colour, matrix):
    """CIE L*a*b* (D65) of a colour as somebody sees it."""
    c = np.array(to_rgb(colour))
    linear = np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)
    linear = np.clip(np.array(matrix) @ linear, 0.0, 1.0)
    xyz = (
        np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
        @ linear
        / [0.9505, 1.0, 1.089]
    )
    f = np.where(xyz > 0.008856, np.cbrt(xyz), 7.787 * xyz + 16 / 116)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


@pytest.mark.parametrize("matrix", [np.eye(3).tolist(), *BLINDNESS.values()])
def test_line_colours_stay_apart_for_every_eye(matrix):
    assert np.sum(matrix, axis=1) == pytest.approx([1.0, 1.0, 1.0], abs=2e-4)
    for a, b in combinations([*LINES.values(), INK], 2):
        assert np.linalg.norm(lab(a, matrix) - lab(b, matrix)) > 14.0


def test_neighbours_in_the_stack_differ_in_lightness_or_hatch():
    for (_, _, a, hatch_a), (_, _, b, hatch_b) in pairwise(GROUPS):
        assert hatch_a != hatch_b or contrast(a, b) > 1.3


def test_pictures_are_the_same_bytes_each_time(tmp_path):
    report = report_of(Verdict.AIRBORNE)
    first = save_pictures(report, tmp_path / "a")
    second = save_pictures(report, tmp_path / "b")
    assert [path.name for path in first] == [
        f"jet-of-the-tests-airborne-{ending}.png"
        for ending in ("speed", "pitch", "loads", "budget")
    ]
    for a, b in zip(first, second, strict=True):
        assert a.read_bytes() == b.read_bytes()
        assert a.read_bytes().startswith(b"\x89PNG")
        assert b"Software" not in a.read_bytes() and b"matplotlib" not in a.read_bytes().lower()
    svg = [picture_bytes(figure_of(loads_figure(report)), "svg") for _ in range(2)]
    assert svg[0] == svg[1] and b"<dc:date>" not in svg[0]


def test_pictures_never_replace_a_file_by_themselves(tmp_path):
    report = report_of(Verdict.TOO_SLOW)
    (tmp_path / "roll-loads.png").write_text("mine")
    with pytest.raises(OutputError, match=r"roll-loads\.png exists"):
        save_pictures(report, tmp_path, name="roll")
    assert [path.name for path in tmp_path.iterdir()] == ["roll-loads.png"]
    save_pictures(report, tmp_path, name="roll", force=True)
    assert len(list(tmp_path.iterdir())) == 4


@pytest.mark.parametrize(
    ("title", "name"), [("Jet, on Grass!", "jet-on-grass"), ("  ", "roll"), ("../../x", "x")]
)
def test_file_names_from_titles(title, name):
    assert slug(title) == name


def test_a_dollar_in_a_title_is_no_formula(tmp_path):
    report = report_of(Verdict.AIRBORNE)
    odd = replace(report, prepared=replace(report.prepared, title="costs $5 or $x^$, \u2708"))
    assert len(save_pictures(odd, tmp_path)) == 4
