"""Everything worth telling about one roll, put together once for every way of showing it."""

from dataclasses import dataclass, replace
from importlib.metadata import PackageNotFoundError, version

import numpy as np

from sim.checks.budget import Budget, nose_load_budget
from sim.checks.reason import Outlook, StiffTail, explain
from sim.checks.scaling import ScaledFigure, model_pitch_accelerations
from sim.checks.sentence import Sentence
from sim.checks.stance import Stance, stance
from sim.prepare.prepared import Prepared
from sim.roll.block import Block
from sim.roll.contacts import MAIN, NOSE, contact_points, solve
from sim.roll.engine import Settings
from sim.roll.events import Happening
from sim.roll.lift_limit import TOP_AT
from sim.roll.quasi_static import one_block, rolling_forces, search_speeds
from sim.roll.result import Many, Result, simulate_many
from sim.study.advice import Advice, tail_stiff, trial_setups, weigh
from sim.study.ranges import RangeEffect, range_setups, weigh_ranges

CAUTIONS = (
    "A planning estimate, not a clearance to fly. It is not for aircraft that carry people.",
    "The pilot obeys the national body's safety code, the law and the site's rules.",
    "Keep people clear and behind the flight line; treat a connected power system as live.",
    "Check structure and linkages by hand; keep a margin and a place to abort.",
    "Not modelled: landing, crosswind, steering, bumps, legs that fold.",
)
"""Stand under every report."""
ROTOR_CAUTION = (
    "A new rotor, motor or more volts: never past the rotor's rated speed, and never run it with"
    " anybody in its plane."
)
"""Stands there too when a motor or engine turns a rotor."""

BUDGET_POINTS = 80
USUAL = Settings()


@dataclass(frozen=True)
class Rotation:
    """How hard it rotates [SI, radians]; nan where there is none.

    available: pitch acceleration on the mains with full up elevator at the pull speed (the
        handbook figure), nose wheel clear of the ground.
    at_lift_off: pitch acceleration as the last contact leaves.
    rate_at_lift_off: pitch rate then.
    peak_rate: largest in the first second airborne.
    stall_margin: share of maximum wing lift unused at its most in that second.
    typical: full-size figures scaled to this span.
    """

    available: float
    at_lift_off: float
    rate_at_lift_off: float
    peak_rate: float
    stall_margin: float
    typical: tuple[ScaledFigure, ...]


@dataclass(frozen=True)
class Report:
    """One roll, ready to be shown.

    Attributes
    ----------
    prepared: scenario numbers with estimates and notes.
    result: events, trace, verdict.
    outlook: speeds needed and reachable, stall speeds [m/s].
    reason: why it ended so.
    advice: trials beside the same roll, best first.
    decisive_airspeed: where the budget is taken [m/s].
    decisive_name: what that moment is, in words.
    budget: nose-load budget with the full pull against airspeed.
    stance: how it stands.
    rotation: how hard it rotates.
    ranges: what the least certain numbers do to it, each between its low and high end.

    """

    prepared: Prepared
    result: Result
    outlook: Outlook
    reason: Sentence
    advice: tuple[Advice, ...]
    decisive_airspeed: float
    decisive_name: str
    budget: Budget
    stance: Stance
    rotation: Rotation
    ranges: tuple[RangeEffect, ...] = ()
    cautions: tuple[str, ...] = CAUTIONS


def build_report(
    prepared: Prepared, settings: Settings = USUAL, with_advice: bool = True
) -> Report:
    """Roll the scenario with its trials in one batch and gather what is worth telling."""
    trials = trial_setups(prepared) if with_advice else ()
    ends = range_setups(prepared) if with_advice else ()
    setups = [prepared.setup, *(setup for _, setup in trials), *(setup for *_, setup in ends)]
    stiff = tail_stiff(prepared)
    many = simulate_many([*setups, *([stiff] if stiff else [])], settings, keep=(0,))
    told = report_on(prepared, many, many.result(0), with_stiff_tail=stiff is not None)
    return replace(
        told,
        advice=weigh(many, tuple(name for name, _ in trials)),
        ranges=weigh_ranges(many, 1 + len(trials), ends),
    )


