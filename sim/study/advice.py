"""What would help most: the same roll with one small change at a time, simulated beside it."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from sim.checks.sentence import Sentence, sentence
from sim.checks.stance import TIP_BACK_LIMIT, stance
from sim.prepare.prepared import Prepared
from sim.roll.events import Happening
from sim.roll.parameters import Setup, ThrustTable
from sim.roll.result import Many
from sim.roll.verdict import Verdict

GOOD = (Verdict.AIRBORNE, Verdict.AIRBORNE_TOO_LATE)
SUCCESS = {Verdict.AIRBORNE: 2, Verdict.AIRBORNE_TOO_LATE: 1}
"""How much of a success a verdict is; every other is none."""
FAR = 1e6
"""Any speed that raises the nose is nearer to success than none."""

MAINS_STEP = 0.010  # [m]
CG_STEP = 0.003  # [m]

Change = Callable[[Prepared], Setup | None]


@dataclass(frozen=True)
class Trial:
    """A small change to try: what it is, and how to make it (None if it cannot be made)."""

    change: Sentence
    make: Change


@dataclass(frozen=True)
class Advice:
    """What a trial brought.

    Attributes
    ----------
    change: what was changed, in plain words.
    gain: metres of ground roll saved; nan where either roll does not lift off.
    verdict: of the changed roll.
    lift_off_place: of the changed roll [m], nan if none.

    """

    change: Sentence
    gain: float
    verdict: Verdict
    lift_off_place: float


def _replaced(prepared: Prepared, numbers: dict[str, float]) -> Setup | None:
    return prepared.setup.but(**numbers) if numbers else None


def mains_forward(prepared: Prepared) -> Setup | None:
    """Main wheels a little forward, while the tip-back angle allows it."""
    p = prepared.setup.parameters
    moved = prepared.setup.but(main_x=p.main_x + MAINS_STEP)
    return moved if _stands(moved) else None


def attitude_up(prepared: Prepared) -> Setup | None:
    """Ground attitude one degree higher by a longer nose leg."""
    p = prepared.setup.parameters
    longer = (p.nose_x - p.main_x) * np.tan(np.radians(1.0))
    return prepared.setup.but(nose_z=p.nose_z - longer)


def flaps_lower(prepared: Prepared) -> Setup | None:
    """Flaps 5 degrees lower, if there are any."""
    return _replaced(prepared, prepared.flaps_lower())


def cg_aft(prepared: Prepared) -> Setup | None:
    """CG a little aft: every point comes as much forward of it, while the tip-back angle allows it.

    A tilted thrust line is that much lower where the CG is now.
    """
    p = prepared.setup.parameters
    points = (
        "main_x", "nose_x", "aft_x", "lift_x", "table_x", "drag_x", "wing_centre_x",
        "tail_centre_x",
    )  # fmt: skip
    shifted = {name: getattr(p, name) + CG_STEP for name in points}
    shifted["thrust_z"] = p.thrust_z - CG_STEP * np.tan(p.thrust_tilt)
    moved = prepared.setup.but(**shifted)
    return moved if _stands(moved) else None


def _stands(setup: Setup) -> bool:
    """Whether it still stands well clear of its tail."""
    try:
        return bool(stance(setup.parameters).tip_back >= TIP_BACK_LIMIT.low)
    except ValueError:  # the mains would be at the nose wheel
        return False


def throw_up(prepared: Prepared) -> Setup | None:
    """Two degrees more up throw, the stick moved as far as before; None without an elevator."""
    return _replaced(prepared, prepared.throw_more())


def throw_down(prepared: Prepared) -> Setup | None:
    """A fifth less up throw, the stick moved as far as before; None without an elevator."""
    return _replaced(prepared, prepared.throw_less())


def tail_stiff(prepared: Prepared) -> Setup | None:
    """A tail that does not give way under its load; None for one that is stiff already."""
    if prepared.setup.parameters.tail_twist_per_newton == 0.0:
        return None
    return prepared.setup.but(tail_twist_per_newton=0.0)


def thrust_up(prepared: Prepared) -> Setup | None:
    """Static thrust five per cent up (jet power by 1.05^1.5: the same static thrust ratio)."""
    setup = prepared.setup
    p = setup.parameters
    more = setup.but(static_thrust=1.05 * p.static_thrust, jet_power=1.05**1.5 * p.jet_power)
    table = setup.thrust_table
    if table is None:
        return more
    return replace(more, thrust_table=ThrustTable(table.airspeed, 1.05 * table.thrust))


def grass_shorter(prepared: Prepared) -> Setup | None:
    """A fifth less rolling resistance, if there is any."""
    p = prepared.setup.parameters
    if p.main_friction == 0.0 and p.nose_friction == 0.0:
        return None
    return prepared.setup.but(
        main_friction=0.8 * p.main_friction, nose_friction=0.8 * p.nose_friction
    )


def up_from_the_start(prepared: Prepared) -> Setup | None:
    """Up elevator held from the start of the roll."""
    p = prepared.setup.parameters
    if p.hold_elevator >= p.pull_elevator:
        return None
    return prepared.setup.but(hold_elevator=p.pull_elevator, pull_place=0.0)


TRIALS: tuple[Trial, ...] = (
    Trial(sentence("mains {step} forward", step=(MAINS_STEP, "length")), mains_forward),
    Trial(Sentence("ground attitude 1 deg higher (longer nose leg)"), attitude_up),
    Trial(Sentence("flaps 5 deg lower"), flaps_lower),
    Trial(sentence("CG {step} aft", step=(CG_STEP, "length")), cg_aft),
    Trial(Sentence("up throw 2 deg more"), throw_up),
    Trial(Sentence("up throw a fifth less"), throw_down),
    Trial(Sentence("a tail that does not give way under its load"), tail_stiff),
    Trial(Sentence("static thrust 5 % up"), thrust_up),
    Trial(Sentence("rolling resistance 20 % down (shorter grass, larger wheels)"), grass_shorter),
    Trial(Sentence("up elevator held from the start"), up_from_the_start),
)
"""The changes tried beside every roll."""


def trial_setups(prepared: Prepared) -> tuple[tuple[Sentence, Setup], ...]:
    """Words and numbers of every trial that can be made."""
    made = ((trial.change, trial.make(prepared)) for trial in TRIALS)
    return tuple((change, setup) for change, setup in made if setup is not None)


def weigh(many: Many, changes: tuple[Sentence, ...]) -> tuple[Advice, ...]:
    """Compare lanes 1, 2, ... (trials) with lane 0, best first.

    A change is better when it turns a failure into a success (too late for the strip counts as
    half of one), then by metres of ground roll, then, where nothing lifts off, by how near it
    comes to raising the nose.
    """
    base_place = _place(many, 0)
    found = [
        Advice(change, base_place - _place(many, i), many.verdicts[i], _place(many, i))
        for i, change in enumerate(changes, start=1)
    ]

    def rank(pair: tuple[int, Advice]) -> tuple[int, float, float]:
        lane, advice = pair
        known = advice.gain if np.isfinite(advice.gain) else -np.inf
        if not np.isfinite(base_place):
            known = -advice.lift_off_place if np.isfinite(advice.lift_off_place) else -np.inf
        return SUCCESS.get(advice.verdict, 0), known, _closeness(many, lane)

    return tuple(advice for _, advice in sorted(enumerate(found, 1), key=rank, reverse=True))


def _closeness(many: Many, lane: int) -> float:
    """How near a roll without lift-off comes to raising its nose: more is nearer."""
    speeds = many.facts.speeds
    needed, load = float(speeds.needed[lane]), float(speeds.least_nose_load[lane])
    if np.isfinite(needed):
        return -needed
    return -FAR - load if np.isfinite(load) else -np.inf


def _place(many: Many, lane: int) -> float:
    return float(many.facts.first_place[Happening.LIFT_OFF, lane])
