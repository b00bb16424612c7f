"""How the aeroplane stands on its wheels, and what handbooks say about it.

Everything follows from the contact points of the roll, so a figure here and the roll can
never disagree. Angles in radians, points in body axes at the CG (x forward, z up), pitch nose
up positive.
"""

from dataclasses import dataclass
from math import atan2, cos, inf, isnan, nan, radians, sin

from sim.roll.attitude import ground_attitude, tail_strike_attitude
from sim.roll.parameters import OUT_OF_REACH, Parameters


@dataclass(frozen=True)
class Limit:
    """What one source allows, in the unit of the item; an open end is infinite.

    Attributes
    ----------
    low, high: ends, both allowed.
    source: name of the source or rule.
    mark: "read", "second-hand" or "from memory"; "own geometry" for what needs no source.

    """

    low: float
    high: float
    source: str
    mark: str

    def verdict(self, value: float) -> str:
        """One word: "within", "below" or "above"; "unknown" for what is not a number."""
        if isnan(value):
            return "unknown"
        if value < self.low:
            return "below"
        return "above" if value > self.high else "within"


@dataclass(frozen=True)
class StanceItem:
    """One figure of the stance with everybody's limits for it."""

    name: str
    value: float
    unit: str  # "rad", "m" or "-"
    limits: tuple[Limit, ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def verdicts(self) -> tuple[str, ...]:
        """A word per limit, in their order."""
        return tuple(limit.verdict(self.value) for limit in self.limits)


@dataclass(frozen=True)
class Stance:
    """The stance [m, rad, -] and the same as a list to print.

    Attributes
    ----------
    ground_attitude: pitch with all three wheels on the strip [rad].
    cg_height: of the CG above the strip [m].
    wheelbase: between the contacts, along the strip [m].
    nose_share: of the weight, on level ground [-].
    nose_share_on_slope: of the weight, standing on the strip [-].
    tip_back: tilt from the ground attitude at which the CG stands over the main contact [rad].
    contact_angle: angle off vertical from main contact to CG, standing, the textbooks' [rad].
    tail_strike: tilt from the ground attitude at which the aft point touches [rad]; infinite if it
        never does, nan if that point is not known.
    tail_strike_attitude: the same as pitch of the reference line [rad].
    overturn: angle of tipping over a main wheel and the nose wheel [rad]; nan without a track.
    items: name, value, unit, limits and remarks of each.

    """

    ground_attitude: float
    cg_height: float
    wheelbase: float
    nose_share: float
    nose_share_on_slope: float
    tip_back: float
    contact_angle: float
    tail_strike: float
    tail_strike_attitude: float
    overturn: float
    items: tuple[StanceItem, ...]


NOSE_SHARE_LIMITS = (
    Limit(0.08, 0.15, "Raymer, Aircraft Design, ch. 11: best", "from memory"),
    Limit(0.05, 0.20, "Raymer, Aircraft Design, ch. 11: at the limits", "from memory"),
)
TIP_BACK_LIMIT = Limit(radians(15.0), inf, "Raymer, Aircraft Design, ch. 11", "from memory")
OVERTURN_LIMITS = (
    Limit(0.0, radians(63.0), "Raymer, Aircraft Design, ch. 11", "from memory"),
    Limit(0.0, radians(55.0), "Roskam, Airplane Design, part II", "from memory"),
)


def balance_attitude(p: Parameters) -> float:
    """Pitch at which the CG stands over the main axle, so over its contact [rad].

    `r_mx = x_m cos(t) - z_m sin(t) = 0`. A round wheel touches beneath its axle at every pitch,
    rolling or locked, so its radius does not enter. Textbooks turn the aeroplane about the
    contact as if that were a corner; their angle is `Stance.contact_angle`, the smaller one.
    """
    return atan2(-p.main_x, -p.main_z)


def overturn_angle(track: float, wheelbase: float, nose_ahead: float, cg_height: float) -> float:
    """Angle of tipping over the line from the nose contact to a main contact.

    `tan(psi) = h_cg/(l_n sin(delta))`, `tan(delta) = (t/2)/L` [m -> rad]; CG between the wheels.
    Track 0.31, wheelbase 0.475, CG 0.345 behind the nose wheel and 0.154 high give 0.963 rad
    (55.2 deg). Standard construction: Raymer, Aircraft Design, ch. 11; Roskam, Airplane Design,
    part II (from memory). Small is good.

    Parameters
    ----------
    track
        between the main contacts [m].
    wheelbase
        [m].
    nose_ahead
        nose contact ahead of the CG [m].
    cg_height
        above the strip [m].

    """
    arm = nose_ahead * sin(atan2(track / 2.0, wheelbase))
    return atan2(cg_height, arm)


def nose_share(p: Parameters, pitch: float, slope: float) -> float:
    """Share of the weight on the nose wheel, standing still on a slope [-].

    Moments about the main axle, where brakes or chocks hold it [rad -> -]:
    `N_n/(m g) = (-r_mx cos(gamma) + r_mz sin(gamma))/(r_nx - r_mx)`, any slope it can be held
    on. Mains 0.13 behind, nose 0.345 ahead, axles 0.122 below: 0.274 level, 0.261 on 5 %
    uphill (the weight leans back). Statics.
    """
    main_along = p.main_x * cos(pitch) - p.main_z * sin(pitch)
    main_up = p.main_x * sin(pitch) + p.main_z * cos(pitch)
    nose_along = p.nose_x * cos(pitch) - p.nose_z * sin(pitch)
    moment = -main_along * cos(slope) + main_up * sin(slope)
    return float(moment / (nose_along - main_along))


def stance(
    parameters: Parameters, track: float | None = None, attitude_to_fly: float | None = None
) -> Stance:
    """Work out how one aeroplane stands.

    Parameters
    ----------
    parameters
        of one roll; gear, aft point and slope are read, floats only.
    track
        between the main wheels' contacts [m]; without it no overturn angle.
    attitude_to_fly
        pitch of the reference line it needs to lift off [rad], if known.

    Raises
    ------
    ValueError
        When the nose wheel is not ahead of the mains or the aft point not behind them, or the
        wheels cannot stand on one plane; or for a track that is not positive.

    """
    p = parameters
    _refuse_impossible(p, track)
    pitch = float(ground_attitude(p))
    if pitch == inf:
        raise ValueError("nose wheel and mains are too close for their sizes: no ground attitude")
    main_along = p.main_x * cos(pitch) - p.main_z * sin(pitch)
    nose_along = p.nose_x * cos(pitch) - p.nose_z * sin(pitch)
    cg_height = float(p.main_radius - p.main_x * sin(pitch) - p.main_z * cos(pitch))
    wheelbase = float(nose_along - main_along)
    strike = float(tail_strike_attitude(p)) if p.aft_z < OUT_OF_REACH else nan
    figures = {
        "ground_attitude": pitch,
        "cg_height": cg_height,
        "wheelbase": wheelbase,
        "nose_share": nose_share(p, pitch, 0.0),
        "nose_share_on_slope": nose_share(p, pitch, p.slope),
        "tip_back": balance_attitude(p) - pitch,
        "contact_angle": atan2(-main_along, cg_height),
        "tail_strike": strike - pitch,
        "tail_strike_attitude": strike,
        "overturn": float("nan")
        if track is None
        else overturn_angle(track, wheelbase, nose_along, cg_height),
    }
    return Stance(**figures, items=_items(figures, p.slope, attitude_to_fly))


def _refuse_impossible(p: Parameters, track: float | None) -> None:
    wrong = []
    if not p.nose_x > p.main_x:
        wrong.append("the nose wheel must be ahead of the mains")
    if not p.aft_x < p.main_x:
        wrong.append("the aft point must be behind the mains")
    if track is not None and not track > 0.0:
        wrong.append(f"track {track:g} m must be positive")
    if wrong:
        raise ValueError("; ".join(wrong))


def _items(
    figures: dict[str, float], slope: float, attitude_to_fly: float | None
) -> tuple[StanceItem, ...]:
    f = figures
    items = [
        StanceItem("ground attitude", f["ground_attitude"], "rad"),
        StanceItem("CG height above the strip", f["cg_height"], "m"),
        StanceItem("wheelbase", f["wheelbase"], "m"),
        StanceItem("nose-wheel share", f["nose_share"], "-", NOSE_SHARE_LIMITS, _share_remarks(f)),
        StanceItem("nose-wheel share on the strip's slope", f["nose_share_on_slope"], "-"),
        StanceItem("tip-back angle", f["tip_back"], "rad", _tip_back_limits(f), _tip_remarks(f)),
        StanceItem(
            "main contact to CG, off vertical", f["contact_angle"], "rad", (TIP_BACK_LIMIT,)
        ),
    ]
    strikes = not isnan(f["tail_strike"])
    if strikes:
        items.append(StanceItem("tail-strike angle", f["tail_strike"], "rad", (_TAIL_CLEAR,)))
    if not isnan(f["overturn"]):
        items.append(StanceItem("overturn angle", f["overturn"], "rad", OVERTURN_LIMITS))
    if slope != 0.0:
        items.append(
            StanceItem("tip-back angle on the strip's slope", f["tip_back"] - slope, "rad")
        )
    if strikes:
        items.append(_strike_item(f["tail_strike_attitude"], attitude_to_fly))
    return tuple(items)


_TAIL_CLEAR = Limit(0.0, inf, "the tail must clear the strip when standing", "own geometry")


def _tip_back_limits(f: dict[str, float]) -> tuple[Limit, ...]:
    # Beyond this the tail would touch first, and the aeroplane falls back on its nose wheel.
    if isnan(f["tail_strike"]):
        return (TIP_BACK_LIMIT,)
    over_tail = Limit(
        f["tail_strike"], inf, "more than the tail-strike angle (Raymer)", "from memory"
    )
    return (TIP_BACK_LIMIT, over_tail)


def _tip_remarks(f: dict[str, float]) -> tuple[str, ...]:
    if f["tip_back"] <= 0.0:
        return ("the CG stands behind the mains: it sits on its tail",)
    return ()


def _share_remarks(f: dict[str, float]) -> tuple[str, ...]:
    share = f["nose_share"]
    if share > NOSE_SHARE_LIMITS[1].high:
        return ("mains far behind the CG: hard to rotate",)
    if share < NOSE_SHARE_LIMITS[1].low:
        return ("hardly any load to steer with",)
    return ()


def _strike_item(attitude: float, needed: float | None) -> StanceItem:
    if needed is None:
        return StanceItem("tail-strike attitude", attitude, "rad")
    limit = Limit(needed, inf, "attitude needed to lift off", "own geometry")
    remarks = ("the tail strikes before the wing has the incidence to lift off",)
    return StanceItem(
        "tail-strike attitude", attitude, "rad", (limit,), remarks if attitude < needed else ()
    )
