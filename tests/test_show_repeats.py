"""A roll that bounces on and on stays readable."""

from dataclasses import replace

from sim.roll.verdict import Verdict
from sim.show.document import document
from sim.show.figures import speed_figure
from sim.show.repeats import tell
from sim.show.terminal import report_text
from tests.test_show_reports import report_of


def bouncing(count):
    report = report_of(Verdict.AIRBORNE)
    last = report.result.events[-1]
    again = [
        replace(last, name="nose-wheel-down-again", time=last.time - 0.001 * (count - i))
        for i in range(count)
    ]
    events = (*report.result.events[:-1], *again, last)
    also = tuple(replace(event, name="mains-down-again") for event in again)
    return replace(report, result=replace(report.result, events=events, also=also))


def test_the_first_few_are_told_and_the_rest_counted():
    told = tell(bouncing(10).result.events)
    assert [event.name for event in told.events].count("nose-wheel-down-again") == 3
    assert told.more == {"nose-wheel-down-again": 7}
    assert told.words("8.70 s") == "and 7 more nose-wheel-down-again until 8.70 s"
    assert told.until == bouncing(10).result.events[-2].time


def test_nothing_is_counted_when_all_is_told():
    events = report_of(Verdict.AIRBORNE).result.events
    told = tell(events)
    assert told.events == events and told.words("1 s") == ""


def test_report_and_picture_stay_short_and_the_document_whole():
    report = bouncing(200)
    text = report_text(report)
    assert "and 197 more nose-wheel-down-again until" in text
    assert "and 197 more mains-down-again until" in text
    assert text.count("\n") < 150
    assert max(map(len, text.split("\n"))) <= 80
    axes = speed_figure(report)
    labels = [text.get_text() for text in axes.texts]
    assert len(labels) <= len(report_of(Verdict.AIRBORNE).result.events) + 2
    assert axes.figure.get_size_inches()[1] < 6.5
    assert len(document(report)["events"]) == len(report.result.events)
