"""What the card says: throws, paces, the field log, the abort mark in words."""

import csv
import re
from dataclasses import replace
from functools import cache
from math import inf, isfinite, nan, radians, sin

import numpy as np
import pytest

from sim.checks.abort import Closing, Room, never_pulling
from sim.roll.result import simulate_setup
from sim.scenario import load_scenario, shipped_scenarios, with_overrides
from sim.scenario.measurement_files import read_measurements
from sim.scenario.measurements import MeasurementError
from sim.show.card.content import card_of
from sim.show.card.field_log import log_tables
from sim.show.card.log_sheet import log_head, log_widths
from sim.show.card.paces import paces, paces_text, stop_text
from sim.show.card.setting import rows_of, width_mm, wrapped
from sim.show.card.strip import caption, strip_marks
from sim.show.card.travel import edge_travel, tail_arm, travels
from sim.show.card.words import abort_heading, abort_lines, first_day, tailwind_words
from sim.study.ranges import range_setups


@cache
def card_named(name, system="si"):
    """Cards by scenario and system, each made once."""
    return card_of(load_scenario(name), system)


@pytest.fixture
def cards():
    return card_named


HEAVY = ("strip.length=300 m", "aeroplane.mass=4.3 kg", "power.static_thrust=30.4 N")
ENDS = [("strip.length=300 m",), ("strip.length=350 m",), HEAVY]


@cache
def long_card(changes):
    """A jet on a long strip, by what is laid over its file."""
    return card_of(with_overrides(load_scenario("meadow-jet"), changes))


@pytest.fixture
def long_cards():
    return long_card


# --- throws -------------------------------------------------------------------------------------


def test_travel_is_the_chord_of_the_arc():
    assert edge_travel(0.1, radians(10.0)) == pytest.approx(0.0174311, rel=1e-5)  # 2 sin 5 deg
    assert edge_travel(0.1, radians(60.0)) == pytest.approx(0.1)  # equal sides
    assert edge_travel(0.1, radians(180.0)) == pytest.approx(0.2)  # a diameter
    assert edge_travel(0.1, -0.2) == edge_travel(0.1, 0.2) > 0.0


def test_an_all_moving_tail_is_measured_from_its_pivot():
    scenario = load_scenario("meadow-jet")
    assert tail_arm(scenario.aeroplane.tail)[0] == pytest.approx(0.945 + 0.190 - 1.035)
    assert [t.text("si") for t in travels(scenario)] == ["10.0 deg = 17 mm"] * 2
    assert travels(scenario)[0].text("imperial") == "10.0 deg = 0.69 in"


def test_a_hinged_elevator_is_measured_from_its_hinge():
    hinged = {"kind": "hinged", "elevator_chord_fraction": 0.3}
    tail = load_scenario("meadow-jet").aeroplane.tail.model_copy(update=hinged)
    assert tail_arm(tail)[0] == pytest.approx(0.3 * 0.190)


def test_flaps_are_measured_at_their_inner_end():
    flap = travels(load_scenario("flaps-25"))[-1]
    chord = 0.470 + (0.180 - 0.470) * 0.080 / 0.510
    assert flap.arm == pytest.approx(0.22 * chord)
    assert flap.distance == pytest.approx(2 * 0.22 * chord * sin(radians(12.5)), rel=1e-9)
    assert flap.text("si") == "25.0 deg = 40 mm"


def test_without_a_pivot_there_are_degrees_and_a_word_about_it(cards):
    scenario = load_scenario("meadow-jet")
    tail = scenario.aeroplane.tail.model_copy(update={"pivot": None})
    bare = replace(scenario, aeroplane=scenario.aeroplane.model_copy(update={"tail": tail}))
    assert travels(bare)[0].text("si") == "10.0 deg"
    card = card_of(bare)
    assert any("aeroplane.tail.pivot" in note for note in card.notes)
    assert not any("pivot" in label for group in card.groups for label, _ in group.rows)


# --- paces, type --------------------------------------------------------------------------------


def test_paces():
    assert paces(44.0) == 59 and paces(0.0) == 0
    assert paces_text(0.75) == "1 pace" and paces_text(7.5) == "10 paces"


