"""Battery, controller, motor and rotor of a scenario as one chain, and its curve over airspeed."""

from dataclasses import dataclass
from functools import lru_cache

from sim.power.battery import Battery, estimated_cell_resistance, open_cell_voltage
from sim.power.bench import BenchReading, bench_state, efficiency_remarks
from sim.power.ducted_rotor import ZERO_THRUST_RATIO, anchored_fan, resized
from sim.power.electric import ElectricSystem, electric_curve
from sim.power.known import KnownPower, charge_at
from sim.power.margins import PowerLimits
from sim.power.motor import Motor
from sim.power.other_propeller import other_propeller
from sim.power.propeller import PITCH_SPEED_FACTOR, Propeller, anchored_propeller
from sim.power.propeller import propeller_from_table as from_table
from sim.power.rotor import Rotor
from sim.power.usual import CONTROLLER_RESISTANCE, STANDARD_DENSITY
from sim.prepare.against_bench import (
    Bench,
    against_bench,
    predicted,
    size_and_volt_doubts,
    size_of,
    taken_reading,
)
from sim.prepare.draft import Draft
from sim.prepare.prepared import Estimate
from sim.scenario import electric, propeller
from sim.scenario.power import Power

SECONDS_PER_HOUR = 3600.0


@dataclass(frozen=True)
class Chain:
    """The chain of a scenario, and what was estimated for it."""

    known: KnownPower
    estimates: tuple[Estimate, ...]


@lru_cache(maxsize=128)
def chain_of(power: Power, density: float) -> Chain:
    """Solve the chain of a power table in air of a density [kg/m3].

    Kept for the next roll of the same power system: a study that varies something else pays once.
    """
    draft = Draft()
    assert power.motor is not None and power.battery is not None
    battery = _battery(draft, power.battery)
    resistance = _controller_resistance(draft, power.controller, "power.controller")
    bench = _bench(draft, power, resistance)
    rotor = _rotor(draft, power, bench)
    factor = 1.0
    if bench is not None:
        state = bench_state(bench.reading, bench.motor, bench.controller_resistance)
        factor = state.speed_factor
    system = ElectricSystem(battery, resistance, _motor(power.motor), rotor, factor)
    curve = electric_curve(system, density)
    table = against_bench(power, bench, system)
    known = KnownPower(
        kind="electric",
        density=density,
        limits=limits_of(power),
        rotor="fan" if power.fan is not None else "propeller",
        system=system,
        electric=curve,
        capacity=power.battery.capacity,
        charge_share=_charge_share(power.battery),
        bench=taken_reading(power, bench),
        doubts=(
            *size_and_volt_doubts(power),
            *efficiency_remarks(curve.points[0].rotor_efficiency),
            *table.doubts,
        ),
        remarks=(*curve.notes, *predicted(power), *table.remarks),
    )
    return Chain(known, tuple(draft.estimates))


def limits_of(power: Power) -> PowerLimits:
    """Limits the builder gives."""
    rotor = power.fan or power.propeller
    return PowerLimits(
        battery_current=power.battery.most_current if power.battery else None,
        controller_current=power.controller.most_current if power.controller else None,
        motor_current=power.motor.most_current if power.motor else None,
        motor_power=power.motor.most_power if power.motor else None,
        rotation=rotor.most_rotation if rotor else None,
    )


def _battery(draft: Draft, given: electric.Battery) -> Battery:
    volts = given.cell_voltage
    if volts is None:
        key = "power.battery.state_of_charge"
        volts = open_cell_voltage(
            draft.given_or(given.state_of_charge, key, 1.0, "share", "taken as full")
        )
    resistance = given.cell_resistance
    if resistance is None:
        assert given.capacity is not None
        guess = estimated_cell_resistance(given.capacity / SECONDS_PER_HOUR)
        how = (
            "of a warm battery of that capacity,"
            f" {1e3 * guess.low:.2g} to {1e3 * guess.high:.2g} mohm; common practice, no source"
        )
        key = "power.battery.cell_resistance"
        resistance = draft.given_or(None, key, guess.typical, "resistance", how)
    return Battery(given.cells, volts, resistance)


