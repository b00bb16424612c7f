"""What the wheels roll on: rolling resistance as ranges, never a bare constant.

Two kinds of numbers stand side by side and are not to be confused. `SURFACES` are the
working ranges for the small wheels of models; `PUBLISHED` are handbook values for full-size
wheels, which roll far better on grass. No published measurement for wheels of 60 to 90 mm on
grass was found: a tow test or a coast-down on the builder's own strip beats every row here.
"""

from dataclasses import dataclass

from sim.range import Range

PRACTICE = "common practice, from memory, no source; wheels of 60-90 mm"
WHEEL_DIAMETER_RANGE = (0.060, 0.090)
"""Wheel diameters the ranges of `SURFACES` are meant for [m]."""

CAVEAT = (
    "Rolling resistance of small wheels on grass is known to an order of magnitude only:"
    " measure it with a tow test (pack disconnected) or a coast-down (power off), everybody"
    " clear of its path."
)


@dataclass(frozen=True)
class Surface:
    """A strip surface.

    Attributes
    ----------
    name: as written in a scenario.
    rolling_resistance: at the axle of a free wheel [-].
    description: how to tell it by looking.
    source: where the range comes from.

    """

    name: str
    rolling_resistance: Range
    description: str
    source: str = PRACTICE


@dataclass(frozen=True)
class PublishedResistance:
    """A handbook rolling resistance for full-size wheels [-], its source and how it was seen."""

    surface: str
    low: float
    high: float
    source: str
    mark: str


SURFACES: dict[str, Surface] = {
    s.name: s
    for s in (
        Surface("pavement", Range(0.02, 0.035, 0.06), "asphalt or concrete, dry"),
        Surface("matting", Range(0.03, 0.05, 0.08), "woven or rubber matting on firm ground"),
        Surface("short grass", Range(0.06, 0.09, 0.13), "under 20 mm, firm and dry"),
        Surface("mown grass", Range(0.09, 0.13, 0.20), "25-40 mm, dry"),
        Surface("long grass", Range(0.18, 0.27, 0.40), "50-80 mm, dry"),
        Surface("wet grass", Range(0.12, 0.17, 0.26), "mown, wet"),
        Surface("soft ground", Range(0.20, 0.32, 0.50), "wheels leave a rut"),
    )
}

_RAYMER = "Raymer, Aircraft Design: A Conceptual Approach, Table 17.1"
_ANDERSON = "Anderson, Introduction to Flight"
_REPEATED = "widely repeated (von Mises; McCormick)"
_CARVILL = "Carvill, Mechanical Engineer's Data Handbook"
_MCKIBBEN = "McKibben & Davidson 1939, in Marks' Handbook"

PUBLISHED: tuple[PublishedResistance, ...] = (
    PublishedResistance("dry concrete, asphalt", 0.03, 0.05, _RAYMER, "second-hand"),
    PublishedResistance("paved", 0.02, 0.02, _ANDERSON, "second-hand"),
    PublishedResistance("wet paved", 0.05, 0.05, _RAYMER, "second-hand"),
    PublishedResistance("icy paved", 0.02, 0.02, _RAYMER, "second-hand"),
    PublishedResistance("firm dirt", 0.04, 0.04, _RAYMER, "second-hand"),
    PublishedResistance("hard turf", 0.05, 0.05, _RAYMER, "second-hand"),
    PublishedResistance("soft turf", 0.07, 0.07, _RAYMER, "second-hand"),
    PublishedResistance("wet grass", 0.08, 0.08, _RAYMER, "second-hand"),
    PublishedResistance("short grass", 0.05, 0.05, _REPEATED, "from memory"),
    PublishedResistance("long grass", 0.10, 0.10, _REPEATED, "from memory"),
    PublishedResistance("soft ground", 0.10, 0.30, _REPEATED, "from memory"),
    PublishedResistance("pneumatic tyre in sand", 0.1, 0.2, _CARVILL, "second-hand"),
    PublishedResistance(
        "0.45-0.9 m wheels on bluegrass sod", 0.05, 0.094, _MCKIBBEN, "from memory"
    ),
)
"""Full-size values, for comparison only; no roll is computed with them unless written so."""

SCRAPING = Range(0.3, 0.5, 0.8)
"""Friction of a foam or composite tail dragged over grass or pavement [-]: a judgement, no
source. It decides only how a roll goes on after the tail has struck."""


def wheel_notes(surface: Surface, *diameters: float) -> tuple[str, ...]:
    """Say which wheels lie outside the sizes a surface's range is meant for.

    Parameters
    ----------
    surface
        the strip.
    diameters
        of every wheel [m].

    """
    low, high = WHEEL_DIAMETER_RANGE
    notes = []
    for diameter in dict.fromkeys(diameters):
        if low <= diameter <= high:
            continue
        trend = "more" if diameter < low else "less"
        notes.append(
            f"wheel of {1000 * diameter:.0f} mm: the rolling resistance of {surface.name} is meant"
            f" for {1000 * low:.0f}-{1000 * high:.0f} mm; {trend} is taken, by the square root of"
            " the diameter, an order of magnitude only"
        )
    return tuple(notes)


def sinkage_factor(exponent: float) -> float:
    """Shape factor of the sinkage resistance [-].

    `k = 3/[(3 - n)(n + 1)]`, sinkage exponent 0 <= n <= 1.5; n = 0, 0.5, 1 give 1.000, 0.800,
    0.750. Bekker, Theory of Land Locomotion (1956); Wong, Theory of Ground Vehicles, ch. 2 (from
    memory). It keeps two terms of the load's series: exact at n = 0 and 1, 5.8 % low at 0.5.

    Raises
    ------
    ValueError
        For an exponent outside the range.

    """
    if not 0.0 <= exponent <= 1.5:
        raise ValueError(f"sinkage exponent {exponent:g} is outside 0 to 1.5")
    return 3.0 / ((3.0 - exponent) * (exponent + 1.0))


def sinkage_resistance(
    firm: float, sinkage: float, diameter: float, exponent: float = 0.5
) -> float:
    """Rolling resistance of a wheel that sinks in: order of magnitude only.

    `mu = mu_firm + k sqrt(z/D)` [-], sinkage up to a sixth of the diameter; 0.04 firm and 1 mm
    under a 64 mm wheel, n = 0.5, give 0.14. Bekker (1956), as in Wong. A rigid wheel on soil
    that carries like a sunken flat plate: known not to hold for small wheels
    (Meirion-Griffith & Spenko, J. Terramechanics, from memory); the trend with wheel size is
    what it is good for.

    Parameters
    ----------
    firm
        rolling resistance without sinkage [-].
    sinkage
        depth of the rut under load [m].
    diameter
        of the wheel [m].
    exponent
        of pressure against sinkage, 0 clay to 1 sand [-].

    Raises
    ------
    ValueError
        For a diameter that is not positive, a negative sinkage or one beyond the radius.

    """
    if diameter <= 0.0 or not 0.0 <= sinkage <= diameter / 2.0:
        raise ValueError("sinkage must lie between 0 and the wheel's radius")
    return float(firm + sinkage_factor(exponent) * (sinkage / diameter) ** 0.5)
