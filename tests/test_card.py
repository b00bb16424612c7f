"""The card: what it says, where it is drawn, and what is in its files."""

import csv
import re
import zlib
from dataclasses import replace
from io import BytesIO
from math import inf, isfinite, nan, radians, sin

import matplotlib.image
import numpy as np
import pytest

from sim.checks.abort import Closing, Room
from sim.cli import main
from sim.scenario import load_scenario, shipped_scenarios, with_overrides
from sim.scenario.measurement_files import read_measurements
from sim.scenario.measurements import MeasurementError
from sim.show.card.content import card_of
from sim.show.card.field_log import log_columns, log_headings
from sim.show.card.log_sheet import log_head, log_widths
from sim.show.card.output import card_bytes
from sim.show.card.paces import paces, paces_text
from sim.show.card.setting import PLAIN, rows_of, width_mm, wrapped
from sim.show.card.sheet import PAPERS, sheet_figure
from sim.show.card.travel import edge_travel, tail_arm, travels
from sim.show.card.words import abort_heading, abort_lines, first_day, tailwind_words

DRAWN = ("meadow-jet", "textbook-rotation")


@pytest.fixture(scope="module")
def cards():
    """Cards by scenario and system, each made once."""
    kept = {}

    def of(name, system="si"):
        if (name, system) not in kept:
            kept[name, system] = card_of(load_scenario(name), system)
        return kept[name, system]

    return of


@pytest.fixture(scope="module")
def sheets(cards):
    """Sheets drawn once."""
    kept = {}

    def of(name, paper="a4", system="si"):
        key = name, paper, system
        if key not in kept:
            kept[key] = sheet_figure(cards(name, system), paper)
        return kept[key]

    return of


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


def test_the_log_has_every_column_that_fit_takes_and_no_other(tmp_path):
    """By another road: the refusal of a strange heading lists what is known."""
    file = tmp_path / "strange.csv"
    file.write_text("kind,strange\ntow,1\n")
    with pytest.raises(MeasurementError) as refused:
        read_measurements(file)
    allowed = re.search(r"one of (.*?), units in brackets", str(refused.value)).group(1)
    assert sorted(allowed.split(", ")) == sorted(c.replace("_", " ") for c in log_columns())


@pytest.mark.parametrize(("system", "pull"), [("si", 4.1), ("imperial", 4.1 * 4.4482216)])
def test_a_log_that_was_filled_in_is_read_by_fit(tmp_path, system, pull):
    file = tmp_path / "log.csv"
    names = log_columns()
    tow = {"kind": "tow", "pull": "4.1", "load": "3", "slope": "1"}
    rows = (tow, {"kind": "coast-down", "marks": "5 10", "times": "1 2"})
    with open(file, "w", newline="") as out:
        writer = csv.writer(out)
        writer.writerow(log_headings(system))
        writer.writerows([row.get(name, "") for name in names] for row in rows)
    read, _ = read_measurements(file)
    assert read.pull.value == pytest.approx(pull, rel=1e-6)
    assert read.course.slope == pytest.approx(0.01)


def test_columns_of_the_log_fill_the_page_and_turn_when_there_are_many():
    wide, turned = log_widths(log_headings("si"), 190.0)
    assert not turned and sum(wide) == pytest.approx(190.0)
    many = log_headings("si") * 2
    wide, turned = log_widths(many, 190.0)
    assert turned and sum(wide) == pytest.approx(190.0)
    assert log_head(many, 190.0) > max(width_mm(h) for h in many)


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
    assert "flag the marks" in first_day(card.report, both)[-1]


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


SAME_KIND = ("flaps-10", "small-tail-flaps")
"""As flaps-25; a flapped aeroplane hops on and on after an abort, and takes its time."""


@pytest.mark.parametrize("name", [n for n in shipped_scenarios() if n not in SAME_KIND])
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


# --- what is drawn ------------------------------------------------------------------------------


def texts_of(figure):
    return [text for axes in figure.axes for text in axes.texts if text.get_text().strip()]


def lines_of(figure, start):
    found = [line for axes in figure.axes for line in axes.get_lines()]
    return {
        str(line.get_label()): line for line in found if str(line.get_label()).startswith(start)
    }


