"""Two thousand random scenarios through the same doors as a file: no traceback, no nan, no hang.

Two tests and no shared fixture, so that two workers share the time.
"""

import time
from collections import Counter
from collections.abc import Iterable
from dataclasses import asdict
from math import isfinite

import numpy as np

from sim.prepare import Prepared, prepare
from sim.report import build_report, summary
from sim.roll.events import End, Happening
from sim.roll.result import Many, simulate_many
from sim.roll.verdict import Verdict
from sim.scenario import ScenarioError, parse_scenario
from tests.documents import Document
from tests.random_documents import given_document, measured_document

SEED = 11
GIVEN, MEASURED = 1720, 300
LEAST_OF_EACH = 20
REPORTS, ADVISED = 100, 10


def accepted(documents: Iterable[Document]) -> list[Prepared]:
    """Every document that can stand on its wheels, made ready."""
    prepared = []
    for document in documents:
        try:
            prepared.append(prepare(parse_scenario(document)))
        except ScenarioError as error:  # a scrape point in the ground, told in the user's words
            assert error.problems
    return prepared


def test_two_thousand_rolls_side_by_side() -> None:
    documents = [given_document(SEED, i) for i in range(GIVEN)]
    ready = accepted(documents + [measured_document(SEED, i) for i in range(MEASURED)])
    assert len(ready) >= 2000
    start = time.perf_counter()
    many = simulate_many([p.setup for p in ready])
    counts = Counter(many.verdicts)
    ends = Counter(End(int(end)) for end in many.facts.end)
    print(f"{len(ready)} rolls in {time.perf_counter() - start:.0f} s")
    print({verdict.value: counts[verdict] for verdict in Verdict})
    print({end.name: count for end, count in ends.items()})
    assert all(counts[verdict] >= LEAST_OF_EACH for verdict in Verdict)
    assert End.RUNNING not in ends
    assert ends[End.GAVE_UP] <= 0.005 * len(ready)
    check_numbers(many)
    check_agreement(many)
    for lane in (0, 400, 801, 1202, 1603, 1900):
        alone = simulate_many([ready[lane].setup]).result(0)
        assert bool(alone.events == many.result(lane).events), f"roll {lane} minds its company"


def check_numbers(many: Many) -> None:
    """No nan, no load below zero by more than the location of an event leaves, times in order.

    A rolling start that could not stand still lifts its nose at time zero: its load is then what
    three wheels would have to carry, below zero.
    """
    assert np.isfinite(many.outcome.states).all()
    for lane, setup in enumerate(many.setups):
        result = many.result(lane)
        least = -1e-5 * setup.parameters.mass * setup.parameters.gravity
        for event in (*result.events, *result.also):
            assert all(isfinite(v) for k, v in asdict(event).items() if k != "name")
            lowest = min(event.main_load, event.nose_load, event.tail_load)
            assert lowest > least or event.time == 0.0
        times = [event.time for event in result.events]
        assert times == sorted(times) and all(t >= 0.0 for t in times)
        assert 0.0 <= result.figures["end_time"] <= 90.0 + 1e-9


def check_agreement(many: Many) -> None:
    """Verdicts and events tell the same story."""
    happened = np.isfinite(many.facts.first_time)
    lifted, verdicts = happened[Happening.LIFT_OFF], np.array(many.verdicts)
    for verdict in (Verdict.AIRBORNE, Verdict.AIRBORNE_TOO_LATE, Verdict.SETTLES_BACK):
        assert lifted[verdicts == verdict].all()
    for verdict in (Verdict.TOO_SLOW, Verdict.NEVER_ROTATES, Verdict.DOES_NOT_MOVE):
        assert not lifted[verdicts == verdict].any()
    assert happened[Happening.ABORT][verdicts == Verdict.ABORTED].all()
    assert happened[Happening.SCREEN_HEIGHT][verdicts == Verdict.AIRBORNE].all()


def test_a_hundred_reports() -> None:
    """Reason, budget and summary are whole, with every verdict among the hundred."""
    drawn = accepted(given_document(SEED, i) for i in range(REPORTS + 5))[:REPORTS]
    seen: Counter[Verdict] = Counter()
    for number, prepared in enumerate(drawn):
        report = build_report(prepared, with_advice=number < ADVISED)
        seen[report.result.verdict] += 1
        values = [q.value for q in report.reason.quantities.values()]
        assert all(isfinite(v) for v in values), (prepared.title, report.reason)
        assert "{" not in report.reason.text(lambda q: f"{q.value:.3g}")
        assert isfinite(report.decisive_airspeed) and np.isfinite(report.budget.nose_load).all()
        assert all(v is None or isfinite(v) for v in summary(report).values())
        if report.result.verdict == Verdict.NEVER_ROTATES:
            assert not isfinite(report.outlook.needed) and report.outlook.least_nose_load > 0.0
    print({verdict.value: seen[verdict] for verdict in Verdict})
    assert len(drawn) == REPORTS and all(seen[verdict] for verdict in Verdict)
