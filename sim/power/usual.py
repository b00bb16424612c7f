"""Numbers taken when the builder gives none. Common practice, each marked where it is used."""

from sim.range import Range

STANDARD_DENSITY = 1.225
"""Of standard air at sea level, ISO 2533 [kg/m3]."""

CONTROLLER_RESISTANCE = Range(1e-3, 2e-3, 4e-3)
"""Battery leads to motor leads of a speed controller of some 60 to 150 A; from memory, no source
[ohm]."""

KEPT_CHARGE = 0.2
"""Share of a pack that is kept in it to spare the cells; common practice, no source [-]."""
