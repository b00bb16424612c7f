"""The report in the terminal: 80 columns, the verdict first, and clear for every verdict."""

import re
from dataclasses import replace
from io import StringIO

import pytest
from rich.console import Console

from sim.checks.budget import PARTS
from sim.checks.sentence import Sentence
from sim.roll.events import Happening
from sim.roll.verdict import Verdict
from sim.show.terminal import print_report, report_text
from sim.show.terminal_budget import decisive_parts, nose_load
from sim.show.words import HAPPENINGS, VERDICTS, advice_text, help_lines, helpful
from sim.study.advice import Advice
from tests.test_show_reports import report_of

ALL = list(Verdict)


@pytest.mark.parametrize("system", ["si", "imperial"])
@pytest.mark.parametrize("verdict", ALL)
def test_no_line_is_longer_than_80(verdict, system):
    lines = report_text(report_of(verdict), system=system).split("\n")
    assert max(map(len, lines)) <= 80
    assert "\x1b" not in "".join(lines)
    assert not any("{" in line or "nan" in line.split() for line in lines)


@pytest.mark.parametrize("verdict", ALL)
def test_the_verdict_comes_first_and_the_reason_after_it(verdict):
    lines = report_text(report_of(verdict)).split("\n")
    assert lines[0] == f"Jet of the tests, {verdict}"
    assert lines[1] == f"Verdict: {verdict} ({VERDICTS[verdict]})"
    reason = " ".join(lines[2:6])
    assert reason[0].isupper() and "." in reason


def test_sections_in_order():
    text = report_text(report_of(Verdict.SCRAPES_TAIL))
    headings = [
        "What happened", "Also", "Speeds", "Small changes tried", "Nose-load budget",
        "How hard it rotates", "How it stands", "What the numbers assume", "Mind",
    ]  # fmt: skip
    places = [text.index(f"\n\n{heading}") for heading in headings]
    assert places == sorted(places)


@pytest.mark.parametrize("verdict", [Verdict.SITS_ON_TAIL, Verdict.DOES_NOT_MOVE])
def test_a_roll_that_never_begins_shows_no_speeds(verdict):
    text = report_text(report_of(verdict))
    assert "Speeds\n" not in text and "Nose-load budget" not in text
    assert "How it stands" in text and "Mind" in text


def row_of(text, name):
    return re.search(rf"^  {re.escape(name)} +(.*)$", text, re.MULTILINE).group(1).split()


def test_event_table_shows_the_event():
    report = report_of(Verdict.AIRBORNE)
    off = report.result.event("lift-off")
    cells = [float(cell) for cell in row_of(report_text(report), "lift-off")]
    assert cells[0] == pytest.approx(off.time, abs=0.006)
    assert cells[1] == pytest.approx(off.distance, abs=0.06)
    assert cells[2] == pytest.approx(off.ground_speed, abs=0.06)
    assert cells[3] == pytest.approx(cells[2] + 2.0, abs=0.11)  # two metres per second of headwind
    assert cells[4] == pytest.approx(off.pitch * 57.29578, abs=0.06)
    assert cells[5] == pytest.approx(off.pitch_rate * 57.29578, abs=0.6)
    assert cells[6:] == pytest.approx([0.0, 0.0, 0.0])


def test_imperial_is_the_same_roll():
    report = report_of(Verdict.AIRBORNE)
    metric = [float(c) for c in row_of(report_text(report), "pull")]
    imperial = [float(c) for c in row_of(report_text(report, system="imperial"), "pull")]
    assert imperial[0] == metric[0]
    assert imperial[1] == pytest.approx(metric[1] / 0.3048, abs=0.7)
    assert imperial[2] == pytest.approx(metric[2] * 2.236936, abs=0.2)
    assert imperial[6] == pytest.approx(metric[6] * 0.2248089, abs=0.02)


@pytest.mark.parametrize("verdict", [v for v in ALL if v not in ALL[:2]])
def test_budget_bars_sum_and_point_the_right_way(verdict):
    report = report_of(verdict)
    parts = decisive_parts(report)
    assert sum(parts.values()) == pytest.approx(nose_load(report), abs=0.005 * len(PARTS))
    text = report_text(report)
    for name, value in parts.items():
        number, bar, word = row_of(text, name)
        assert float(number) == pytest.approx(value, abs=0.006)
        assert (set(bar), word) == (({"+"}, "loads") if value > 0 else ({"-"}, "unloads"))
    longest = max(parts, key=lambda name: abs(parts[name]))
    assert len(row_of(text, longest)[1]) == 26


def test_weight_loads_and_full_up_elevator_unloads_the_nose():
    parts = decisive_parts(report_of(Verdict.AIRBORNE))
    assert parts["weight"] > 0.0 > parts["elevator"]


def test_as_the_nose_leaves_the_budget_is_in_balance():
    text = report_text(report_of(Verdict.AIRBORNE))
    assert "as the nose wheel leaves" in text
    assert "in balance: the nose wheel is free" in text