def test_lines_are_no_wider_than_their_column():
    text = "where to close the throttle if the nose is not up " + "n" * 80
    lines = wrapped(text, 30.0)
    assert all(width_mm(line) <= 30.0 for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_labels_that_crowd_go_into_rows():
    assert rows_of([(0.0, 10.0), (5.0, 10.0), (11.0, 10.0), (16.0, 4.0)], 1.0) == (0, 1, 0, 1)


# --- the field log ------------------------------------------------------------------------------


def test_the_log_has_every_column_of_fit_that_a_hand_can_fill_and_no_other(tmp_path):
    """By another road: the refusal of a strange heading lists what is known."""
    file = tmp_path / "strange.csv"
    file.write_text("kind,strange\ntow,1\n")
    with pytest.raises(MeasurementError) as refused:
        read_measurements(file)
    allowed = re.search(r"one of (.*?), units in brackets", str(refused.value)).group(1)
    headings = {re.sub(r" \[.*\]", "", h) for table in log_tables("si") for h in table}
    by_logger = {"log", "columns", "units", "start", "until", "log tolerance"}
    assert by_logger < set(allowed.split(", "))
    assert headings == set(allowed.split(", ")) - by_logger


@pytest.mark.parametrize(("system", "pull"), [("si", 4.1), ("imperial", 4.1 * 4.4482216)])
def test_a_log_that_was_filled_in_is_read_by_fit(tmp_path, system, pull):
    roll = {
        "kind": "roll",
        "nose up distance": "44",
        "lift off distance": "60",
        "surface": "mown grass",
    }
    tow = {"kind": "tow", "pull": "4.1", "load": "3", "slope": "1"}
    coast = {"kind": "coast-down", "marks": "5 10", "times": "1 2"}
    tables = log_tables(system)
    _, read = (
        _filled(tmp_path / f"log{i}.csv", headings, rows)
        for i, (headings, rows) in enumerate(zip(tables, ((roll,), (tow, coast)), strict=True))
    )
    assert read[0].pull.value == pytest.approx(pull, rel=1e-6)
    assert read[0].course.slope == pytest.approx(0.01)


def _filled(file, headings, rows):
    with open(file, "w", newline="") as out:
        writer = csv.writer(out)
        writer.writerow(headings)
        names = [re.sub(r" \[.*\]", "", heading) for heading in headings]
        assert all(set(row) <= set(names) for row in rows)
        writer.writerows([row.get(name, "") for name in names] for row in rows)
    return read_measurements(file)


def test_columns_of_the_log_fill_the_page_and_turn_when_there_are_many():
    for headings in log_tables("imperial"):
        wide, turned = log_widths(headings, 190.0)
        assert not turned and sum(wide) == pytest.approx(190.0)
    many = log_tables("si")[0] * 2
    wide, turned = log_widths(many, 190.0)
    assert turned and sum(wide) == pytest.approx(190.0)
    assert log_head(many, 190.0) > max(width_mm(h) for h in many)


def test_a_stopping_place_is_never_rounded_up():
    assert stop_text(14.7, "si") == "14.7 m (19 paces)"  # 20 would be 15.0 m
    assert stop_text(61.79, "si") == "61.7 m (82 paces)"
    assert (
        stop_text(45.0, "si") == "45.0 m (60 paces)" and stop_text(304.8, "imperial")[:4] == "1000"
    )
    assert stop_text(30.7, "imperial").startswith("100 ft")  # 100.7
    assert stop_text(inf, "si") == "nowhere"


@pytest.mark.parametrize("changes", ENDS)
def test_closed_at_the_printed_place_it_stops_in_the_strip(long_cards, changes):
    """The metres and the paces of the card, each rolled, where it rolls easiest too."""
    card = long_cards(changes)
    setup, length = card.report.prepared.setup, card.abort.length
    rolls = [setup, *(s for *_, s in range_setups(card.report.prepared))]
    easiest = min(rolls, key=lambda one: one.parameters.main_friction)
    marks = strip_marks(card.abort, card.pull, "si")
    (words,) = [mark.text for mark in marks if "it stops" in mark.text]
    metres, count = re.search(r"by ([\d.]+) m it stops\n(\d+) paces", words).groups()
    said = " ".join(card.why)
    places = [(easiest, float(metres)), (easiest, 0.75 * int(count))]
    for typical in re.findall(r"shut at ([\d.]+) m|closed by ([\d.]+) m", said):
        place = float("".join(typical))
        places += [(setup, place)] if place <= card.abort.last[0] + 0.1 else []
    for roll, place in places:
        rolled = simulate_setup(never_pulling(roll, place))
        assert rolled.event("stop").distance <= length and rolled.event("strip-end") is None


@pytest.mark.parametrize("changes", ENDS)
def test_no_card_says_of_the_same_roll_that_it_stops_and_leaves(long_cards, changes):
    card = long_cards(changes)
    abort, said = card.abort, " ".join(card.why)
    assert said.count("where it rolls easiest") <= 2 and "easiest it leaves" not in said.replace(
        f"easiest it leaves the strip end at {abort.far.end_speed:.1f} m/s", ""
    )
    if abort.room is Room.TYPICAL:
        assert said.count("leaves the strip end") == said.count("where it rolls easiest") == 1
        assert abort.typical.stop <= abort.length + 1e-6
    assert ("may come up after the mark" in said) is (abort.nose.late > abort.mark)


# --- words --------------------------------------------------------------------------------------


def test_where_both_do_not_fit_the_card_says_so_and_gives_the_speed_at_the_end(cards):
    card = cards("meadow-jet")
    assert card.abort.room is Room.NEITHER
    assert card.heading == "No place on this strip allows both stopping and flying"
    said = " ".join(card.why)
    assert f"leaves the strip end at {card.abort.typical.end_speed:.1f} m/s" in said
    assert f"to a stop at {card.abort.typical.stop:.1f} m" in said
    assert "Nothing and nobody may be beyond the strip end" in said
    assert "free ground beyond the strip end" in card.days[-1]


def _in_room(card, room, **changes):
    return replace(card.abort, room=room, **changes)


def test_a_mark_says_why_it_is_there(cards):
    card = cards("meadow-jet")
    typical, far = Closing(60.0, 18.0, 150.0, nan), Closing(60.0, 18.5, 200.0, nan)
    both = _in_room(card, Room.BOTH, mark=45.0, typical=typical, far=far, length=200.0)
    assert abort_heading(both, "si") == "Abort mark: 45.0 m (60 paces)"
    said = " ".join(abort_lines(both))
    for words in ("coasts 90.0 m, to a stop at 150.0 m", "a stop at 200.0 m", "1 s", "44.0 m"):
        assert words in said
    assert "the last place, not the best: nose not up by 61.7 m" in said
    over = replace(far, stop=230.0, end_speed=9.0)
    day = replace(both, room=Room.TYPICAL, far=over)
    assert "on a typical day" in abort_heading(day, "si")
    assert "leaves the strip end at 9.0 m/s" in " ".join(abort_lines(day))
    assert "flag the marks; a second person calls" in first_day(card.report, both)[-1]
    assert "one uncertainty varied at a time" in " ".join(caption(190.0, "si"))


def test_a_nose_that_comes_up_without_a_pull_is_followed_as_far_as_it_is_known(cards):
    card = cards("meadow-jet")
    early = _in_room(card, Room.NEITHER, typical=replace(card.abort.typical, place=30.0))
    assert "comes up without a pull" in " ".join(abort_lines(early))
    near = _in_room(card, Room.NEITHER, last=(50.0, 48.0))
    assert "too near to that: 44.0 m" in " ".join(abort_lines(near))
    lost = Closing(64.0, 20.0, inf, nan)
    said = " ".join(abort_lines(_in_room(card, Room.NEITHER, typical=lost, far=lost)))
    assert "not known" in said and "nan" not in said and "inf" not in said


def test_every_room_has_its_words(cards):
    abort = cards("meadow-jet").abort
    for room in Room:
        marked = replace(abort, room=room, mark=20.0)
        said = abort_heading(marked, "imperial") + " ".join(abort_lines(marked, "imperial"))
        assert " nan" not in said and "{" not in said and " m " not in said


def test_what_does_not_come_up_in_the_strip_is_told_with_its_speed_at_the_end(cards):
    card = cards("workshop")
    assert card.abort.room is Room.GROUNDED
    end = f"{card.abort.full_speed:.1f} m/s"
    assert any(end in line for line in card.why)
    assert card.days[-1].startswith("No take-off with this set-up")


def test_tailwind_in_words():
    assert "at least 8.0 m/s" in tailwind_words((8.0, 8.0), "si")
    assert "no tailwind at all" in tailwind_words((nan, nan), "si")
    assert tailwind_words((3.5, 0.0), "si").endswith("what is uncertain, with none.")
    assert "not even without" in tailwind_words((1.5, nan), "si")


def test_crosswind_is_not_claimed_and_the_code_comes_first(cards):
    card = cards("meadow-jet")
    assert any("Crosswind is not modelled" in line for line in card.days)
    assert "national body's safety code" in card.practice and "no source" in card.practice
    assert any("planning estimate" in line for line in card.cautions)


ALIKE = (
    "flaps-10", "small-tail-flaps", "small-tail", "mains-forward", "wet-grass", "sunday-tailwind",
)  # fmt: skip
"""Each as another that is rolled here but for a number; a card of each takes a second."""


@pytest.mark.parametrize("name", [n for n in shipped_scenarios() if n not in ALIKE])
def test_every_shipped_scenario_makes_a_card(cards, name):
    card = cards(name)
    every = [card.heading, *card.why, *card.limits, *card.days, *card.notes]
    every += [f"{label} {value}" for group in card.groups for label, value in group.rows]
    assert all(line.strip() for line in every)
    assert not [line for line in every if " nan" in line or " inf" in line]
    assert {"Whole", "Wheels"} <= {group.name for group in card.groups}


def test_coefficients_leave_out_what_is_not_known_and_say_so(cards):
    card = cards("textbook-rotation")
    assert {group.name for group in card.groups} == {"Whole", "Wheels", "Thrust"}
    assert any("wing, tail, body, track" in note for note in card.notes)
    assert not any("tail strikes" in line for line in card.limits)


def test_what_is_laid_over_the_file_is_on_the_card():
    changed = with_overrides(load_scenario("meadow-jet"), ["aeroplane.tail.throw.up=15 deg"])
    assert travels(changed)[0].text("si") == "15.0 deg = 26 mm"  # 2 100 mm sin 7.5 deg = 26.1


def test_numbers_of_the_card_are_finite_where_the_roll_flies(cards):
    abort = cards("meadow-jet").abort
    assert isfinite(abort.typical.stop) and abort.nose.late != inf
    assert np.all(np.diff(abort.coast.stop) > 0.0)
