"""Drawings: places lie on the drawn lines, marks start and end where they say."""

import pytest

from sim.ask.drawings import PLACES, VIEWS, Mark, drawing
from sim.ask.questions import QUESTIONS

MARKS = [question.mark for question in QUESTIONS if question.mark]


def lines_of(view: str) -> list[str]:
    return VIEWS[view].strip("\n").split("\n")


@pytest.mark.parametrize("view", PLACES)
def test_places_lie_on_something_drawn(view: str) -> None:
    lines = lines_of(view)
    for name, (row, column) in PLACES[view].items():
        near = lines[row][max(column - 1, 0) : column + 2]
        assert near.strip(), f"{view}: {name} at row {row}, column {column}"


def test_the_invented_jet_stands_as_its_stations_say() -> None:
    side = {name: column for name, (_, column) in PLACES["side"].items()}
    order = ["nose tip", "nose axle", "wing leading edge", "cg", "main axle", "tail leading edge"]
    columns = [side[name] for name in [*order, "scrape point", "end"]]
    assert columns == sorted(columns)
    rows = lines_of("side")
    assert rows[9][side["nose axle"]] == rows[9][side["main axle"]] == "o"


@pytest.mark.parametrize("mark", MARKS, ids=str)
def test_every_mark_can_be_drawn_in_a_terminal(mark: Mark) -> None:
    lines = drawing(mark)
    assert "\n".join(lines).isascii()
    assert max(map(len, lines)) <= 80
    assert mark.label in "\n".join(lines)


@pytest.mark.parametrize("mark", [m for m in MARKS if m.start and not m.up], ids=str)
def test_lengths_along_end_below_their_places(mark: Mark) -> None:
    places = PLACES[mark.view]
    left, right = sorted((places[mark.start][1], places[mark.end][1]))
    arrow = drawing(mark)[-1]
    assert arrow[left] == "|" and arrow[right] == "|" and "<" in arrow[left:right]
    assert arrow.strip().startswith("|<")


@pytest.mark.parametrize("mark", [m for m in MARKS if m.up], ids=str)
def test_heights_end_beside_their_places(mark: Mark) -> None:
    places = PLACES[mark.view]
    rows = {places[mark.start][0], places[mark.end][0]}
    lines = drawing(mark)
    assert {number for number, line in enumerate(lines) if "-+-" in line[60:]} == rows


def test_the_drawing_itself_is_left_alone() -> None:
    plain = drawing(Mark("side"))
    marked = drawing(Mark("side", "nose tip", "cg", "station"))
    for before, after in zip(plain, marked, strict=False):
        same = [a == b for a, b in zip(before, after, strict=False) if b != ":"]
        assert all(same)


def test_unknown_places_are_refused() -> None:
    with pytest.raises(KeyError):
        drawing(Mark("side", "nose tip", "propeller"))
    with pytest.raises(KeyError):
        drawing(Mark("front"))


def test_most_lengths_are_drawn() -> None:
    measured = [q for q in QUESTIONS if q.key.startswith("aeroplane.") and "wheel_d" not in q.key]
    drawn = [q for q in measured if q.mark]
    assert len(drawn) >= 30
