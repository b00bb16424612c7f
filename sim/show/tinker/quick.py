"""The report of one roll as fast as it can be had, for a page that answers while a slider moves.

Two things are done otherwise than in `sim.report.build_report`, which is meant for one careful
roll: steps are as long as a tolerance of 1e-4 allows (what is shown keeps its digits), and all
airspeeds of the outlook are tried side by side, with the numbers of `sim.roll`.
"""

from dataclasses import replace

import numpy as np

import sim.report as whole
from sim.checks.reason import Outlook, StiffTail, explain
from sim.checks.stance import stance
from sim.prepare.prepared import Prepared
from sim.report import Report, budget_curve, cautions_for
from sim.roll.aero_table import Array
from sim.roll.contacts import MAIN, NOSE, SETS
from sim.roll.engine import Settings
from sim.roll.events import Happening
from sim.roll.quasi_static import FASTEST, GRID_POINTS, one_block, rolling_forces
from sim.roll.result import Many, Result, simulate_many
from sim.study.advice import tail_stiff

LIVE = Settings(tolerance=1e-4)
"""Longer steps than a careful roll's; `tests/test_tinker_quick.py` holds the digits together."""


def quick_report(prepared: Prepared, settings: Settings = LIVE) -> Report:
    """Report of one roll without advice and without the rolls at the ends of uncertain numbers."""
    stiff = tail_stiff(prepared)
    many = simulate_many([prepared.setup, *([stiff] if stiff else [])], settings, keep=(0,))
    result = _result(many)
    dropped = result.event("flaps-drop") is not None
    outlook = _outlook(many, prepared, dropped, stiff is not None)
    speed, name = whole._decisive(result, outlook)
    return Report(
        prepared=prepared,
        result=result,
        outlook=outlook,
        reason=explain(result, outlook),
        advice=(),
        decisive_airspeed=speed,
        decisive_name=name,
        budget=budget_curve(many, dropped, whole._budget_top(result, outlook, speed)),
        stance=stance(
            prepared.setup.parameters,
            track=prepared.track,
            attitude_to_fly=prepared.attitude_to_fly,
        ),
        rotation=whole._rotation(many, result, prepared, dropped),
        cautions=cautions_for(prepared),
    )


def _result(many: Many) -> Result:
    """The first lane's result with its trace; peaks, noted at the ends of steps, from its rows."""
    result = many.result(0)
    trace, lift_off = result.trace, result.event("lift-off")
    if lift_off is None or trace is None:
        return result
    airborne = np.asarray(trace.phase) == SETS.index(())
    early = airborne & (trace["time"] <= lift_off.time + 1.0)
    peaks = {
        name: float(np.max(trace[column], where=early, initial=0.0))
        for name, column in (("rate_peak", "pitch_rate"), ("wing_use_peak", "wing_use"))
    }
    return replace(result, figures=result.figures | peaks)


def _outlook(many: Many, prepared: Prepared, dropped: bool, stiff: bool) -> Outlook:
    """As `sim.report` has it, from the airspeeds of `quick_speeds`."""
    p = prepared.setup.parameters
    clean = prepared.max_lift_flaps_up
    clean = p.wing_max_lift_up if clean is None else clean
    start, drop, up = (
        float(np.sqrt(2.0 * p.mass * p.gravity / (p.air_density * p.reference_area * lift)))
        for lift in (p.wing_max_lift_up, p.wing_max_lift_dropped, clean)
    )
    needed, reachable = quick_speeds(many, 0, dropped)
    top = reachable if np.isfinite(reachable) else 2.0 * start
    tail = None
    if stiff:
        off = many.facts.first_place[Happening.NOSE_WHEEL_OFF, 1]
        tail = StiffTail(quick_speeds(many, 1, dropped)[0], float(off))
    least = whole._least_nose_load(many, dropped, top)
    return Outlook(needed, reachable, least, start, drop, up, tail)


def quick_speeds(many: Many, lane: int, dropped: bool) -> tuple[float, float]:
    """Airspeed needed and reachable of `sim.roll.quasi_static.search_speeds`, one lane [m/s]."""
    block = one_block(many.batch, np.full(GRID_POINTS, lane))
    block.s.drop_start[:] = -1e9 if dropped else np.inf
    still = float(block.p.zero_thrust_airspeed[0])
    top = max(1.5 * still if np.isfinite(still) else 0.0, FASTEST)
    speeds = np.linspace(1e-3, 1.0, GRID_POINTS) * top
    f = rolling_forces(block, speeds, block.p.pull_elevator)
    rolling = np.logical_and.accumulate(f.reaction.loads[MAIN] > 0.0)
    nose, push = f.reaction.loads[NOSE], f.reaction.speed_rate
    needed = _first_root(speeds, np.where(rolling, nose, np.abs(nose) + 1.0))
    return needed, _first_root(speeds, np.where(rolling, push, 1.0))


def _first_root(speeds: Array, value: Array) -> float:
    """First place where the values fall to zero, by straight lines; nan where they do not."""
    below = np.flatnonzero(value <= 0.0)
    if not below.size:
        return float("nan")
    row = max(int(below[0]), 1)
    before, after = value[row - 1], value[row]
    share = np.clip(before / (before - after), 0.0, 1.0) if before != after else 1.0
    return float(speeds[row - 1] + (speeds[row] - speeds[row - 1]) * share)
