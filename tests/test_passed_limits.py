"""Limits along a study: the same as each roll's own report, told by place."""

from dataclasses import replace
from math import radians

import numpy as np
import pytest

from sim.prepare import prepare
from sim.report import build_report
from sim.scenario import Scenario, load_scenario
from sim.show.figures.bands import bands_of
from sim.show.figures.curve import curve_figure
from sim.show.figures.map import map_figure
from sim.show.units import formatter
from sim.show.vary_document import vary_document
from sim.show.words_limits import limit_notes
from sim.study import passed_limits
from sim.study.vary import Vary, roll_vary

MAINS, KV = "aeroplane.gear.main.station", "power.motor.speed_constant"
JET, SHOP = load_scenario("meadow-jet"), load_scenario("workshop")
TIP, SHARE = "tip-back angle under 15.0 deg", "nose-wheel share over 20 %"
TAIL = "tip-back angle under the tail-strike angle"
ESC = "controller current over its 100.0 A"


def found(vary: Vary) -> dict[str, list[bool]]:
    """Rows that pass it, by limit."""
    return {p.says.text(formatter()): p.where.tolist() for p in vary.passed}


def over(scenario: Scenario) -> set[str]:
    """What a scenario by itself has over its limits."""
    power = prepare(scenario).power
    assert power is not None
    return {f"{m.part} {m.quantity} over its {m.limit:.1f} A" for m in power.margins if m.exceeded}


def test_the_stance_is_that_of_each_roll_by_itself() -> None:
    places = [0.574, 0.580, 0.600, 0.640, 0.655]
    vary = roll_vary(JET, [f"{MAINS}={','.join(f'{x} m' for x in places)}"])
    stances = [
        build_report(prepare(load_scenario("meadow-jet", [f"{MAINS}={x} m"])), with_advice=False)
        .stance
        for x in places
    ]  # fmt: skip
    tip = [s.tip_back < radians(15.0) for s in stances]
    share = [s.nose_share > 0.2 for s in stances]
    tail = [s.tip_back < s.tail_strike for s in stances]
    assert all(True in flags and False in flags for flags in (tip, share, tail))
    assert found(vary) == {TIP: tip, SHARE: share, TAIL: tail}


def test_parts_are_those_of_each_roll_by_itself_and_interpolated_between(monkeypatch) -> None:
    rates = [1400, 1500, 1600, 1700]
    wanted = [over(load_scenario("workshop", [f"{KV}={rate} rpm/V"])) for rate in rates]
    assert wanted[0] != wanted[-1]
    text = f"{KV}=1400 rpm/V:1700 rpm/V:4"
    alone = found(roll_vary(SHOP, [text]))
    alone.pop(SHARE)
    assert alone == {part: [part in one for one in wanted] for part in set().union(*wanted)}
    beside = found(roll_vary(SHOP, [text, "air.headwind=0 m/s,2 m/s"]))
    assert beside[ESC] == list(np.repeat(alone[ESC], 2))
    monkeypatch.setattr(passed_limits, "MOST_PLACES", 2)
    few = roll_vary(SHOP, [text])
    assert found(few)[ESC] == alone[ESC]
    ampere = next(p for p in few.passed if p.says.text(formatter()) == ESC)
    assert np.diff(ampere.beyond) == pytest.approx(np.diff(ampere.beyond).mean(), rel=1e-9)
    assert "worked out at 2 places" in ampere.source


def test_what_is_over_as_it_stands_is_over_everywhere() -> None:
    hot = load_scenario("workshop", [f"{KV}=1700 rpm/V"])
    vary = roll_vary(hot, ["aeroplane.mass=3.0 kg,3.2 kg"])
    assert found(vary)[ESC] == [True, True]
    assert f"{ESC}: all along (power.controller.most_current)" in list(limit_notes(vary, "si"))


