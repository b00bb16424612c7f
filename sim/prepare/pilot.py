"""The pilot's technique and the controls, as numbers of the roll."""

import math

from sim.prepare.draft import Draft
from sim.roll.parameters import NEVER
from sim.scenario import Scenario, Trigger
from sim.scenario.pilot import Pilot

USUAL_THROW_RATE = math.radians(200.0)
"""A small servo, 0.1 to 0.2 s for 60 degrees of its arm, through a usual linkage [rad/s]."""
USUAL_GAIN = 0.3
"""Elevator per pitch error [-]. A model of a metre's span turns at some 150 rad/s2 per radian of
elevator as it lifts off; with this gain the loop closes at a few rad/s, where people close it (the
crossover model of McRuer & Krendel, AGARDograph 188, from memory). A gain of one swings at 2.5 Hz,
which no thumb can follow."""
USUAL_LEAD = 0.3
"""About the reaction time, which it makes up for [s]."""
USUAL_SERVO_LAG = 0.05
LEAST_THROW = math.radians(0.01)
"""Keeps the law defined for an aeroplane without an elevator [rad]."""


def _when(name: str, trigger: Trigger | None) -> dict[str, float]:
    times = {f"{name}_{kind}": NEVER for kind in ("place", "airspeed", "time")}
    if trigger is not None:
        times[f"{name}_{trigger.kind}"] = trigger.value
    return times


def lay_pilot(draft: Draft, scenario: Scenario) -> None:
    """Triggers, holding law, reaction."""
    pilot = scenario.pilot
    law = "usual setting of a pilot who holds an attitude"
    draft.parameters |= {
        **_when("pull", pilot.pull_at),
        **_when("drop", pilot.drop_flaps.at if pilot.drop_flaps else None),
        "abort_place": _when("abort", pilot.abort_at)["abort_place"],
        "abort_airspeed": _when("abort", pilot.abort_at)["abort_airspeed"],
        "law_on": float(pilot.holds_attitude),
        "reaction_time": pilot.reaction_time,
        "notice_threshold": pilot.notice_threshold,
        "climb_attitude": pilot.climb_attitude,
        "law_gain": draft.given_or(pilot.gain, "pilot.gain", USUAL_GAIN, "fraction", law),
        "law_lead": draft.given_or(pilot.lead, "pilot.lead", USUAL_LEAD, "time", law),
        "servo_lag": draft.given_or(
            pilot.servo_lag, "pilot.servo_lag", USUAL_SERVO_LAG, "time", law
        ),
        "initial_speed": pilot.rolling_start,
    }


def control_numbers(
    pilot: Pilot, up: float, down: float, mix: tuple[float, float]
) -> dict[str, float]:
    """Elevator throws less what flap mixing eats; hold and pull of the stick.

    `up` and `down` are the throws [rad], `mix` the elevator added by the flaps at the start and
    after they were dropped [rad].
    """
    stick_up = max(up - max(0.0, *mix), LEAST_THROW)
    stick_down = max(down + min(0.0, *mix), LEAST_THROW)
    hold = pilot.hold * (up if pilot.hold > 0.0 else down)
    return {
        "elevator_up_limit": stick_up,
        "elevator_down_limit": stick_down,
        "hold_elevator": min(max(hold, -stick_down), stick_up),
        "pull_elevator": min(pilot.pull * up, stick_up),
        "elevator_mix_start": mix[0],
        "elevator_mix_dropped": mix[1],
    }
