"""What must not matter: the datum, the units, the output, the company of other rolls."""

import re
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from sim.prepare import prepare
from sim.report import Report, build_report, summary
from sim.roll.engine import Settings
from sim.roll.result import Event, simulate_many, simulate_setup
from sim.scenario import load_scenario, parse_scenario
from tests.documents import Document

SCENARIOS = ("meadow-jet", "flaps-25", "textbook-rotation", "tail-strike")
Change = Callable[[str, str], str]


def document(name: str) -> Document:
    """A shipped scenario with everything it extends."""
    return load_scenario(name).raw


def walked(tree: Any, change: Change, key: str = "") -> Any:
    """A copy with every text replaced by `change(key, text)`."""
    if isinstance(tree, dict):
        return {k: walked(v, change, k) for k, v in tree.items()}
    return change(key, tree) if isinstance(tree, str) else tree


def metres(text: str) -> float:
    """Length of a text such as "470 mm" [m]."""
    number, unit = text.split()
    return float(number) * {"mm": 1e-3, "m": 1.0}[unit]


def moved(*keys: str, by: float) -> Change:
    """Add to every length under some keys."""
    return lambda key, text: f"{metres(text) + by!r} m" if key in keys else text


def reported(tree: Document) -> Report:
    """The whole report of a document."""
    return build_report(prepare(parse_scenario(tree)))


def filled(report: Report) -> dict[str, float]:
    """The figures of the summary that there are."""
    return {k: v for k, v in summary(report).items() if v is not None}


def assert_same(one: Report, other: Report) -> None:
    """Every event, every figure of the summary, every line of advice."""
    assert one.result.verdict == other.result.verdict
    pairs = list(zip(one.result.events, other.result.events, strict=True))
    pairs += zip(one.result.also, other.result.also, strict=True)
    for a, b in pairs:
        assert a.name == b.name
        assert numbers(a) == pytest.approx(numbers(b), rel=1e-9, abs=1e-9), a.name
    first, second = filled(one), filled(other)
    assert first == pytest.approx(second, rel=1e-9, abs=1e-9)
    assert [a.change for a in one.advice] == [a.change for a in other.advice]
    gains = [a.gain for a in one.advice]
    assert gains == pytest.approx([a.gain for a in other.advice], abs=1e-7, nan_ok=True)


def numbers(event: Event) -> list[float]:
    """The event's numbers."""
    return [v for k, v in vars(event).items() if k != "name"]


@pytest.mark.parametrize("name", SCENARIOS)
def test_datum_of_stations(name: str) -> None:
    tree = document(name)
    assert_same(reported(tree), reported(walked(tree, moved("station", by=0.7316))))


@pytest.mark.parametrize("name", SCENARIOS)
def test_datum_of_heights(name: str) -> None:
    tree = document(name)
    heights = walked(tree, moved("height", "axle_height", by=0.2517))
    if "screen_height" in tree["strip"]:
        assert heights["strip"]["screen_height"] == tree["strip"]["screen_height"]
    assert_same(reported(tree), reported(heights))


INTO = {
    "mm": lambda v: f"{v / 25.4!r} in",
    "m": lambda v: f"{v / 0.3048!r} ft",
    "kg": lambda v: f"{v / 0.028349523125!r} oz",
    "m/s": lambda v: f"{v / 0.44704!r} mph",
    "N": lambda v: f"{v / 4.4482216152605!r} lbf",
    "degC": lambda v: f"{v * 1.8 + 32.0!r} degF",
    "m^2": lambda v: f"{v / 0.3048**2!r} ft^2",
    "kg*m^2": lambda v: f"{v / (0.45359237 * 0.3048**2)!r} lb*ft^2",
}


def imperial(key: str, text: str) -> str:
    """A quantity in inches, feet, ounces, miles per hour."""
    found = re.fullmatch(r"(-?[0-9.]+) (\S+)", text)
    if key == "title" or not found or found[2] not in INTO:
        return text
    return INTO[found[2]](float(found[1]))


@pytest.mark.parametrize("name", SCENARIOS)
def test_units(name: str) -> None:
    tree = document(name)
    other = walked(tree, imperial)
    assert other != tree
    one, two = reported(tree), reported(other)
    assert_same(one, two)
    assert spoken(one) == spoken(two)
    assert [e.key for e in one.prepared.estimates] == [e.key for e in two.prepared.estimates]
    assert one.prepared.notes == two.prepared.notes


def spoken(report: Report) -> str:
    """The reason with its numbers, as read aloud."""
    return report.reason.text(lambda q: f"{q.value:.6g}")


@pytest.mark.parametrize("name", SCENARIOS)
def test_output_grid(name: str) -> None:
    """Kept steps or none, alone or among others: the same events to the last bit."""
    setup = prepare(load_scenario(name)).setup
    alone = simulate_setup(setup)
    others = [prepare(load_scenario(n)).setup for n in SCENARIOS]
    among = simulate_many([*others, setup])
    result = among.result(len(others))
    assert result.trace is None and result.events == alone.events
    assert result.figures == pytest.approx(alone.figures, nan_ok=True, rel=0, abs=0)


@pytest.mark.parametrize("name", SCENARIOS)
def test_tolerance_of_the_integration(name: str) -> None:
    """A tolerance a hundred times tighter moves no event by more than 1e-4 of itself."""
    setup = prepare(load_scenario(name)).setup
    usual, tight = simulate_setup(setup), simulate_setup(setup, Settings(tolerance=1e-8))
    assert usual.verdict == tight.verdict
    for a, b in zip(usual.events, tight.events, strict=True):
        assert [a.time, a.distance, a.airspeed] == pytest.approx(
            [b.time, b.distance, b.airspeed], rel=1e-4
        )
        assert np.isclose(a.pitch, b.pitch, atol=1e-4)
