"""The card as it is drawn, its files and its command."""

import re
import zlib
from dataclasses import replace
from io import BytesIO

import matplotlib.image
import pytest

from sim.cli import main
from sim.show.card.field_log import LOGGER
from sim.show.card.output import card_bytes
from sim.show.card.paces import stop_metres
from sim.show.card.setting import PLAIN
from sim.show.card.sheet import PAPERS, sheet_figure
from tests.test_card import card_named

DRAWN = ("meadow-jet", "textbook-rotation")


@pytest.fixture
def cards():
    return card_named


@pytest.fixture(scope="module")
def sheets():
    """Sheets drawn once."""
    kept = {}

    def of(name, paper="a4"):
        if (name, paper) not in kept:
            kept[name, paper] = sheet_figure(card_named(name), paper)
        return kept[name, paper]

    return of


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
        f"closed by {stop_metres(abort.last[1], 'si')} it stops": abort.last[1],
        "strip end 70.0 m": 70.0,
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


def test_both_tables_of_the_log_are_there_even_where_it_is_tight(cards):
    card = replace(cards("meadow-jet"), reason="It rolls on its nose wheel alone. " * 7)
    figure = sheet_figure(card, "letter")
    said = [t.get_text() for t in texts_of(figure)]
    assert said.count("kind") == 2 and said.count(LOGGER) == 1
    figure.draw_without_rendering()
    assert min(axes.get_window_extent().y0 for axes in figure.axes[1:]) > 0.0


def test_another_paper_is_refused(cards):
    with pytest.raises(ValueError, match="a4 and letter"):
        sheet_figure(cards("meadow-jet"), "a5")


# --- files --------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def files():
    card = card_named("meadow-jet")
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
