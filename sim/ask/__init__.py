"""Starting from nothing: the questions, how they are asked and checked, and the file they make."""

from sim.ask.commented import commented
from sim.ask.conversation import UnfinishedError, converse
from sim.ask.copying import copied

__all__ = ["UnfinishedError", "commented", "converse", "copied"]