def test_places_on_the_strip_are_where_their_numbers_say(cards, sheets):
    card, abort = cards("meadow-jet"), cards("meadow-jet").abort
    marks = lines_of(sheets("meadow-jet"), "_mark")
    at = {name.removeprefix("_mark "): line.get_xdata()[0] for name, line in marks.items()}
    known = {
        "pull 20.0 m": 20.0, f"nose up {abort.nose.typical:.1f} m": abort.nose.typical,
        f"lift-off {abort.lift_off.typical:.1f} m": abort.lift_off.typical,
        f"closed by {abort.last[1]:.1f} m it stops": abort.last[1], "strip end 70.0 m": 70.0,
    }  # fmt: skip
    assert set(at) == set(known) and card.pull == pytest.approx(20.0, abs=1e-4)
    scale = (at["strip end 70.0 m"] - at["pull 20.0 m"]) / 50.0
    start = at["pull 20.0 m"] - 20.0 * scale
    for name, place in known.items():
        assert at[name] == pytest.approx(start + scale * place)
    bands = lines_of(sheets("meadow-jet"), "_band nose up")
    (band,) = bands.values()
    ends = (band.get_xdata() - start) / scale
    assert ends == pytest.approx([abort.nose.early, abort.nose.late])


def test_paces_count_along_the_strip(sheets):
    figure = sheets("meadow-jet")
    end = lines_of(figure, "_mark strip end").popitem()[1].get_xdata()[0]
    pull = lines_of(figure, "_mark pull").popitem()[1].get_xdata()[0]
    scale = (end - pull) / 50.0
    ticks = {t.get_text(): t.get_position()[0] for t in texts_of(figure)}
    assert (ticks["60"] - ticks["20"]) / scale == pytest.approx(40 * 0.75)


def test_stations_on_the_ruler_are_to_scale(sheets):
    guides = lines_of(sheets("meadow-jet"), "_guide")
    at = {name.removeprefix("_guide "): line.get_xdata()[0] for name, line in guides.items()}
    scale = (at["tail"] - at["wing"]) / (0.945 - 0.395)
    assert (at["CG"] - at["nose axle"]) / scale == pytest.approx(0.550 - 0.210)
    assert (at["main axle"] - at["CG"]) / scale == pytest.approx(0.655 - 0.550)
    said = {text.get_text() for text in texts_of(sheets("meadow-jet"))}
    assert {"340", "105", "470", "180", "half span 510", "half track 160"} <= said


@pytest.mark.parametrize("paper", list(PAPERS))
@pytest.mark.parametrize("name", DRAWN)
def test_nothing_leaves_the_page_and_all_type_is_readable(sheets, name, paper):
    figure = sheets(name, paper)
    assert figure.get_size_inches() * 25.4 == pytest.approx(PAPERS[paper])
    figure.draw_without_rendering()
    margin = figure.dpi * 5.0 / 25.4
    for text in texts_of(figure):
        assert text.get_fontsize() >= PLAIN >= 7.0
        box = text.get_window_extent()
        assert box.x0 >= margin and box.y0 >= margin, text.get_text()
        assert box.x1 <= figure.bbox.x1 - margin and box.y1 <= figure.bbox.y1, text.get_text()


def test_words_of_the_sheet_do_not_lie_on_each_other(sheets):
    figure = sheets("meadow-jet")
    figure.draw_without_rendering()
    shrink = 0.7 / 25.4 * figure.dpi  # boxes have room for tails and accents
    boxes = [(t.get_text(), t.get_window_extent()) for t in texts_of(figure)]
    for i, (text, a) in enumerate(boxes):
        for other, b in boxes[i + 1 :]:
            apart = (
                a.x1 - shrink <= b.x0 or b.x1 - shrink <= a.x0
                or a.y1 - shrink <= b.y0 or b.y1 - shrink <= a.y0
            )  # fmt: skip
            assert apart, (text, other)


def test_a_long_title_leaves_the_rest_its_room(cards):
    card = replace(cards("meadow-jet"), title="Tovik " * 80)
    figure = sheet_figure(card, "letter")
    figure.draw_without_rendering()
    assert min(t.get_window_extent().y0 for t in texts_of(figure)) > 0.0
    assert sum("Tovik" in t.get_text() for t in texts_of(figure)) == 3


def test_another_paper_is_refused(cards):
    with pytest.raises(ValueError, match="a4 and letter"):
        sheet_figure(cards("meadow-jet"), "a5")


# --- files --------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def files(cards):
    card = cards("meadow-jet")
    return {kind: card_bytes(card, kind) for kind in ("pdf", "png", "html")}


