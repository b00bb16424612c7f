"""What is told of a power system, gathered from a report, and the sentences for it."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from sim.power.known import KnownPower
from sim.power.margins import Margin
from sim.power.moments import Moment, moment, thrust_over
from sim.show.units import number, quantity, unit_of

if TYPE_CHECKING:
    from sim.report import Report

USUAL_AIRSPEED = 15.0
"""Where a roll that never lifts off is looked at instead [m/s]."""
GIVEN_BY = "given by you"
"""Where every limit comes from."""
STREAM = {"fan": "jet", "propeller": "slipstream", "": "jet"}
"""Rotor -> what the air behind it is called; without a rotor a duct's thrust was given."""


def figure(value: float, kind: str, system: str = "si", decimals: int | None = None) -> str:
    """A number as `number` shows it, thousands of a speed of rotation set apart by commas."""
    if kind == "rotation":
        return f"{unit_of(kind, system).shown(value):,.0f}"
    return number(value, kind, system, decimals)


def amount(value: float, kind: str, system: str = "si") -> str:
    """`figure` with its unit, such as "31,062 rpm"."""
    return f"{figure(value, kind, system)} {unit_of(kind, system).symbol}"


@dataclass(frozen=True)
class PowerTold:
    """The power system of one report.

    Attributes
    ----------
    known: what is known of it.
    rest: at rest.
    moving: at the airspeed of lift-off, or a usual one.

    """

    known: KnownPower
    rest: Moment
    moving: Moment

    @property
    def moments(self) -> tuple[Moment, Moment]:
        """Both."""
        return self.rest, self.moving


def lift_off_airspeed(report: "Report") -> tuple[str, float]:
    """The moment that is looked at beside standstill, and its airspeed [m/s]."""
    event = report.result.event("lift-off")
    if event is None:
        return "at take-off speed", USUAL_AIRSPEED
    return "at lift-off", event.airspeed


def power_told(report: "Report", at: tuple[str, float] | None = None) -> PowerTold:
    """Gather it; `at` names another moment than the lift-off of this roll."""
    known, setup = report.prepared.power, report.prepared.setup
    assert known is not None
    name, airspeed = at or lift_off_airspeed(report)
    thrust = thrust_over(setup.parameters, setup.thrust_table, np.array([0.0, airspeed]))
    return PowerTold(
        known,
        moment(known, "at rest", 0.0, float(thrust[0])),
        moment(known, name, airspeed, float(thrust[1])),
    )


def margin_text(margin: Margin, system: str = "si") -> str:
    """Such as "the controller carries 131 A at rest, 11 A over its 120 A"."""
    verb = {"current": "carries", "power": "takes", "rotation": "turns"}[margin.quantity]
    # the spare follows from the numbers shown, so that the sentence adds up
    most, limit = (round(unit_of(margin.kind).shown(v)) for v in (margin.most, margin.limit))
    side = "over" if margin.exceeded else "under"
    place = "at rest"
    if margin.airspeed > 0.0:
        place = f"at {quantity(margin.airspeed, 'speed', system)}"
    most_text, apart, limit_text = (
        f"{n:,d}" if margin.kind == "rotation" else str(n) for n in (most, abs(limit - most), limit)
    )
    symbol = unit_of(margin.kind, system).symbol
    return (
        f"the {margin.part} {verb} {most_text} {symbol} {place},"
        f" {apart} {symbol} {side} its {limit_text} {symbol}"
        f"{_from(margin, system)}"
    )


def passed_limits(known: KnownPower | None, system: str = "si") -> tuple[str, ...]:
    """A sentence for each limit that full throttle passes."""
    over = [margin for margin in known.margins if margin.exceeded] if known else []
    return tuple(f"Over a limit: {margin_text(margin, system)}." for margin in over)


def _from(margin: Margin, system: str) -> str:
    """From what airspeed the limit is passed, when it is not at rest."""
    if margin.passed_from is None or margin.airspeed == 0.0:
        return ""
    if margin.passed_from == 0.0:
        return " (past it already at rest)"
    return f" (past it from {quantity(margin.passed_from, 'speed', system)} up)"


def operating_text(at: Moment, rotor: str, system: str = "si") -> str:
    """One sentence on a moment of an electric chain or a propeller on a shaft."""
    stream = STREAM[rotor]
    parts = [f"{at.name}: {quantity(at.thrust, 'force', system)}"]
    if at.rotation is not None:
        parts.append(amount(at.rotation, "rotation", system))
    if at.point is not None:
        point = at.point
        parts += [
            f"{quantity(point.current, 'current', system)} at"
            f" {quantity(point.battery_voltage, 'voltage', system)}",
            f"{quantity(point.electrical_power, 'power', system)} at the controller",
        ]
    elif at.shaft_power is not None:
        parts.append(f"{quantity(at.shaft_power, 'power', system)} at the shaft")
    if at.jet_power is not None:
        parts.append(f"{quantity(at.jet_power, 'power', system)} in the {stream}")
    if at.efflux_velocity is not None:
        parts.append(f"{stream} at {quantity(at.efflux_velocity, 'speed', system)}")
    return ", ".join(parts)


def minutes_text(known: KnownPower) -> str:
    """How long full throttle lasts; "" when the capacity is not known."""
    kept, empty = known.full_throttle_time(), known.full_throttle_time(0.0)
    if kept is None or empty is None:
        return ""
    return (
        f"full throttle at the current of standstill: {kept / 60.0:.1f} min until a fifth of the"
        f" charge is left, {empty / 60.0:.1f} min to empty"
    )