def _charge_share(battery: electric.Battery) -> float:
    """How full the pack is at the start [-]."""
    if battery.cell_voltage is not None:
        return charge_at(battery.cell_voltage)
    return 1.0 if battery.state_of_charge is None else battery.state_of_charge


def _controller_resistance(draft: Draft, given: electric.Controller | None, key: str) -> float:
    usual = CONTROLLER_RESISTANCE
    how = f"usual, {1e3 * usual.low:g} to {1e3 * usual.high:g} mohm; common practice, no source"
    value = given.resistance if given else None
    return draft.given_or(value, f"{key}.resistance", usual.typical, "resistance", how)


def _motor(given: electric.Motor) -> Motor:
    return Motor(given.speed_constant, given.resistance, given.no_load_current)


def _bench(draft: Draft, power: Power, fitted_resistance: float) -> Bench | None:
    given = power.bench
    if given is None:
        return None
    how = "standard air at sea level"
    key = "power.bench.air_density"
    density = draft.given_or(given.air_density, key, STANDARD_DENSITY, "density", how)
    motor = given.motor or power.motor
    assert motor is not None
    resistance = fitted_resistance
    if given.controller is not None:
        resistance = _controller_resistance(draft, given.controller, "power.bench.controller")
    reading = BenchReading(
        voltage=given.voltage,
        current=given.current,
        thrust=given.thrust,
        density=density,
        rotation=given.rotation,
    )
    return Bench(reading, _motor(motor), resistance)


def _rotor(draft: Draft, power: Power, bench: Bench | None) -> Rotor:
    if power.fan is not None:
        assert bench is not None and power.bench is not None
        return _fan(draft, power.fan, power.bench.fan or power.fan, bench)
    assert power.propeller is not None
    if power.propeller.table is not None:
        return table_propeller(power.propeller)
    assert bench is not None and power.bench is not None
    return _pitched(draft, power.propeller, power.bench.propeller or power.propeller, bench)


def _fan(draft: Draft, fitted: electric.Fan, taken: electric.Fan, bench: Bench) -> Rotor:
    known = ZERO_THRUST_RATIO
    ratio = draft.given_or(
        fitted.zero_thrust_ratio, "power.fan.zero_thrust_ratio", known.typical, "fraction",
        f"how far thrust reaches up in airspeed, {known.low:g} to {known.high:g}; judgement",
    )  # fmt: skip
    args = (bench.reading, bench.motor, bench.controller_resistance)
    return resized(anchored_fan(*args, size_of(taken), ratio), size_of(fitted))


def table_propeller(given: propeller.Propeller) -> Propeller:
    """Propeller of a table that was found without faults."""
    assert given.table is not None
    still = given.static_table.text if given.static_table else None
    return from_table(given.diameter, given.table.text, still)


def pitch_factor(draft: Draft, fitted: propeller.Propeller) -> float:
    """Airspeed of no thrust over pitch speed, given or usual [-]."""
    known = PITCH_SPEED_FACTOR
    return draft.given_or(
        fitted.pitch_factor, "power.propeller.pitch_factor", known.typical, "fraction",
        f"usual, {known.low:g} to {known.high:g}; from memory, no source",
    )  # fmt: skip


def _pitched(
    draft: Draft, fitted: propeller.Propeller, taken: propeller.Propeller, bench: Bench
) -> Propeller:
    factor = pitch_factor(draft, fitted)
    assert fitted.pitch is not None and taken.pitch is not None
    args = (bench.reading, bench.motor, bench.controller_resistance)
    read = anchored_propeller(*args, taken.diameter, taken.pitch, factor)
    return read_to_fitted(read, taken, fitted, factor)


def read_to_fitted(
    read: Propeller, taken: propeller.Propeller, fitted: propeller.Propeller, factor: float
) -> Propeller:
    """The propeller that was read, or another of its make when another is fitted."""
    if (taken.diameter, taken.pitch) == (fitted.diameter, fitted.pitch):
        return read
    assert fitted.pitch is not None
    return other_propeller(read, fitted.diameter, fitted.pitch, factor)
