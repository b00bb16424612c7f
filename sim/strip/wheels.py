"""What the size of a wheel does to its rolling resistance: one law, three ways into it.

`mu = mu_firm + k sqrt(z/D)` (pressure-sinkage, `sim.strip.surface.sinkage_resistance`) leaves
`(mu - mu_firm) sqrt(D)` alike for every wheel that leaves the same rut. A resistance known for
one wheel so becomes that of another, whether it comes from a table of surfaces, from the depth of
a rut, or from a measurement. An order of magnitude, as the law it follows from.
"""

from collections.abc import Callable
from dataclasses import dataclass

from sim.range import Range
from sim.strip.surface import SURFACES, sinkage_resistance

REFERENCE_DIAMETER = 0.075
"""Middle of the 60-90 mm the ranges of `SURFACES` are meant for [m]."""

FIRM = SURFACES["pavement"].rolling_resistance
"""Rolling resistance without a rut: what small wheels have on pavement [-]."""

SINKAGE_EXPONENT = 0.5
"""Of pressure against sinkage, between clay (0) and sand (1) [-]."""

SINKAGE_REACH = 1.0 / 6.0
"""Share of the diameter up to which the sinkage law was meant."""


@dataclass(frozen=True)
class AxleRanges:
    """Rolling resistance of main wheels and nose wheel [-]."""

    main: Range
    nose: Range


def resized_resistance(value: float, firm: float, known_for: float, diameter: float) -> float:
    """Rolling resistance of a wheel from that of another on the same ground [-].

    `mu(D) = mu_firm + (mu - mu_firm) sqrt(D_known/D)` [-]; a sixth of D or less of sinkage; 0.13
    of a 75 mm wheel, firm 0.035, gives 0.1333 for 70 mm and 0.0686 for 0.6 m. From the sinkage
    law of Bekker (1956), the rut taken alike for both wheels. At or below `firm` nothing is
    changed: there is no rut to account for.

    Parameters
    ----------
    value
        rolling resistance of the wheel it is known for [-].
    firm
        rolling resistance without a rut [-].
    known_for, diameter
        of the wheel it is known for, and of the wheel wanted [m].

    Raises
    ------
    ValueError
        For a diameter that is not positive.

    """
    if known_for <= 0.0 or diameter <= 0.0:
        raise ValueError("wheel diameters must be positive")
    if value <= firm:
        return value
    return float(firm + (value - firm) * (known_for / diameter) ** 0.5)


def surface_resistance(surface: str, diameter: float) -> Range:
    """Range of a wheel on a surface of `SURFACES` [-], each end above pavement's same end.

    Parameters
    ----------
    surface
        its name.
    diameter
        of the wheel [m].

    """
    return _by_end(
        SURFACES[surface].rolling_resistance,
        lambda value, firm: resized_resistance(value, firm, REFERENCE_DIAMETER, diameter),
    )


def rut_resistance(sinkage: float, diameter: float) -> Range:
    """Range of a wheel that leaves a rut of this depth [-], from the sinkage law itself.

    Parameters
    ----------
    sinkage
        depth of the rut under load [m].
    diameter
        of the wheel [m].

    Raises
    ------
    ValueError
        For a rut deeper than the wheel's radius.

    """
    return _by_end(
        FIRM, lambda _, firm: sinkage_resistance(firm, sinkage, diameter, SINKAGE_EXPONENT)
    )


def measured_resistance(measured: Range, measured_with: float | None, diameter: float) -> Range:
    """Range of a wheel from a measured one [-]; as measured when no wheel is told.

    All three numbers are held against pavement's typical value, so that their order is kept.

    Parameters
    ----------
    measured
        as measured [-].
    measured_with
        diameter of the wheels it was measured with, or None for the aeroplane's own [m].
    diameter
        of the wheel wanted [m].

    """
    if measured_with is None:
        return measured
    low, typical, high = (
        resized_resistance(value, FIRM.typical, measured_with, diameter)
        for value in (measured.low, measured.typical, measured.high)
    )
    return Range(low, typical, high)


def common_diameter(main: float, nose: float, main_share: float) -> float:
    """Diameter of one wheel that stands for both axles [m].

    `1/sqrt(D) = s/sqrt(D_main) + (1 - s)/sqrt(D_nose)` [m], any load share s of the mains; 70
    and 65 mm with 0.8 on the mains give 68.96 mm. Own derivation from the sinkage law: the load
    times the sum above firm ground comes out as with the two wheels.

    Parameters
    ----------
    main, nose
        wheel diameters [m].
    main_share
        of the load, on the mains, 0 to 1.

    """
    return float((main_share * main**-0.5 + (1.0 - main_share) * nose**-0.5) ** -2)


def _by_end(span: Range, law: Callable[[float, float], float]) -> Range:
    """Apply a law of (value, firm value) to low, typical and high."""
    return Range(
        law(span.low, FIRM.low), law(span.typical, FIRM.typical), law(span.high, FIRM.high)
    )
