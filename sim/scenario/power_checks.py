"""What no single key of the power system can show: missing parts, readings that cannot be true."""

from collections.abc import Iterator, Sequence

from sim.power.battery import open_cell_voltage
from sim.power.bench import BenchReading, bench_faults
from sim.power.fan import disc_area
from sim.power.motor import Motor
from sim.power.propeller import propeller_from_static
from sim.power.propeller_table import table_faults
from sim.power.usual import CONTROLLER_RESISTANCE, STANDARD_DENSITY
from sim.scenario.facts import Facts
from sim.scenario.merging import value_at
from sim.scenario.power import COMMON_KEYS, KIND_KEYS
from sim.scenario.problems import Problem
from sim.scenario.propeller import TABLE
from sim.scenario.table_files import TableFile
from sim.scenario.units import quantity_text

MOST_FAULTS = 3


def power(facts: Facts) -> Iterator[Problem]:
    """Everything that contradicts itself in the power table."""
    kind = facts.values.get("power.kind")
    table = facts.data.get("power")
    if kind not in KIND_KEYS or not isinstance(table, dict):
        return
    known = {key for keys in KIND_KEYS.values() for key in keys}
    for key in table:
        if key in known and key not in KIND_KEYS[kind] + COMMON_KEYS:
            yield facts.problem(f"power.{key}", f'left out when kind is "{kind}"')
    checks = {
        "measured": _measured,
        "ducted-fan": _ideal_fan,
        "propeller": _propeller,
        "electric": _electric,
    }
    yield from checks[kind](facts)


def _ideal_fan(facts: Facts) -> Iterator[Problem]:
    if not facts.given("power.exit_diameter"):
        yield facts.problem("power.exit_diameter", 'needed when kind is "ducted-fan"')
    thrust, power = facts.given("power.static_thrust"), facts.given("power.jet_power")
    if thrust == power:
        yield facts.problem("power.static_thrust", "exactly one of static_thrust or jet_power")


def _measured(facts: Facts) -> Iterator[Problem]:
    if facts.given("power.points"):
        return
    law = facts.values.get("power.fall_off")
    if not facts.given("power.static_thrust"):
        yield facts.problem("power.static_thrust", "needed, or points")
    ends = facts.given("power.zero_thrust_airspeed") or facts.given("power.exit_diameter")
    if not ends and law != "constant" and (law or not facts.given("power.fall_off")):
        yield facts.problem(
            "power.zero_thrust_airspeed",
            'one of zero_thrust_airspeed, exit_diameter, points, or fall_off = "constant"',
        )


def _needed(facts: Facts, kind: str, *keys: str) -> Iterator[Problem]:
    for key in keys:
        if not facts.given(f"power.{key}"):
            yield facts.problem(f"power.{key}", f'needed when kind is "{kind}"')


def _propeller(facts: Facts) -> Iterator[Problem]:
    yield from _needed(facts, "propeller", "propeller")
    yield from _table(facts, "power.propeller")
    yield from _table(facts, "power.read_with")
    by_table = facts.given("power.propeller.table")
    if by_table:
        if not facts.given("power.rotation") and not facts.given("power.shaft_power"):
            yield facts.problem("power.rotation", "needed, or shaft_power: what turns it")
        return
    if not facts.given("power.propeller"):
        return
    keys = ("static_thrust", "rotation", "shaft_power")
    for key in keys:
        if not facts.given(f"power.{key}"):
            yield facts.problem(f"power.{key}", "needed beside pitch: the reading at rest")
    yield from _pitch(facts, "power.propeller")
    yield from _reading_at_rest(facts)


def _reading_at_rest(facts: Facts) -> Iterator[Problem]:
    part = "power.read_with" if facts.given("power.read_with") else "power.propeller"
    if part == "power.read_with":
        yield from _pitch(facts, part)
    sizes = facts.get(f"{part}.diameter", f"{part}.pitch")
    reading = facts.get("power.static_thrust", "power.rotation", "power.shaft_power")
    if not sizes or not reading:
        return
    (diameter, pitch), (thrust, rotation, shaft) = sizes, reading
    try:
        propeller_from_static(diameter, pitch, thrust, rotation, shaft, STANDARD_DENSITY)
    except ValueError as wrong:
        yield facts.problem("power.static_thrust", f"a reading that can be true: {wrong}")


def _pitch(facts: Facts, part: str) -> Iterator[Problem]:
    if not facts.given(f"{part}.pitch") and not facts.given(f"{part}.table"):
        yield facts.problem(f"{part}.pitch", "needed, or table")


def _table(facts: Facts, part: str) -> Iterator[Problem]:
    """Faults in the file of a propeller, and in that of the propeller at rest."""
    moving, still = (_file(facts, f"{part}.{key}") for key in ("table", "static_table"))
    if moving is None:
        if facts.given(f"{part}.static_table") and not facts.given(f"{part}.table"):
            yield facts.problem(f"{part}.static_table", "left out without table")
        return
    faults = table_faults(moving.text)
    if faults:
        yield facts.problem(f"{part}.table", f"a table without faults: {_some(faults)}")
    at_rest = table_faults(moving.text, still.text)[len(faults) :] if still else ()
    if at_rest:
        yield facts.problem(f"{part}.static_table", f"a table without faults: {_some(at_rest)}")


