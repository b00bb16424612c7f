"""Sentences, bars and pictures of a power system."""

import numpy as np
import pytest

from sim.power.margins import Margin
from sim.report import build_report
from sim.show.figures.power import current_figure, power_sheet, thrust_figure
from sim.show.power_words import lift_off_airspeed, margin_text, passed_limits
from sim.show.terminal import report_text
from sim.show.terminal_power import _loss_bar
from tests.documents import ready
from tests.electrics import system


def margin(**keys):
    given = {
        "part": "controller", "quantity": "current", "key": "power.controller.most_current",
        "kind": "current", "limit": 120.0, "at_rest": 131.2, "most": 131.2, "airspeed": 0.0,
    }  # fmt: skip
    return Margin(**(given | keys))


def test_a_margin_in_words():
    assert margin_text(margin()) == "the controller carries 131 A at rest, 11 A over its 120 A"
    under = margin(most=100.0, at_rest=90.0, airspeed=12.0)
    assert margin_text(under) == "the controller carries 100 A at 12.0 m/s, 20 A under its 120 A"
    rotor = margin(
        part="fan", quantity="rotation", kind="rotation", limit=3769.911184, at_rest=3600.0,
        most=3937.016, airspeed=80.0, passed_from=61.0,
    )  # fmt: skip
    assert margin_text(rotor) == (
        "the fan turns 37,596 rpm at 80.0 m/s, 1,596 rpm over its 36,000 rpm"
        " (past it from 61.0 m/s up)"
    )
    early = margin(most=131.2, at_rest=125.0, airspeed=12.0, passed_from=0.0)
    assert margin_text(early).endswith("11 A over its 120 A (past it already at rest)")


def test_a_limit_that_is_passed_stands_under_the_verdict(reports):
    for report in reports:
        known, text = report.prepared.power, " ".join(report_text(report).split())
        over = [m for m in known.margins if m.exceeded]
        lines = passed_limits(known)
        assert len(lines) == len(over)
        for line in lines:
            assert line.startswith("Over a limit: the ") and line in text
            assert text.index(line) < text.index("What happened")
    assert any(passed_limits(report.prepared.power) for report in reports)
    assert passed_limits(None) == ()


@pytest.mark.parametrize(
    ("left", "watts", "bar"),
    [(100.0, 20.0, "        --"), (100.0, 0.1, "         -"), (50.0, 50.0, "-----")],
)
def test_a_loss_stands_at_the_end_of_what_was_left(left, watts, bar):
    assert _loss_bar(left, watts, 0.1) == bar


@pytest.fixture(scope="module")
def reports():
    slow = build_report(ready(system(controller__most_current="85 A")), with_advice=False)
    fast = build_report(
        ready(
            system(
                controller__most_current="85 A",
                motor__speed_constant="1650 rpm/V",
                bench__motor=system()["power"]["motor"],
            )
        ),
        with_advice=False,
    )
    return slow, fast


def test_thrust_is_drawn_as_the_roll_has_it(reports):
    slow, fast = reports
    axes = thrust_figure(fast, None, slow)
    lines = {line.get_label(): line for line in axes.get_lines()}
    assert {"before", "after"} <= set(lines)
    for name, report in (("before", slow), ("after", fast)):
        speeds, thrust = (np.asarray(v) for v in lines[name].get_data())
        table = report.prepared.setup.thrust_table
        np.testing.assert_allclose(
            thrust, np.interp(speeds, table.airspeed, table.thrust), atol=0.05
        )
    assert axes.get_ylim()[0] == 0.0


def test_the_lowest_limit_is_drawn_with_the_current(reports):
    axes = current_figure(reports[0])
    labels = [str(line.get_label()) for line in axes.get_lines()]
    assert "most for the controller: 85 A" in labels
    speed = lift_off_airspeed(reports[0])[1]
    assert any(f"{speed:.1f} m/s" in label for label in labels)


def test_the_sheet_has_a_panel_for_each(reports):
    assert len(power_sheet(reports[0]).axes) == 2
    figure = power_sheet(reports[1], reports[0], "imperial")
    assert "lbf" in figure.axes[0].get_ylabel() and "mph" in figure.axes[1].get_xlabel()