@pytest.mark.parametrize(
    ("what", "words"),
    [
        ("574 mm:604 mm:4", "up to 574 mm"),
        ("604 mm:574 mm:4", "up to 574 mm"),  # from the other end: the same words
        ("700 mm,574 mm", "up to 574 mm"),
    ],
)
def test_places_are_told_from_the_lowest(what: str, words: str) -> None:
    notes = [n for n in limit_notes(roll_vary(JET, [f"{MAINS}={what}"]), "si") if TIP in n]
    assert notes == [f"{TIP}: {words} (Raymer, Aircraft Design, ch. 11; from memory)"]


def test_of_words_each_is_named() -> None:
    vary = roll_vary(SHOP, ["power.motor.speed_constant=1400 rpm/V,1700 rpm/V"])
    assert any(n.startswith(f"{ESC}: from 1700 rpm/V") for n in limit_notes(vary, "si"))
    grass = roll_vary(JET, ["strip.surface=pavement,wet grass", f"{MAINS}=574 mm,700 mm"])
    assert any(n.startswith(f"{TIP}: 2 of 4 rolls") for n in limit_notes(grass, "si"))
    assert any("0.26 rad" not in n and "15.0 deg" in n for n in limit_notes(grass, "imperial"))


def test_document_and_pictures_show_them() -> None:
    vary = roll_vary(JET, [f"{MAINS}=574 mm:700 mm:5"])
    limits = vary_document(vary)["limits_passed"]
    assert [(one["limit"], one["rows"]) for one in limits] == [
        (TIP, [0]),
        (SHARE, [2, 3, 4]),
        (TAIL, [0]),
    ]
    assert [b.text for b in bands_of(vary)][-3:] == [f"{TIP} (1)", f"{SHARE} (3)", f"{TAIL} (1)"]
    texts = [t.get_text() for axes in curve_figure(vary).axes for t in axes.texts]
    assert f"{TIP} (1)" in texts and f"{SHARE} (3)" in texts
    flat = roll_vary(JET, [f"{MAINS}=574 mm:700 mm:5", "aeroplane.mass=2.9 kg:3.3 kg:3"])
    named = [t.get_text() for axes in map_figure(flat).axes for t in axes.texts]
    assert TIP in named and SHARE in named


def test_a_tail_that_touches_before_it_tips_back_is_marked_as_the_report_has_it() -> None:
    low = "aeroplane.scrape_point.height=20 mm:120 mm:6"
    vary = roll_vary(JET, [low])
    heights = [0.02, 0.04, 0.06, 0.08, 0.10, 0.12]
    stances = [
        build_report(prepare(load_scenario("meadow-jet", [f"aeroplane.scrape_point.height={h} m"])),
                     with_advice=False).stance
        for h in heights
    ]  # fmt: skip
    wanted = [s.tip_back < s.tail_strike for s in stances]
    assert found(vary).get(TAIL, [False] * 6) == wanted


def test_what_is_missing_of_a_stopped_study_is_said() -> None:
    vary = roll_vary(JET, [f"{MAINS}=574 mm:700 mm:5", "aeroplane.mass=2.9 kg:3.3 kg:3"])
    rows = replace(vary.rows, asked=40)
    part = replace(vary, rows=rows)
    assert "15 of 40" in part.interruption and not vary.interruption
    told = [t.get_text() for t in map_figure(part).texts]
    assert any("15 of 40" in text for text in told)


def test_what_no_line_can_show_stands_in_the_legend() -> None:
    wide = roll_vary(JET, ["air.headwind=0 m/s:2 m/s:3", "aeroplane.mass=2.9 kg:3.3 kg:3"])
    labels = [t.get_text() for t in map_figure(wide).legends[0].get_texts()]
    assert f"{SHARE}: all over" in labels
    cells = roll_vary(JET, ["strip.surface=pavement,wet grass,long grass,mown grass,short grass",
                            f"{MAINS}=574 mm:700 mm:3"])  # fmt: skip
    labels = [t.get_text() for t in map_figure(cells).legends[0].get_texts()]
    assert f"{TIP}: 5 of 15" in labels
