"""What a bench reading says about the parts of a scenario, and which of them it was taken with."""

from dataclasses import dataclass, replace

from sim.power.bench import BenchReading, voltage_remarks
from sim.power.bench_check import TOLERANCE, at_volts
from sim.power.ducted_rotor import FanSize, exit_remarks
from sim.power.electric import ElectricSystem
from sim.power.known import TakenReading
from sim.power.motor import Motor
from sim.power.rotor import RPM
from sim.scenario import electric
from sim.scenario.fields import Part
from sim.scenario.power import Power


@dataclass(frozen=True)
class Bench:
    """A reading with the motor (label) and controller it was taken with."""

    reading: BenchReading
    motor: Motor
    controller_resistance: float


@dataclass(frozen=True)
class Compared:
    """What comparisons with readings say: those that are far apart are doubts."""

    doubts: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()

    def __add__(self, other: "Compared") -> "Compared":
        return Compared(self.doubts + other.doubts, self.remarks + other.remarks)


def compared(text: str, *apart: float) -> Compared:
    """Give a comparison its place by the largest of its differences [-]."""
    if max(abs(share) for share in apart) > TOLERANCE:
        return Compared(doubts=(text,))
    return Compared(remarks=(text,))


def size_of(fan: electric.Fan) -> FanSize:
    """Diameters of a fan in a scenario."""
    return FanSize(fan.diameter, fan.hub_diameter, fan.exit_diameter)


def size_and_volt_doubts(power: Power) -> tuple[str, ...]:
    """Sizes and volts that can hardly be true."""
    fitted, bench = power.fan, power.bench
    taken = bench.fan if bench is not None else None
    doubts = exit_remarks(size_of(fitted)) if fitted is not None else ()
    if taken is not None and not _same(taken, fitted):
        doubts += tuple(f"on the bench {text}" for text in exit_remarks(size_of(taken)))
    if bench is not None and power.battery is not None:
        doubts += voltage_remarks(bench.voltage, power.battery.cells)
    return doubts


def taken_reading(power: Power, bench: Bench | None) -> TakenReading | None:
    """The reading, and whether the rotor was set by it with these very parts."""
    if bench is None:
        return None
    others = other_parts(power)
    by_table = power.propeller is not None and power.propeller.table is not None
    return TakenReading(bench.reading, others, matched=not others and not by_table)


def predicted(power: Power) -> list[str]:
    """Say which parts were not on the bench."""
    other = other_parts(power)
    if not other:
        return []
    return [f"predicted for another {' and '.join(other)} than the bench reading was taken with"]


def other_parts(power: Power) -> tuple[str, ...]:
    """Names of the parts fitted now that were not on the bench."""
    bench = power.bench
    if bench is None:
        return ()
    pairs = {
        "controller": (bench.controller, power.controller),
        "motor": (bench.motor, power.motor),
        "fan": (bench.fan, power.fan),
        "propeller": (bench.propeller, power.propeller),
    }
    return tuple(name for name, (taken, fitted) in pairs.items() if not _same(taken, fitted))


def _same(taken: Part | None, fitted: Part | None) -> bool:
    """Whether two parts are alike in all but their limits; nothing told means the fitted one."""
    if taken is None or fitted is None:
        return taken is None
    names = [name for name in type(fitted).model_fields if not name.startswith("most_")]
    return all(getattr(taken, name) == getattr(fitted, name) for name in names)


def against_bench(power: Power, bench: Bench | None, system: ElectricSystem) -> Compared:
    """For a propeller from a table: what the table would have shown on the bench."""
    given = power.bench
    if bench is None or given is None or power.propeller is None or power.propeller.table is None:
        return Compared()
    if not _same(given.propeller, power.propeller):
        return Compared()
    r = bench.reading
    taken = replace(system, controller_resistance=bench.controller_resistance, motor=bench.motor)
    at = at_volts(taken, r)
    apart = (at.thrust / r.thrust - 1.0, at.current / r.current - 1.0)
    text = (
        f"from its table the propeller would show {at.thrust:.1f} N, {at.current:.1f} A and"
        f" {at.rotation / RPM:,.0f} rpm on the bench; read were {r.thrust:.1f} N and"
        f" {r.current:.1f} A ({100.0 * apart[0]:+.0f} % thrust, {100.0 * apart[1]:+.0f} %"
        " current); the table is used as it stands"
    )
    return compared(text, *apart)
