"""The whole scenario file as one model."""

from typing import Annotated

from pydantic import Field

from sim.scenario.aeroplane import Aeroplane
from sim.scenario.fields import Note, Part
from sim.scenario.pilot import Pilot
from sim.scenario.power import Power
from sim.scenario.strip import Air, Strip


class Document(Part):
    """One aeroplane, power system, strip, air and pilot technique."""

    title: Annotated[str, Field(max_length=200), Note("A line to tell scenarios apart.")] = ""
    aeroplane: Annotated[Aeroplane, Note("The aeroplane.")]
    power: Annotated[Power, Note("The power system.")]
    strip: Annotated[Strip, Note("The strip.")]
    air: Annotated[Air, Note("The air on the day.", "a standard, calm day at sea level")] = Air()
    pilot: Annotated[Pilot, Note("What the pilot does.")]
