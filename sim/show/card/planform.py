"""A surface of a file as one that answers for its chords."""

from sim.aeroplane.geometry import Section, Surface
from sim.scenario import surfaces as files

UNUSED = Section(thickness=0.1)
"""A planform has no section; nobody asks for this one."""


def planform(surface: files.Surface) -> Surface:
    """Span, chords, sweep and place, as measured."""
    edge = surface.root_leading_edge
    return Surface(
        surface.span, surface.root_chord, surface.tip_chord, surface.sweep, edge.station,
        edge.height, UNUSED,
    )  # fmt: skip