def pdf_text(data):
    """Words of a PDF: its streams inflated, the strings of each text put together."""
    words = []
    for stream in re.findall(rb"stream\r?\n(.*?)endstream", data, re.S):
        try:
            content = zlib.decompress(stream)
        except zlib.error:
            continue
        for shown in re.findall(rb"\[(.*?)\] TJ|\((.*?)\) Tj", content, re.S):
            parts = re.findall(rb"\(((?:\\.|[^\\()])*)\)", shown[0]) or [shown[1]]
            words.append(b"".join(parts).decode("latin-1"))
    # one or two bytes to a letter; some letters are escaped
    return "\n".join(words).replace("\x00", "").replace("\\", "")


def test_a_pdf_is_one_page_of_the_paper_with_text_in_it(files):
    data = files["pdf"]
    box = re.search(rb"/MediaBox \[ ?0 0 ([\d.]+) ([\d.]+)", data)
    assert [float(x) / 72 * 25.4 for x in box.groups()] == pytest.approx([210.0, 297.0], abs=0.01)
    assert len(re.findall(rb"/Type /Page\b", data)) == 1
    text = pdf_text(data)
    for words in ("No place on this strip allows both stopping and flying", "half span 510",
                  "10.0 deg = 17 mm", "Range check"):  # fmt: skip
        assert words in text
    assert b"CreationDate" not in data and b"matplotlib" not in data.lower()


def test_a_png_is_the_same_page(files):
    height, width = matplotlib.image.imread(BytesIO(files["png"])).shape[:2]
    assert width / height == pytest.approx(210 / 297, rel=1e-3) and width > 1400


def test_the_same_card_has_the_same_bytes(cards, files):
    assert card_bytes(cards("meadow-jet"), "pdf") == files["pdf"]


def test_the_page_stands_alone_and_runs_nothing(files, cards):
    page = files["html"].decode("utf-8")
    assert "default-src 'none'" in page and "width=device-width" in page
    assert "<script" not in page and "http" not in page.replace("http-equiv", "")
    images = re.findall(r'<img alt="([^"]+)" src="data:image/png;base64,', page)
    assert len(images) == 2 and all(len(words) > 40 for words in images)
    assert "nose up 44.0 m" in images[1]
    for line in (cards("meadow-jet").heading, "mains behind the CG", "distance to stop [m]"):
        assert line in page


def test_a_title_is_text_and_never_markup(cards):
    card = replace(cards("textbook-rotation"), title="<b>$\\alpha$ & Söhne</b> 飛")
    assert "<b>" not in card_bytes(card, "html").decode("utf-8")
    assert card_bytes(card, "pdf").startswith(b"%PDF")


# --- the command --------------------------------------------------------------------------------


def test_the_command_writes_a_card_once(capsys, tmp_path):
    file = tmp_path / "card.pdf"
    words = ["card", "textbook-rotation", "-o", str(file), "--paper", "letter"]
    assert main(words) == 0
    out = capsys.readouterr().out
    assert "Abort mark" in out and "Not in the file" in out
    first = file.read_bytes()
    assert b"/MediaBox [ 0 0 612 792 ]" in first
    assert main(words) == 2 and "exists" in capsys.readouterr().err
    assert file.read_bytes() == first
    assert main([*words, "--force", "--units", "imperial"]) == 0
    assert file.read_bytes() != first
    assert [p.name for p in tmp_path.iterdir()] == ["card.pdf"]


def test_the_command_refuses_other_endings_and_its_own_source(capsys, tmp_path):
    file = tmp_path / "card.svg"
    assert main(["card", "meadow-jet", "-o", str(file)]) == 2
    assert ".pdf, .png and .html" in capsys.readouterr().err and not file.exists()
    assert main(["card", "no-such", "-o", str(tmp_path / "x.pdf")]) == 2
    assert not list(tmp_path.iterdir())


def test_what_is_laid_over_the_file_is_on_the_card():
    changed = with_overrides(load_scenario("meadow-jet"), ["aeroplane.tail.throw.up=15 deg"])
    assert travels(changed)[0].text("si") == "15.0 deg = 26 mm"  # 2 100 mm sin 7.5 deg = 26.1


def test_numbers_of_the_card_are_finite_where_the_roll_flies(cards):
    abort = cards("meadow-jet").abort
    assert isfinite(abort.typical.stop) and abort.nose.late != inf
    assert np.all(np.diff(abort.coast.stop) > 0.0)
