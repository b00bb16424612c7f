"""The power system in a result document: SI, the unit in every key."""

from typing import TYPE_CHECKING, Any

import numpy as np

from sim.power.bench import BenchReading
from sim.power.bench_check import BenchCheck, bench_check
from sim.power.margins import Margin
from sim.power.moments import Moment, thrust_over
from sim.power.operating import OperatingPoint
from sim.power.rotor import RPM
from sim.show.bench_words import bench_lines
from sim.show.power_words import GIVEN_BY, margin_text, power_told

if TYPE_CHECKING:
    from sim.report import Report

CURVE_POINTS = 31


def power_record(
    report: "Report",
    at: tuple[str, float] | None = None,
    before: "Report | None" = None,
) -> dict[str, Any]:
    """Everything told of the power system; None for what is not known."""
    told = power_told(report, at)
    old = before.prepared.power if before is not None else None
    known = told.known
    kept, bench = known.full_throttle_time(), bench_check(known, old)
    return {
        "kind": known.kind,
        "air_density_kg_per_m3": known.density,
        "doubts": list(known.doubts),
        "bench": None if bench is None else bench_record(bench, known.rotor),
        "moments": [moment_record(moment) for moment in told.moments],
        "limits": [margin_record(margin) for margin in known.margins],
        "full_throttle_s": kept,
        "full_throttle_to_empty_s": known.full_throttle_time(0.0),
        "against_airspeed": curve_record(report, told.moving.airspeed),
    }


def moment_record(at: Moment) -> dict[str, Any]:
    """One airspeed."""
    return {
        "name": at.name,
        "airspeed_m_per_s": at.airspeed,
        "thrust_N": at.thrust,
        "efflux_velocity_m_per_s": at.efflux_velocity,
        "jet_power_W": at.jet_power,
        "rotation_rpm": None if at.rotation is None else at.rotation / RPM,
        "shaft_power_W": at.shaft_power,
        "chain": None if at.point is None else chain_record(at.point),
    }


def chain_record(point: OperatingPoint) -> dict[str, Any]:
    """Volts, amps and where every watt of the battery goes; losses and jet add up to it."""
    trail = {f"{name.replace(' ', '_')}_W": watts for name, watts in point.trail()}
    return {
        "open_voltage_V": point.open_voltage,
        "battery_voltage_V": point.battery_voltage,
        "motor_voltage_V": point.motor_voltage,
        "current_A": point.current,
        "torque_N_m": point.torque,
        "electrical_power_W": point.electrical_power,
        "motor_efficiency": point.motor_efficiency,
        "rotor_efficiency": point.rotor_efficiency,
        "battery_power_W": point.battery_power,
        "goes_to": trail,
    }


def bench_record(check: BenchCheck, rotor: str) -> dict[str, Any]:
    """The reading, what the parts give at its volts and on the battery described."""
    return {
        "read": reading_record(check.reading),
        "other_parts": list(check.other_parts),
        "rotor_set_by_reading": check.matched,
        "at_bench_voltage": still_record(check.at_bench_volts),
        "with_battery": still_record(check.with_battery),
        "battery_voltage_at_bench_current_V": check.held,
        "battery_voltage_over_read": check.volts_apart,
        "thrust_over_bench": check.thrust_apart,
        "thrust_at_rest_in_the_roll_N": check.rolled_thrust,
        "battery_agrees": check.battery_agrees,
        "fitting_cell_voltage_V": check.fitting_cell_voltage,
        "fitting_cell_resistance_ohm": check.fitting_cell_resistance,
        "text": list(bench_lines(check, rotor)),
    }


def reading_record(reading: BenchReading) -> dict[str, Any]:
    """What stood on the meters."""
    return {
        "voltage_V": reading.voltage,
        "current_A": reading.current,
        "thrust_N": reading.thrust,
        "rotation_rpm": None if reading.rotation is None else reading.rotation / RPM,
        "air_density_kg_per_m3": reading.density,
    }


def still_record(point: OperatingPoint) -> dict[str, Any]:
    """The same of a prediction at rest."""
    return {
        "voltage_V": point.battery_voltage,
        "current_A": point.current,
        "thrust_N": point.thrust,
        "rotation_rpm": point.rotation / RPM,
    }


def margin_record(margin: Margin) -> dict[str, Any]:
    """One limit with its margin, in SI but for rotation, which is in rpm."""
    factor = 1.0 / RPM if margin.kind == "rotation" else 1.0
    return {
        "key": margin.key,
        "part": margin.part,
        "quantity": margin.quantity,
        "unit": {"current": "A", "power": "W", "rotation": "rpm"}[margin.kind],
        "limit": margin.limit * factor,
        "at_rest": margin.at_rest * factor,
        "most": margin.most * factor,
        "most_at_airspeed_m_per_s": margin.airspeed,
        "passed_from_m_per_s": margin.passed_from,
        "margin": margin.spare * factor,
        "exceeded": margin.exceeded,
        "source": GIVEN_BY,
        "text": margin_text(margin),
    }


def curve_record(report: "Report", airspeed: float) -> dict[str, Any]:
    """Thrust, and current where there is one, against airspeed."""
    electric = report.prepared.power.electric if report.prepared.power else None
    if electric is not None:
        return {
            "airspeed_m_per_s": electric.airspeeds,
            "thrust_N": electric.thrust,
            "current_A": [point.current for point in electric.points],
        }
    setup = report.prepared.setup
    speeds = np.linspace(0.0, 2.0 * airspeed, CURVE_POINTS)
    thrust = thrust_over(setup.parameters, setup.thrust_table, speeds)
    return {"airspeed_m_per_s": speeds, "thrust_N": thrust, "current_A": None}
