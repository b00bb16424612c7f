"""Before and after as somebody sees it: on a phone, on a wide dark screen, on paper."""

from pathlib import Path

import pytest

from sim.show.compare import Named
from sim.show.compare_page import Shown, compare_page
from tests.browser import DESKTOP, PHONE, SCHEMES, axe, open_file, overhang
from tests.test_compare_page import AFTER, BEFORE, page, shown

GROUND = "getComputedStyle(document.body).backgroundColor"
HOSTILE = "<img src=x onerror=a()>\"'&</title><script>document.title = 'broken'</script>$\\x$草"


@pytest.fixture(scope="module")
def usual(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("page") / "before-after.html"
    path.write_text(page.__wrapped__(), encoding="utf-8")
    return path


@pytest.fixture
def view(request):
    return request.getfixturevalue("page")


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("window", [PHONE, DESKTOP])
def test_no_barrier_no_complaint_no_sideways_scrolling(view, usual, window, scheme):
    open_file(view, usual, window, scheme)
    assert axe(view) == []
    assert overhang(view) == 0
    widths = view.locator("img").evaluate_all("all => all.map(i => i.complete && i.naturalWidth)")
    assert len(widths) == 3 and min(widths) > 500


def test_words_and_numbers_are_never_torn_apart_on_a_phone(view, usual):
    """No cell has more lines than words, and nothing short has two."""
    open_file(view, usual, PHONE)
    cells = view.locator(".numbers td:not(:last-child), .numbers thead th").evaluate_all(
        """all => all.map(cell => {
          const range = document.createRange();
          range.selectNodeContents(cell);
          const tops = new Set([...range.getClientRects()].map(box => box.top));
          return [cell.innerText, tops.size];
        })"""
    )
    assert len(cells) > 30
    assert all(len(words) > 8 for words, count in cells if count > 1)
    assert all(count <= len(words.split()) for words, count in cells)


def test_dark_where_asked_for_and_light_on_paper(view, usual):
    open_file(view, usual, scheme="dark")
    assert view.evaluate(GROUND) != "rgb(255, 255, 255)"
    view.emulate_media(media="print", color_scheme="dark")
    assert view.evaluate(GROUND) == "rgb(255, 255, 255)"
    sheets = view.pdf(format="A4").count(b"/Type /Page\n")
    assert 1 <= sheets <= 4


@pytest.mark.parametrize(("window", "beside"), [(PHONE, False), (DESKTOP, True)])
def test_both_rolls_beside_each_other_where_there_is_room(view, usual, window, beside):
    open_file(view, usual, window)
    one, other = (card.bounding_box() for card in view.locator(".roll").all())
    assert (one["y"] == other["y"]) == beside


def test_hostile_words_are_shown_as_words(view, tmp_path):
    before = shown(BEFORE, f"title={HOSTILE}")
    named = Named(HOSTILE, before.named.report)
    path = tmp_path / "hostile.html"
    path.write_bytes(compare_page(Shown(named, before.scenario), shown(AFTER)))
    open_file(view, path, PHONE)
    assert view.title() == f"Before and after: {HOSTILE} and {AFTER}"
    assert view.inner_text("h3 >> nth=0") == f"Before: {HOSTILE}"
    assert view.locator("img").count() == 3 and view.locator("script").count() == 0
    assert overhang(view) == 0