def _file(facts: Facts, path: str) -> TableFile | None:
    given = value_at(facts.data, path)
    return TABLE.found(given) if given is not None else None


def _some(faults: Sequence[str]) -> str:
    more = f"; and {len(faults) - MOST_FAULTS} more" if len(faults) > MOST_FAULTS else ""
    return "; ".join(fault[:160] for fault in faults[:MOST_FAULTS]) + more


def _electric(facts: Facts) -> Iterator[Problem]:
    yield from _needed(facts, "electric", "battery", "motor")
    if not facts.given("power.fan") and not facts.given("power.propeller"):
        yield facts.problem("power.fan", "needed, or propeller: what the motor turns")
    cell = "power.battery.cell_resistance"
    told = facts.given(cell) or facts.given("power.battery.capacity")
    if facts.given("power.battery") and not told:
        yield facts.problem(cell, "needed, or capacity, from which it is estimated")
    for part in ("power.propeller", "power.bench.propeller"):
        yield from _table(facts, part)
    if facts.given("power.propeller"):
        yield from _pitch(facts, "power.propeller")
    by_table = facts.given("power.propeller.table")
    rotor = facts.given("power.fan") or facts.given("power.propeller")
    if rotor and not by_table and not facts.given("power.bench"):
        yield facts.problem("power.bench", "needed: volts, amps and newtons at rest, full throttle")
    for part in ("power.fan", "power.bench.fan"):
        yield from _hub(facts, part)
    yield from _rotor_on_the_bench(facts)
    yield from _stall_current(facts)
    yield from _bench(facts)


def _hub(facts: Facts, fan: str) -> Iterator[Problem]:
    sizes = facts.get(f"{fan}.hub_diameter", f"{fan}.diameter")
    if sizes and sizes[0] >= sizes[1]:
        yield facts.problem(
            f"{fan}.hub_diameter", f"less than diameter ({quantity_text(sizes[1], 'length')})"
        )


def _rotor_on_the_bench(facts: Facts) -> Iterator[Problem]:
    for here, other in (("fan", "propeller"), ("propeller", "fan")):
        if facts.given(f"power.{here}") and facts.given(f"power.bench.{other}"):
            yield facts.problem(f"power.bench.{other}", f"left out: a {here} is fitted")
    table_there = facts.given("power.bench.propeller.table")
    if table_there and facts.given("power.propeller") and not facts.given("power.propeller.table"):
        yield facts.problem(
            "power.propeller.pitch", "a table, or a new reading: pitch needs one of its own kind"
        )


def _stall_current(facts: Facts) -> Iterator[Problem]:
    """A pack that cannot even turn the motor with nothing on its shaft."""
    cells = facts.values.get("power.battery.cells")
    volts = facts.values.get("power.battery.cell_voltage")
    charge = facts.values.get("power.battery.state_of_charge", 1.0)
    known = facts.get("power.motor.resistance", "power.motor.no_load_current")
    if not isinstance(cells, int) or not known or not isinstance(charge, float):
        return
    cell = volts if isinstance(volts, float) else open_cell_voltage(charge)
    inner = facts.values.get("power.battery.cell_resistance", 0.0)
    controller = facts.values.get("power.controller.resistance", 0.0)
    held = cells * cell / (known[0] + cells * inner + controller)
    if known[1] >= held:
        text = quantity_text(held, "current")
        yield facts.problem(
            "power.motor.no_load_current", f"less than {text}, all this pack drives through it held"
        )


def _part_of(facts: Facts, name: str) -> str:
    """Where the part stands that the reading was taken with."""
    own = f"power.bench.{name}"
    return own if facts.given(own) else f"power.{name}"


def _bench(facts: Facts) -> Iterator[Problem]:
    """Readings at rest against motor, controller and momentum theory."""
    read = facts.get("power.bench.voltage", "power.bench.current", "power.bench.thrust")
    motor = _part_of(facts, "motor")
    label = facts.get(
        *(f"{motor}.{key}" for key in ("speed_constant", "resistance", "no_load_current"))
    )
    fan = _part_of(facts, "fan")
    ducted = facts.given(fan)
    rotor = facts.get(
        f"{fan}.exit_diameter" if ducted else f"{_part_of(facts, 'propeller')}.diameter"
    )
    if not read or not label or not rotor:
        return
    rotation, density = (facts.get(f"power.bench.{key}") for key in ("rotation", "air_density"))
    reading = BenchReading(
        voltage=read[0],
        current=read[1],
        thrust=read[2],
        density=density[0] if density else STANDARD_DENSITY,
        rotation=rotation[0] if rotation else None,
    )
    given = facts.get(f"{_part_of(facts, 'controller')}.resistance")
    resistance = given[0] if given else CONTROLLER_RESISTANCE.typical
    for fault in bench_faults(
        reading, Motor(*label), resistance, disc_area(rotor[0]), ducted=ducted
    ):
        yield facts.problem(
            f"power.bench.{fault.key}", f"a reading that can be true: {fault.message}"
        )
