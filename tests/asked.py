"""A builder with a tape: answers by key, and a conversation that needs no terminal."""

from collections.abc import Iterator, Mapping
from typing import Any

from sim.ask.conversation import converse
from sim.ask.question import Question, applies
from sim.ask.questions import QUESTIONS

TAPE = {
    "title": "Second jet on the mown strip",
    "aeroplane.length": "1.26 m",
    "aeroplane.body.width": "125 mm",
    "aeroplane.body.depth": "118 mm",
    "aeroplane.gear.main.station": "655 mm",
    "aeroplane.gear.main.axle_height": "-118 mm",
    "aeroplane.gear.main.wheel_diameter": "70 mm",
    "aeroplane.gear.main.track": "320 mm",
    "aeroplane.gear.nose.station": "210 mm",
    "aeroplane.gear.nose.wheel_diameter": "65 mm",
    "aeroplane.gear.nose.axle_height": "-124 mm",
    "?balance": "mass and CG",
    "aeroplane.mass": "3.1 kg",
    "aeroplane.cg.station": "600 mm",
    "aeroplane.cg.height": "4 mm",
    "aeroplane.scrape_point.station": "1205 mm",
    "aeroplane.scrape_point.height": "-8 mm",
    "aeroplane.weighing.nose": "383 g",
    "aeroplane.weighing.mains": "2717 g",
    "?tilted": "yes",
    "aeroplane.weighing.tilted.angle": "15 deg",
    "aeroplane.weighing.tilted.nose": "163 g",
    "?swing": "yes",
    "aeroplane.swing.string_separation": "500 mm",
    "aeroplane.swing.string_length": "1.5 m",
    "aeroplane.swing.period": "2.0 s",
    "aeroplane.wing.span": "1.02 m",
    "aeroplane.wing.root_chord": "470 mm",
    "aeroplane.wing.tip_chord": "180 mm",
    "aeroplane.wing.sweep": "24 deg",
    "aeroplane.wing.root_leading_edge.station": "395 mm",
    "aeroplane.wing.root_leading_edge.height": "-6 mm",
    "aeroplane.wing.incidence": "1 deg",
    "aeroplane.wing.section.name": "symmetrical",
    "aeroplane.wing.section.thickness": "9 %",
    "aeroplane.wing.washout": "0 deg",
    "?flaps": "yes",
    "aeroplane.wing.flaps.kind": "plain",
    "aeroplane.wing.flaps.inboard": "80 mm",
    "aeroplane.wing.flaps.outboard": "300 mm",
    "aeroplane.wing.flaps.chord_fraction": "0.22",
    "aeroplane.wing.flaps.deflection": "10 deg",
    "aeroplane.tail.kind": "all-moving",
    "aeroplane.tail.span": "480 mm",
    "aeroplane.tail.root_chord": "190 mm",
    "aeroplane.tail.tip_chord": "105 mm",
    "aeroplane.tail.sweep": "30 deg",
    "aeroplane.tail.root_leading_edge.station": "945 mm",
    "aeroplane.tail.root_leading_edge.height": "10 mm",
    "aeroplane.tail.incidence": "0 deg",
    "aeroplane.tail.section.name": "symmetrical",
    "aeroplane.tail.section.thickness": "6 %",
    "aeroplane.tail.throw.up": "10 deg",
    "aeroplane.tail.throw.down": "10 deg",
    "power.static_thrust": "21 N",
    "?fall-off": "zero-thrust airspeed",
    "power.zero_thrust_airspeed": "72 m/s",
    "power.exit_diameter": "68 mm",
    "power.spool_time": "0.6 s",
    "power.thrust_line.height": "6 mm",
    "strip.surface": "mown grass",
    "strip.length": "70 m",
    "strip.slope": "0 %",
    "air.temperature": "18 degC",
    "air.elevation": "140 m",
    "air.headwind": "0 m/s",
    "pilot.pull_at": "20 m",
    "pilot.pull": "1.0",
    "pilot.climb_attitude": "10 deg",
    "aeroplane.gear.ground_attitude": "1.5 deg",
    "aeroplane.tail.elevator_chord_fraction": "0.35",
}
"""An answer to every question."""


def ordered(answers: Mapping[str, str]) -> Iterator[tuple[Question, str]]:
    """The questions these answers lead to, in order, each with its answer."""
    known = {key: value or None for key, value in answers.items()}
    for question in QUESTIONS:
        if applies(question, known):
            yield question, answers[question.key]


def lines(answers: Mapping[str, str]) -> list[str]:
    """What the builder types."""
    return [answer for _, answer in ordered(answers)]


class Pipe:
    """A way to ask and to say without a terminal; remembers everything."""

    def __init__(self, typed: list[str]) -> None:
        self.typed = list(typed)
        self.shown: list[str] = []

    def ask(self, prompt: str) -> str:
        self.shown.append(prompt)
        if not self.typed:
            raise EOFError
        return self.typed.pop(0)

    @property
    def text(self) -> str:
        return "\n".join(self.shown)


def answered(typed: list[str], drawings: bool = False) -> tuple[dict[str, Any], Pipe]:
    """The scenario that comes of what is typed, and what was shown."""
    pipe = Pipe(typed)
    tree = converse(pipe.ask, pipe.shown.append, drawings)
    assert not pipe.typed, "answers left over"
    return tree, pipe
