"""What is known of a power system beside its thrust curve, for reports and checks."""

from dataclasses import dataclass

import numpy as np

from sim.power.battery import CELL_VOLTS, CHARGE
from sim.power.bench import BenchReading
from sim.power.electric import ElectricCurve, ElectricSystem, operating_point
from sim.power.engine_propeller import EngineCurve
from sim.power.margins import (
    Load,
    Margin,
    PowerLimits,
    electric_margins,
    rotation_margin,
)
from sim.power.operating import OperatingPoint
from sim.power.usual import KEPT_CHARGE

NO_LIMITS = PowerLimits()


@dataclass(frozen=True)
class TakenReading:
    """A bench reading and how it stands to the parts fitted now.

    Attributes
    ----------
    reading: as read.
    other_parts: fitted now, but not when it was read.
    matched: whether the rotor was set by it, so that the parts give it back.

    """

    reading: BenchReading
    other_parts: tuple[str, ...]
    matched: bool


@dataclass(frozen=True)
class KnownPower:
    """A power system as far as the scenario tells of it.

    Attributes
    ----------
    kind: as in the scenario.
    density: of the air it works in [kg/m3].
    limits: given by the builder.
    rotor: "fan" or "propeller", or "".
    system: the electric chain, or None.
    electric: its operating points over airspeed, or None.
    engine: propeller turned without electrics, or None.
    capacity: of the pack, or None [A s].
    charge_share: how full it is at the start, or None [-].
    exit_area: of the duct, or None [m2].
    bench: the reading it rests on, or None.
    doubts: what can hardly be true in readings and sizes; stands first wherever it is told.
    remarks: what else is out of range, or predicted rather than read.

    """

    kind: str
    density: float
    limits: PowerLimits = NO_LIMITS
    rotor: str = ""
    system: ElectricSystem | None = None
    electric: ElectricCurve | None = None
    engine: EngineCurve | None = None
    capacity: float | None = None
    charge_share: float | None = None
    exit_area: float | None = None
    bench: TakenReading | None = None
    doubts: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def notes(self) -> tuple[str, ...]:
        """Everything a reader should know, doubts first."""
        return self.doubts + self.remarks

    @property
    def margins(self) -> tuple[Margin, ...]:
        """Every limit given, against the curve."""
        if self.electric is not None:
            return electric_margins(self.electric.points, self.limits, self.rotor)
        if self.engine is None:
            return ()
        pulling = self.engine.thrust >= 0.0
        load = Load(self.engine.airspeeds[pulling].tolist(), self.engine.rotation[pulling].tolist())
        return rotation_margin(load, self.limits, self.rotor)

    def point(self, airspeed: float) -> OperatingPoint | None:
        """Operating point at an airspeed [m/s], None without electrics."""
        if self.system is None:
            return None
        return operating_point(self.system, airspeed, self.density)

    def full_throttle_time(self, kept: float = KEPT_CHARGE) -> float | None:
        """Time at the current of standstill until a share of the pack is left, or None [s].

        `t = max(s - kept, 0) C/i`, s the share at the start; 4 A h, full, 78 A, 0.2 kept give
        147.7 s. Source: conservation of charge.
        """
        if self.capacity is None or self.charge_share is None or self.electric is None:
            return None
        usable = max(self.charge_share - kept, 0.0) * self.capacity
        return usable / self.electric.points[0].current


def charge_at(cell_voltage: float) -> float:
    """Share of charge behind the rested voltage of a lithium-polymer cell [V -> -].

    The table of `sim.power.battery` read backwards, clipped to 0..1; 3.84 V give 0.5.
    Common practice, from memory, no source.
    """
    return float(np.interp(cell_voltage, CELL_VOLTS, CHARGE))
