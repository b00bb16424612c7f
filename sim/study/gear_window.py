"""The gear window: stations of the main wheels that rotate in time and do not tip back.

Three things are asked of a station. The nose wheel leaves by a place or a speed that is wanted, as
simulated; the mains far aft forbid that. The aeroplane does not tip back (`sim.checks.stance`),
and the nose wheel keeps enough of the weight to steer with; the mains far forward forbid those.
"""

from collections.abc import Sequence
from concurrent.futures import Executor
from dataclasses import dataclass
from math import degrees

from sim.checks.stance import NOSE_SHARE_LIMITS, TIP_BACK_LIMIT
from sim.scenario import Scenario, ScenarioError, parse_quantity, with_overrides
from sim.scenario.problems import fail, shown
from sim.study.batch import Progress, roll_rows
from sim.study.condition import Clause, Condition
from sim.study.edges import Interval
from sim.study.find import Search, search
from sim.study.knobs import knob_of
from sim.study.sources import Scenarios

STATION = "aeroplane.gear.main.station"
DEFLECTION = "aeroplane.wing.flaps.deflection"
USUAL_DOWN = "20 deg"
"""Flaps of the second case when the scenario neither has them down nor drops them."""
STALL_SHARE = 1.1
"""Rotation is wanted by this share of the stall speed unless told otherwise: the lift-off speed of
handbooks is 1.1 to 1.2 of it (Raymer, Aircraft Design, ch. 17, from memory)."""
STALL = "stall_speed_m_per_s"
TIP_BACK, SHARE = "tip_back_deg", "nose_share"
COLUMNS = (STALL, TIP_BACK, SHARE, "tail_strike_deg", "speed_needed_m_per_s")


@dataclass(frozen=True)
class Case:
    """The window with one setting of the flaps.

    Attributes
    ----------
    name: "flaps up", "flaps 20 deg"; "as it is" without flaps.
    scenario: with that setting.
    search: its conditions are all three together, rotation, tip-back, nose share.

    """

    name: str
    scenario: Scenario
    search: Search

    @property
    def windows(self) -> tuple[Interval, ...]:
        """Stations that meet all three."""
        return self.search.found[0].intervals


@dataclass(frozen=True)
class GearWindow:
    """The windows of a scenario.

    Attributes
    ----------
    scenario: as given.
    cases: one, or flaps up and flaps down.
    by: what is wanted of rotation, the same for all cases.
    wished: whether anybody said so.

    """

    scenario: Scenario
    cases: tuple[Case, ...]
    by: Clause
    wished: bool


def gear_window(
    scenario: Scenario,
    between: tuple[float, float],
    by: str = "",
    flaps: str = "",
    executor: Executor | None = None,
    progress: Progress | None = None,
) -> GearWindow:
    """Find the stations of the main wheels that do, flaps up and flaps down.

    Parameters
    ----------
    scenario
        everything else stays as it is, the height of the axle and the technique too.
    between
        stations to look at [SI].
    by
        a place or an airspeed by which the nose wheel is to leave; 1.1 times the stall speed with
        the flaps up when left out.
    flaps
        deflection of the second case; what the scenario has or drops, else 20 deg.
    executor, progress
        as of `sim.study.batch.roll_rows`.

    Raises
    ------
    ScenarioError
        For texts that are no quantities, or a scenario that cannot be rolled.

    """
    laid_over = flap_cases(scenario, flaps)
    clause = _wish(by) if by else usual_wish(laid_over[0][1])
    cases = []
    for name, laid in laid_over:
        found = search(
            laid,
            knob_of(laid, STATION),
            between,
            conditions_for(clause),
            columns=COLUMNS,
            executor=executor,
            progress=progress,
        )
        cases.append(Case(name, laid, found))
    return GearWindow(scenario, tuple(cases), clause, bool(by))


def conditions_for(by: Clause) -> Sequence[Condition]:
    """All three together, then each alone."""
    tip_back = Clause(TIP_BACK, ">=", TIP_BACK_LIMIT.low)
    share = Clause(SHARE, ">=", NOSE_SHARE_LIMITS[1].low)
    every = (by, tip_back, share)
    return [Condition("gear window", every), *(Condition(c.name, (c,)) for c in every)]


def flap_cases(scenario: Scenario, flaps: str = "") -> list[tuple[str, Scenario]]:
    """Flaps up and flaps down, by name; one case as it is without flaps on the wing.

    Raises
    ------
    ScenarioError
        For flaps that are none, or a deflection asked for without flaps.

    """
    wing = scenario.aeroplane.wing
    if wing is None or wing.flaps is None:
        if flaps:
            raise fail(DEFLECTION, shown(flaps), "nothing: this aeroplane has no flaps")
        return [("as it is", scenario)]
    knob = knob_of(scenario, DEFLECTION)
    drop = scenario.pilot.drop_flaps
    down = knob.read(flaps or USUAL_DOWN)
    if not flaps:
        down = wing.flaps.deflection or (drop.to if drop else 0.0) or down
    up = with_overrides(scenario, [f"{DEFLECTION}=0 deg"])
    lowered = with_overrides(scenario, [knob.override(down)])
    return [("flaps up", up), (f"flaps {degrees(down):.3g} deg", lowered)]


def _wish(text: str) -> Clause:
    for name, kind in (
        ("nose-wheel-off.distance", "distance"),
        ("nose-wheel-off.airspeed", "speed"),
    ):
        try:
            return Clause(name, "<=", parse_quantity(text, kind))
        except ScenarioError:
            continue
    raise fail("--by", shown(text), 'a place ("20 m") or an airspeed ("14 m/s")')


def usual_wish(scenario: Scenario) -> Clause:
    """The nose wheel off by 1.1 times the stall speed with the flaps as they are."""
    return Clause("nose-wheel-off.airspeed", "<=", STALL_SHARE * _stall_speed(scenario))


def _stall_speed(scenario: Scenario) -> float:
    rows = roll_rows(Scenarios((scenario,)), (STALL,))
    if rows.refused:
        raise fail(STATION, "this scenario", next(iter(rows.refused.values())))
    return float(rows[STALL][0])
