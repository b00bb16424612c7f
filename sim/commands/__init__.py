"""The commands: each parses its words, calls a room and shows the answer. No physics.

Importing this package puts every command into `sim.commands.app.app`.
"""

from sim.commands import card, check, find, fit, ladder, replay, roll, spread, start, tinker, vary

__all__ = [
    "card",
    "check",
    "find",
    "fit",
    "ladder",
    "replay",
    "roll",
    "spread",
    "start",
    "tinker",
    "vary",
]
