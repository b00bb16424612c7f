"""Several rolls side by side."""

import json
import re

import pytest

from sim.roll.verdict import Verdict
from sim.show.compare import Named, compare_document, compare_text, grouped
from sim.show.document import json_text
from sim.show.figures.overlay import PANELS, overlay_figure
from tests.test_show_reports import report_of


def named(*verdicts):
    return [Named(f"jet-{v}", report_of(v)) for v in verdicts]


PAIR = named(Verdict.AIRBORNE, Verdict.SCRAPES_TAIL)
FIVE = named(*list(Verdict)[3:8])


@pytest.mark.parametrize("system", ["si", "imperial"])
@pytest.mark.parametrize("reports", [PAIR, FIVE[:3], FIVE, PAIR[:1]])
def test_fits_80_columns(reports, system):
    lines = compare_text(reports, system=system).split("\n")
    assert max(map(len, lines)) <= 80
    text = "\n".join(lines)
    for one in reports:
        assert f"{one.name}: {one.report.prepared.title}" in text
    assert "not a clearance to fly" in text


def cells(text, name):
    line = re.search(rf"^{re.escape(name)}  .*$", text, re.MULTILINE).group(0)
    return [cell.strip() for cell in re.split(r"\s{2,}", line)[1:]]


def test_numbers_and_difference():
    text = compare_text(PAIR)
    places = [one.report.result.event("lift-off").distance for one in PAIR]
    found = re.findall(r"[\d.+-]+(?= m\b)", re.search(r"lift-off at.*", text).group(0))
    assert [float(x) for x in found] == pytest.approx(places, abs=0.06)
    shift = re.findall(r"[\d.+-]+(?= m\b)", re.search(r"against the first.*", text).group(0))
    assert float(shift[1]) == pytest.approx(places[1] - places[0], abs=0.06)
    assert shift[1][0] in "+-"


def test_more_than_three_are_stacked_with_the_first_in_each():
    groups = grouped(FIVE)
    assert [[one.name for one in group] for group in groups] == [
        [FIVE[0].name, FIVE[1].name, FIVE[2].name],
        [FIVE[0].name, FIVE[3].name, FIVE[4].name],
    ]
    assert grouped(FIVE[:1]) == [FIVE[:1]]
    assert len(re.findall(r"^verdict ", compare_text(FIVE), re.MULTILINE)) == 2


def test_rows_nobody_has_are_left_out():
    text = compare_text(named(Verdict.NEVER_ROTATES, Verdict.TOO_SLOW))
    assert "lift-off at" not in text
    assert "reachable on three wheels" in text


def test_document_of_a_comparison():
    data = json.loads(json_text(compare_document(PAIR)))
    assert [one["name"] for one in data["compared"]] == [one.name for one in PAIR]
    assert data["compared"][1]["verdict"] == "scrapes-tail"


def test_overlay_draws_every_roll_in_every_panel():
    figure = overlay_figure(PAIR)
    assert len(figure.axes) == len(PANELS)
    assert [axes.get_ylabel() for axes in figure.axes] == [
        "ground speed [m/s]", "pitch [deg]", "nose load [N]",
    ]  # fmt: skip
    assert figure.axes[-1].get_xlabel() == "distance [m]"
    first = PAIR[1].report.result.trace
    drawn = figure.axes[2].get_lines()[1]
    assert drawn.get_xdata() == pytest.approx(first["distance"])
    assert drawn.get_ydata() == pytest.approx(first["nose_load"])
    legend = [text.get_text() for text in figure.legends[0].get_texts()]
    assert legend == ["jet-airborne (airborne)", "jet-scrapes-tail (scrapes-tail)"]


def test_overlay_keeps_rolls_apart_by_colour_and_dashes():
    lines = overlay_figure(FIVE).axes[0].get_lines()[: len(FIVE)]
    looks = {(line.get_color(), str(line._dash_pattern)) for line in lines}
    assert len(looks) == len({look[0] for look in looks}) == len(FIVE)


def test_overlay_legend_stays_on_the_sheet():
    figure = overlay_figure(FIVE)
    figure.draw_without_rendering()
    legend = figure.legends[0].get_window_extent()
    label = figure.axes[-1].xaxis.label.get_window_extent()
    assert legend.y0 >= 0.0 and legend.x0 >= 0.0 and legend.x1 <= figure.bbox.x1
    assert legend.y1 <= label.y0
