"""Places on the strip as people find them: metres or feet, and paces."""

from math import floor, isfinite

from sim.checks.abort import Band
from sim.show.units import quantity, unit_of

PACE = 0.75
"""A long walking step on grass [m]. A judgement, no source: pace out a tape and count your own."""

ROUNDING = 1e-9
"""Share by which a whole number may be missed and still be that number."""


def paces(place: float) -> int:
    """Whole paces from the start of the roll [m -> -]; 44 m are 59."""
    return round(place / PACE)


def paces_text(place: float) -> str:
    """The same in words."""
    return _counted(paces(place))


def _counted(count: int) -> str:
    return "1 pace" if count == 1 else f"{count} paces"


def place_text(place: float, system: str) -> str:
    """Such as "44.0 m (59 paces)"; in words where there is none."""
    if not isfinite(place):
        return "nowhere"
    return f"{quantity(place, 'distance', system)} ({paces_text(place)})"


def stop_metres(place: float, system: str) -> str:
    """A place of closing the throttle, rounded down, never up: closed there it does stop."""
    unit = unit_of("distance", system)
    steps = 10**unit.decimals
    shown = floor(unit.shown(place) * steps * (1.0 + ROUNDING)) / steps
    return f"{shown:.{unit.decimals}f} {unit.symbol}"


def stop_paces(place: float) -> str:
    """The same in whole paces, such as "19 paces" for 14.7 m, of which 20 are 15.0 m."""
    return _counted(floor(place / PACE * (1.0 + ROUNDING)))


def stop_text(place: float, system: str) -> str:
    """Such as "14.7 m (19 paces)"; in words where there is none."""
    if not isfinite(place):
        return "nowhere"
    return f"{stop_metres(place, system)} ({stop_paces(place)})"


def band_text(band: Band, system: str) -> str:
    """Where it is expected, and between which places within what is uncertain."""
    text = place_text(band.typical, system)
    if band.early == band.late:
        return text
    ends = (
        quantity(x, "distance", system) if isfinite(x) else "never" for x in (band.early, band.late)
    )
    return f"{text}, uncertain: {' to '.join(ends)}"


def band_paces(band: Band) -> str:
    """Such as "59 paces (50 to 82)"."""
    if not isfinite(band.typical):
        return "never"
    text = paces_text(band.typical)
    if band.early == band.late:
        return text
    late = str(paces(band.late)) if isfinite(band.late) else "never"
    return f"{text} ({paces(band.early)} to {late})"
