"""Pictures of a roll: each function takes a report and optional axes and gives the axes back."""

from sim.show.figures.budget import budget_figure
from sim.show.figures.loads import loads_figure
from sim.show.figures.pitch import pitch_figure
from sim.show.figures.save import save_pictures
from sim.show.figures.speed import speed_figure

__all__ = [
    "budget_figure",
    "loads_figure",
    "pitch_figure",
    "save_pictures",
    "speed_figure",
]