def report_on(
    prepared: Prepared, many: Many, result: Result, with_stiff_tail: bool = False
) -> Report:
    """Report of a roll that is there already, without advice and ranges.

    Parameters
    ----------
    prepared
        what was rolled.
    many
        the rolls, this one the first.
    result
        of this one, with its trace.
    with_stiff_tail
        whether the last of the rolls is the same with a tail that does not twist.

    """
    dropped = result.event("flaps-drop") is not None
    outlook = _outlook(many, dropped, prepared.max_lift_flaps_up)
    if with_stiff_tail:
        outlook = replace(outlook, stiff=_stiff_tail(many, dropped))
    speed, name = _decisive(result, outlook)
    return Report(
        prepared=prepared,
        result=result,
        outlook=outlook,
        reason=explain(result, outlook),
        advice=(),
        decisive_airspeed=speed,
        decisive_name=name,
        budget=budget_curve(many, dropped, _budget_top(result, outlook, speed)),
        stance=stance(
            prepared.setup.parameters,
            track=prepared.track,
            attitude_to_fly=prepared.attitude_to_fly,
        ),
        rotation=_rotation(many, result, prepared, dropped),
        cautions=cautions_for(prepared),
    )


def cautions_for(prepared: Prepared) -> tuple[str, ...]:
    """What stands under a report of this power system."""
    known = prepared.power
    turned = known is not None and (known.electric is not None or known.engine is not None)
    return (*CAUTIONS, ROTOR_CAUTION) if turned else CAUTIONS


def _lane(many: Many, count: int, dropped: bool, lane: int = 0) -> Block:
    block = one_block(many.batch, np.full(count, lane))
    if dropped:
        block.s.drop_start[:] = -1e9
    return block


def _outlook(many: Many, dropped: bool, flaps_up: float | None) -> Outlook:
    block = _lane(many, 1, dropped)
    speeds = search_speeds(block, np.array([dropped]))
    p = block.p
    weight = p.mass * p.gravity
    clean = p.wing_max_lift_up if flaps_up is None else flaps_up
    stall = [
        float(np.sqrt(2.0 * weight / (p.air_density * p.reference_area * lift))[0])
        for lift in (p.wing_max_lift_up, p.wing_max_lift_dropped, clean)
    ]
    reachable = float(speeds.reachable[0])
    top = reachable if np.isfinite(reachable) else 2.0 * stall[0]
    return Outlook(
        needed=float(speeds.needed[0]),
        reachable=reachable,
        least_nose_load=_least_nose_load(many, dropped, top),
        stall_start=stall[0],
        stall_dropped=stall[1],
        stall_flaps_up=stall[2],
    )


def _stiff_tail(many: Many, dropped: bool) -> StiffTail:
    """What the last lane, the one with the stiff tail, does."""
    off = many.facts.first_place[Happening.NOSE_WHEEL_OFF, -1]
    block = _lane(many, 1, dropped, len(many.verdicts) - 1)
    return StiffTail(float(search_speeds(block, np.array([dropped])).needed[0]), float(off))


def _least_nose_load(many: Many, dropped: bool, top: float) -> float:
    """Smallest nose load with the full pull up to an airspeed [m/s], while the mains carry load."""
    block = _lane(many, BUDGET_POINTS, dropped)
    lowest = max(0.0, float(block.p.headwind[0]))
    speeds = np.linspace(lowest, max(top, lowest), BUDGET_POINTS)
    loads = rolling_forces(block, speeds, block.p.pull_elevator).reaction.loads
    rolling = np.logical_and.accumulate(loads[MAIN] > 0.0)
    return float(np.min(loads[NOSE][rolling])) if rolling.any() else float("nan")


def _decisive(result: Result, outlook: Outlook) -> tuple[float, str]:
    """Airspeed at which the budget tells the story: first wheel to leave, or fastest it rolled."""
    off, mains = result.event("nose-wheel-off"), result.event("mains-off")
    if mains is not None and (off is None or mains.time < off.time):
        return mains.airspeed, "as the main wheels leave, the nose wheel still down"
    if off is not None:
        return off.airspeed, "as the nose wheel leaves"
    assert result.trace is not None
    fastest = float(np.max(result.trace["airspeed"]))
    return max(fastest, 1.0), "at the fastest it rolled"


def _budget_top(result: Result, outlook: Outlook, decisive: float) -> float:
    candidates = [1.15 * decisive, 1.1 * outlook.needed, 1.05 * outlook.reachable]
    return float(max([v for v in candidates if np.isfinite(v) and v < 3.0 * decisive + 5.0]))


