"""A bench reading beside what the parts as described give: two predictions, both at rest.

At the bench's own volts the parts show whether reading and parts agree. The battery as described,
`v = n v_cell - i R_b` at the current read, shows whether it is the one that was on the bench: the
roll has its thrust from the battery described, not from the volts read. Air as at the bench.
"""

from dataclasses import dataclass, replace
from functools import cached_property

from sim.power.battery import Battery
from sim.power.bench import BenchReading
from sim.power.electric import ElectricSystem, operating_point
from sim.power.known import KnownPower, charge_at
from sim.power.operating import OperatingPoint

TOLERANCE = 0.03
"""Difference from a reading that is remarked upon: a hand-held meter's 1 to 2 % and a little of
the battery's warmth (judgement, no source) [-]."""


@dataclass(frozen=True)
class BenchCheck:
    """A reading and the system it is held against.

    Attributes
    ----------
    reading: as read.
    system: the chain as described.
    other_parts: fitted now, but not when it was read.
    matched: whether the rotor was set by this reading, so that it gives it back.
    rolled_thrust: at rest in the roll, in its air [N].
    other_battery: whether another battery was laid over the file the reading stands in.

    """

    reading: BenchReading
    system: ElectricSystem
    other_parts: tuple[str, ...]
    matched: bool
    rolled_thrust: float
    other_battery: bool = False

    @cached_property
    def at_bench_volts(self) -> OperatingPoint:
        """The parts on a supply that holds the volts read, whatever is drawn."""
        return at_volts(self.system, self.reading)

    @cached_property
    def with_battery(self) -> OperatingPoint:
        """The parts on the battery as described."""
        return operating_point(self.system, 0.0, self.reading.density)

    @property
    def held(self) -> float:
        """Voltage the battery as described holds at the current read [V].

        `v = v_oc - i R_b`; 24.66 V, 68 A, 15.6 mohm give 23.60 V. Kirchhoff's voltage law.
        """
        battery = self.system.battery
        return battery.open_voltage - self.reading.current * battery.resistance

    @property
    def volts_apart(self) -> float:
        """How much more it holds than was read, as a share of that [-]."""
        return self.held / self.reading.voltage - 1.0

    @property
    def thrust_apart(self) -> float:
        """How much more thrust at rest its volts give than those of the bench [-]."""
        return self.with_battery.thrust / self.at_bench_volts.thrust - 1.0

    @property
    def battery_agrees(self) -> bool:
        """Whether battery and volts read agree within `TOLERANCE`."""
        return abs(self.volts_apart) <= TOLERANCE

    @property
    def fitting_cell_voltage(self) -> float:
        """Rested voltage of a cell that fits the reading, resistance as described [V].

        `(v + i R_b)/n`; 22.3 V, 68 A, 15.6 mohm, 6 cells give 3.893 V. Kirchhoff's voltage law.
        """
        battery, reading = self.system.battery, self.reading
        return (reading.voltage + reading.current * battery.resistance) / battery.cells

    @property
    def fitting_charge(self) -> float:
        """Share of charge behind that voltage, as `charge_at` [-]."""
        return charge_at(self.fitting_cell_voltage)

    @property
    def fitting_cell_resistance(self) -> float | None:
        """Resistance of a cell that fits the reading, rested voltage as described [ohm].

        `(v_oc - v)/(i n)`; 24.66 V, 22.3 V, 68 A, 6 cells give 5.784 mohm; None when more was
        read under load than the cells have at rest. Kirchhoff's voltage law.
        """
        battery, reading = self.system.battery, self.reading
        lost = battery.open_voltage - reading.voltage
        return lost / (reading.current * battery.cells) if lost >= 0.0 else None


def at_volts(system: ElectricSystem, reading: BenchReading) -> OperatingPoint:
    """Where a chain settles at rest on a supply of the volts read, in the bench's air."""
    supply = Battery(1, reading.voltage, 0.0)
    return operating_point(replace(system, battery=supply), 0.0, reading.density)


def bench_check(known: KnownPower, before: KnownPower | None = None) -> BenchCheck | None:
    """The reading behind a power system, None without one; `before` something was laid over it."""
    if known.bench is None or known.system is None or known.electric is None:
        return None
    old = before.system if before is not None else None
    return BenchCheck(
        other_battery=old is not None and old.battery != known.system.battery,
        reading=known.bench.reading,
        system=known.system,
        other_parts=known.bench.other_parts,
        matched=known.bench.matched,
        rolled_thrust=known.electric.points[0].thrust,
    )
