"""All the questions, in the order they are asked."""

from sim.ask.question import Question
from sim.ask.questions_body import BALANCE, BODY, WHEELS
from sim.ask.questions_day import DAY, POWER
from sim.ask.questions_surfaces import TAIL, WING

QUESTIONS: tuple[Question, ...] = (*BODY, *WHEELS, *BALANCE, *WING, *TAIL, *POWER, *DAY)

ALWAYS = {"power.kind": "measured"}
"""Keys that are written without being asked for."""