def test_never_rotates_says_what_stays_on_the_nose():
    report = report_of(Verdict.NEVER_ROTATES)
    text = report_text(report)
    stays = f"{report.outlook.least_nose_load:.1f} N stay on it"
    assert text.count(stays) == 2  # in the reason and beside the speed that is missing
    assert row_of(text, "needed to unload the nose wheel")[0] == "-"
    assert "stays on it" in " ".join(row_of(text, "load on the nose wheel"))


def test_every_estimate_is_marked_and_every_caution_is_there():
    report = report_of(Verdict.AIRBORNE)
    text = " ".join(report_text(report).split())
    assert "estimated: aeroplane.pitch_inertia = 0.180 kg*m^2 (from mass and length)" in text
    assert "uncertain: rolling resistance, from 0.090 to 0.200. With 0.090: " in text
    assert "Small wheels on grass: measure it." in text
    assert "full size 8-12 deg/s2 (Sadraey" in text
    for caution in report.cautions:
        assert caution in text


def test_stance_shows_the_limits_of_every_source():
    text = " ".join(report_text(report_of(Verdict.AIRBORNE)).split())
    assert "at most 63.0 deg (Raymer, Aircraft Design, ch. 11; from memory): within" in text
    assert "at most 55.0 deg (Roskam, Airplane Design, part II; from memory)" in text
    assert "8 to 15 % (Raymer, Aircraft Design, ch. 11: best; from memory): above" in text


def test_happenings_in_plain_words():
    text = report_text(report_of(Verdict.LEAPS_AND_STALLS))
    assert "the wing passes its stall" in text
    assert set(HAPPENINGS) == {happening.label for happening in Happening}
    assert set(VERDICTS) == set(Verdict)


def test_no_colour_but_on_a_terminal_and_not_when_unwanted(monkeypatch):
    def printed(**settings):
        file = StringIO()
        console = Console(file=file, width=80, force_terminal=True, **settings)
        print_report(report_of(Verdict.AIRBORNE), console)
        return file.getvalue()

    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert "\x1b[1;32mairborne" in printed()
    monkeypatch.setenv("NO_COLOR", "1")
    assert "32m" not in printed()


def advice(gain, verdict, place=50.0):
    return Advice(Sentence("something"), gain, verdict, place)


def told(base, *changes):
    report = replace(report_of(base), advice=changes)
    return helpful(report), help_lines(report), report_text(report)


def test_help_for_a_good_roll_is_metres():
    better, longer = advice(4.26, Verdict.AIRBORNE), advice(-1.0, Verdict.AIRBORNE)
    found, lines, _ = told(Verdict.AIRBORNE, better, longer)
    assert found == (better,)
    assert lines == ("something: ground roll 4.3 m shorter",)


def test_metres_bought_with_a_stall_are_no_help():
    found, _, text = told(Verdict.AIRBORNE, advice(9.0, Verdict.LEAPS_AND_STALLS))
    assert found == ()
    assert "None of the 1 small changes tried shortens the ground roll." in text
    assert "ground roll 9.0 m shorter; then it leaps off and stalls" in " ".join(text.split())


def test_help_for_a_roll_that_never_lifts_off_says_where_it_would():
    cured = advice(float("nan"), Verdict.AIRBORNE, 61.5)
    far = advice(float("nan"), Verdict.LEAPS_AND_STALLS, 435.0)
    found, lines, _ = told(Verdict.NEVER_ROTATES, cured, far)
    assert found == (cured,)
    assert lines == ("something: then it lifts off at 61.5 m",)


def test_help_for_a_failure_is_only_what_cures_it():
    shorter = advice(11.0, Verdict.SCRAPES_TAIL)
    cure = advice(2.0, Verdict.AIRBORNE)
    found, _, _ = told(Verdict.SCRAPES_TAIL, cure, shorter)
    assert found == (cure,)
    text = told(Verdict.SCRAPES_TAIL, shorter)[2]
    assert "None of the 1 small changes tried cures it." in text
    assert "ground roll 11.0 m shorter; but still it scrapes its tail" in " ".join(text.split())


def test_wording_of_a_change():
    nan = float("nan")
    never, late = Verdict.NEVER_ROTATES, Verdict.AIRBORNE_TOO_LATE
    assert advice_text(advice(nan, never, nan), never, False) == "still it never rotates"
    assert (
        advice_text(advice(nan, late, 90.0), never, False)
        == "then it lifts off at 90.0 m, but too late for this strip"
    )
    assert advice_text(advice(0.04, Verdict.AIRBORNE), Verdict.AIRBORNE, True) == (
        "no change of the ground roll"
    )
    assert advice_text(advice(-3.0, late), Verdict.AIRBORNE, True, "imperial") == (
        "ground roll 10 ft longer; then too late for this strip"
    )


def test_without_trials_nothing_is_said_of_them():
    text = report_text(report_of(Verdict.AIRBORNE, with_advice=False))
    assert "help most" not in text and "Small changes" not in text and "None of" not in text
