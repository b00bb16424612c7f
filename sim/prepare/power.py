"""Power system of a scenario, as numbers of the roll."""

import math

from sim.power.fan import jet_power_from_static_thrust, static_thrust, zero_thrust_airspeed
from sim.power.known import KnownPower
from sim.power.measured import point_notes, thrust_table
from sim.power.operating import OperatingPoint
from sim.power.rotor import RPM
from sim.prepare.draft import Draft
from sim.prepare.electric import Chain, chain_of
from sim.prepare.propeller import shaft_of
from sim.roll.parameters import ThrustTable
from sim.roll.thrust import FALL_OFF, FAN, POINTS
from sim.scenario import Scenario

USUAL_SPOOL_TIME = 0.5
"""Time constant of a model ducted fan [s]; common practice, no source."""


def lay_power(draft: Draft, scenario: Scenario) -> ThrustTable | None:
    """Thrust law, spool-up and thrust line; returns points of the thrust curve if it has any."""
    power = scenario.power
    spool_time = draft.given_or(
        power.spool_time, "power.spool_time", USUAL_SPOOL_TIME, "time", "usual for a fan"
    )
    line = power.thrust_line
    cg_height = draft.coefficients["cg_height_m"]
    draft.parameters |= {
        "spool_rate": 1.0 / spool_time if spool_time > 0.0 else 0.0,
        "initial_spool": power.power_at_start if spool_time > 0.0 else 1.0,
        "thrust_z": line.height - cg_height if line else 0.0,
        "thrust_tilt": line.tilt if line else 0.0,
        "static_thrust": 0.0,
        "zero_thrust_airspeed": math.inf,
        "quadratic_share": 0.0,
        "jet_power": 1.0,
        "exit_area": 1.0,
    }
    density = draft.parameters["air_density"]
    if power.kind == "electric":
        return _solved(draft, chain_of(power, density))
    if power.kind == "propeller":
        return _solved(draft, shaft_of(power, density))
    area = _exit_area(scenario) if power.exit_diameter is not None else None
    draft.power = KnownPower(kind=power.kind, density=density, exit_area=area)
    if power.kind == "ducted-fan":
        _fan(draft, scenario)
        return None
    points = power.thrust_points
    if points is not None:
        draft.parameters |= {"thrust_kind": POINTS, "static_thrust": points[0].thrust}
        table = thrust_table([p.airspeed for p in points], [p.thrust for p in points])
        draft.notes.extend(point_notes(table))
        return table
    _fall_off(draft, scenario)
    return None


def _solved(draft: Draft, chain: Chain) -> ThrustTable:
    """Thrust points of a solved power system, with its numbers at rest."""
    draft.estimates.extend(chain.estimates)
    draft.notes.extend(chain.known.notes)
    curve = chain.known.electric or chain.known.engine
    assert curve is not None
    table = curve.table
    draft.parameters |= {"thrust_kind": POINTS, "static_thrust": float(table.thrust[0])}
    draft.coefficients["static_thrust_N"] = float(table.thrust[0])
    if chain.known.electric is not None:
        draft.coefficients |= _at_rest(chain.known.electric.points[0])
    elif chain.known.engine is not None:
        engine = chain.known.engine
        draft.coefficients |= {
            "rotation_rpm": float(engine.rotation[0]) / RPM,
            "shaft_power_W": float(engine.shaft_power[0]),
            "efflux_velocity_m_per_s": float(engine.efflux_velocity[0]),
        }
    draft.power = chain.known
    return table


def _at_rest(point: OperatingPoint) -> dict[str, float]:
    return {
        "current_A": point.current,
        "battery_voltage_V": point.battery_voltage,
        "rotation_rpm": point.rotation / RPM,
        "electrical_power_W": point.electrical_power,
        "shaft_power_W": point.shaft_power,
        "jet_power_W": point.jet_power,
        "motor_efficiency": point.motor_efficiency,
        "rotor_efficiency": point.rotor_efficiency,
        "efflux_velocity_m_per_s": point.efflux_velocity,
    }


def _exit_area(scenario: Scenario) -> float:
    diameter = scenario.power.exit_diameter
    assert diameter is not None
    return math.pi / 4.0 * diameter**2


def _fan(draft: Draft, scenario: Scenario) -> None:
    power, density = scenario.power, draft.parameters["air_density"]
    area = _exit_area(scenario)
    if power.jet_power is not None:
        jet_power, thrust = power.jet_power, static_thrust(power.jet_power, area, density)
    else:
        assert power.static_thrust is not None
        thrust = power.static_thrust
        jet_power = jet_power_from_static_thrust(thrust, area, density)
    draft.parameters |= {
        "thrust_kind": FAN,
        "jet_power": jet_power,
        "exit_area": area,
        "static_thrust": thrust,
    }
    draft.coefficients |= {"jet_power_W": jet_power, "static_thrust_N": thrust}


def _fall_off(draft: Draft, scenario: Scenario) -> None:
    power = scenario.power
    assert power.static_thrust is not None
    airspeed = power.zero_thrust_airspeed
    if power.fall_off == "constant":
        airspeed = math.inf
    elif airspeed is None:
        guess = zero_thrust_airspeed(
            power.static_thrust, _exit_area(scenario), draft.parameters["air_density"]
        )
        airspeed = draft.given_or(
            None,
            "power.zero_thrust_airspeed",
            guess.typical,
            "speed",
            f"efflux speed at rest from the exit diameter; {guess.note}",
        )
    draft.parameters |= {
        "thrust_kind": FALL_OFF,
        "static_thrust": power.static_thrust,
        "zero_thrust_airspeed": airspeed,
        "quadratic_share": 1.0 if power.fall_off == "quadratic" else 0.0,
    }
    draft.coefficients |= {"static_thrust_N": power.static_thrust}
