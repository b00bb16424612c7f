"""The mass ledger: masses put in and taken out of an aeroplane whose own balance is known.

Stations run aft, heights up, both from any fixed datum. Each row is a point mass: its own
inertia is left out, as is right for parts much smaller than the aeroplane.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum


@dataclass(frozen=True)
class MassProperties:
    """Mass [kg], CG station and height [m], pitch inertia about the CG [kg m2]."""

    mass: float
    station: float
    height: float
    pitch_inertia: float

    def record(self) -> dict[str, float]:
        """The same for a document, SI, units in the keys."""
        return {
            "mass_kg": self.mass,
            "cg_station_m": self.station,
            "cg_height_m": self.height,
            "pitch_inertia_kg_m2": self.pitch_inertia,
        }


@dataclass(frozen=True)
class Row:
    """A mass put in; negative: taken out.

    Attributes
    ----------
    item: what it is, in the builder's words.
    mass: [kg].
    station, height: where its middle lies [m].
    change: name of the change that brings it.

    """

    item: str
    mass: float
    station: float
    height: float
    change: str = ""


@dataclass(frozen=True)
class Ledger:
    """The aeroplane as it was, every row on top, and what it comes to."""

    base: MassProperties
    rows: tuple[Row, ...]
    total: MassProperties


def ledger(base: MassProperties, rows: Sequence[Row]) -> Ledger:
    """The ledger of rows on top of a base.

    Raises
    ------
    ValueError
        As `total`.

    """
    return Ledger(base, tuple(rows), total(base, rows))


def total(base: MassProperties, rows: Sequence[Row]) -> MassProperties:
    """Mass properties with point masses added, by the parallel-axis theorem.

    `M = m_0 + sum m`, CG shift `d = sum(m r)/M` from the base's CG, `r` from there to the
    mass, `I = I_0 + sum(m r^2) - M d^2` [kg, m, kg m2]. Sums are exact to the last digit, so
    the order of rows does not matter; without rows the base itself comes back.
    Range: parts whose own size is small against their distance from the CG.
    Worked: 3.0 kg with 0.15 kg m2, 0.2 kg put in 0.4 m ahead and 0.1 m below the CG:
    3.2 kg, CG 0.025 m ahead and 0.00625 m lower, 0.181875 kg m2.
    Source: parallel-axis (Huygens-Steiner) theorem, any mechanics text; derived.

    Raises
    ------
    ValueError
        When more mass is taken out than there is, or no positive inertia is left.

    """
    if not rows:
        return base
    mass = fsum((base.mass, *(row.mass for row in rows)))
    if mass <= 0.0:
        out = -fsum(row.mass for row in rows)
        raise ValueError(
            f"{1e3 * out:.4g} g taken out of {1e3 * base.mass:.4g} g leave {1e3 * mass:.4g} g"
        )
    arms = [(row.mass, row.station - base.station, row.height - base.height) for row in rows]
    along = fsum(m * x for m, x, _ in arms) / mass
    up = fsum(m * z for m, _, z in arms) / mass
    spread = fsum(m * (x * x + z * z) for m, x, z in arms)
    inertia = base.pitch_inertia + spread - mass * (along * along + up * up)
    if inertia <= 0.0:
        raise ValueError(
            f"what is taken out holds more pitch inertia than the {base.pitch_inertia:.4g} kg m2"
            f" there are: {inertia:.4g} kg m2 would be left"
        )
    return MassProperties(mass, base.station + along, base.height + up, inertia)