def budget_curve(many: Many, dropped: bool, top: float) -> Budget:
    """Budget of lane 0 with the full pull from standstill to airspeed `top` [m/s]."""
    block = _lane(many, BUDGET_POINTS, dropped)
    airspeed = np.linspace(max(0.0, float(block.p.headwind[0])), top, BUDGET_POINTS)
    return nose_load_budget(block, airspeed, block.p.pull_elevator)


def _rotation(many: Many, result: Result, prepared: Prepared, dropped: bool) -> Rotation:
    figures = result.figures
    lift_off = result.event("lift-off")
    nan = float("nan")
    typical = model_pitch_accelerations(prepared.span) if prepared.span else ()
    return Rotation(
        available=_available(many, result, dropped),
        at_lift_off=figures["jump"],
        rate_at_lift_off=lift_off.pitch_rate if lift_off else nan,
        peak_rate=figures["rate_peak"],
        stall_margin=1.0 - figures["wing_use_peak"] / TOP_AT if lift_off else nan,
        typical=typical,
    )


def _available(many: Many, result: Result, dropped: bool) -> float:
    """Pitch acceleration about the mains with full up elevator at the pull's airspeed [rad/s2]."""
    pull = result.event("pull")
    if pull is None:
        return float("nan")
    block = _lane(many, 1, dropped)
    f = rolling_forces(block, np.array([pull.airspeed]), block.p.elevator_up_limit)
    points = contact_points(block.p, np.cos(block.attitude), np.sin(block.attitude))
    on_mains = solve(block, (MAIN,), points, f.total, np.zeros(1), 1.0)
    return float(on_mains.pitch_rate_rate[0])


def summary(report: Report) -> dict[str, float | None]:
    """Flat numbers of the result document, unit in the name; None where there is none."""
    result, outlook, rotation = report.result, report.outlook, report.rotation
    degrees = float(np.degrees(1.0))
    flat: dict[str, float] = {}
    for name in ("pull", "nose-wheel-off", "lift-off", "screen-height"):
        event = result.event(name)
        stem = name.replace("-", "_")
        flat[f"{stem}_distance_m"] = event.distance if event else float("nan")
        flat[f"{stem}_time_s"] = event.time if event else float("nan")
        flat[f"{stem}_airspeed_m_per_s"] = event.airspeed if event else float("nan")
    flat |= {
        "speed_needed_m_per_s": outlook.needed,
        "speed_reachable_m_per_s": outlook.reachable,
        "stall_speed_m_per_s": outlook.stall_start,
        "stall_speed_flaps_up_m_per_s": outlook.stall_flaps_up,
        "stall_speed_flaps_dropped_m_per_s": outlook.stall_dropped,
        "least_nose_load_N": outlook.least_nose_load,
        "pitch_acceleration_available_deg_per_s2": rotation.available * degrees,
        "pitch_acceleration_at_lift_off_deg_per_s2": rotation.at_lift_off * degrees,
        "pitch_rate_at_lift_off_deg_per_s": rotation.rate_at_lift_off * degrees,
        "peak_pitch_rate_deg_per_s": rotation.peak_rate * degrees,
        "stall_margin": rotation.stall_margin,
        "ground_attitude_deg": report.stance.ground_attitude * degrees,
        "nose_share": report.stance.nose_share,
        "tip_back_deg": report.stance.tip_back * degrees,
        "tail_strike_deg": report.stance.tail_strike * degrees,
        "strip_length_m": result.setup.parameters.strip_length,
        "strip_left_at_lift_off_m": result.setup.parameters.strip_length
        - flat["lift_off_distance_m"],
        "end_time_s": result.figures["end_time"],
        "end_distance_m": result.figures["end_distance"],
        "end_speed_m_per_s": result.figures["end_speed"],
        "impact_loss_J": result.figures["impact_loss"],
    }
    return {k: (float(v) if np.isfinite(v) else None) for k, v in flat.items()}


def versions() -> dict[str, str]:
    """Version of the program, for the result document."""
    try:
        own = version("wheelsoff")
    except PackageNotFoundError:  # run from a checkout that was not installed
        own = "0.0, not installed"
    return {"wheelsoff": own} | {name: version(name) for name in ("numpy", "scipy")}
