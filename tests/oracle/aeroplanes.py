"""Random but plausible model jets, strips and pilots, nudged by index toward every verdict.

Setup `index` of `seed` is the same alone or among others (keyed by both numbers). All numbers
are invented; the ranges are those common for ducted-fan models of 2 to 5 kg.
"""

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from sim.roll.aero_table import BASIS_TERMS, COLUMNS, INDUCED_PAIRS, AeroTable
from sim.roll.parameters import NEVER, Parameters, Setup, ThrustTable

REGIMES = (
    "plain",
    "far-aft-mains",
    "short-strip",
    "heavy-grass",
    "abort",
    "tail-heavy",
    "sticky",
    "hard-pull",
    "wheelbarrow",
    "slow",
    "bounce",
    "low-tail",
)
DEG = math.pi / 180.0


def regime(index: int) -> str:
    """Name the regime toward which a setup is nudged."""
    return REGIMES[index % len(REGIMES)]


def random_setup(seed: int, index: int) -> Setup:
    """Make one random setup [SI], the same for the same seed and index."""
    rng = np.random.default_rng(np.random.SeedSequence(seed, spawn_key=(index,)))
    draws: dict[str, float] = {}
    for part in (_body, _air_and_strip, _lift_limits, _thrust, _pilot, _triggers):
        draws |= part(rng, draws)
    draws |= NUDGES[regime(index)](rng, draws)
    parameters = Parameters(**draws)
    return Setup(parameters, _table(rng, parameters), _points(rng, parameters))


def _between(rng: np.random.Generator, low: float, high: float) -> float:
    return float(rng.uniform(low, high))


def _body(rng: np.random.Generator, _: dict[str, float]) -> dict[str, float]:
    axle = _between(rng, -0.15, -0.10)
    return {
        "mass": _between(rng, 2.0, 5.0),
        "pitch_inertia": _between(rng, 0.1, 0.3),
        "main_x": -_between(rng, 0.05, 0.13),
        "main_z": axle,
        "main_radius": _between(rng, 0.028, 0.045),
        "main_friction": _between(rng, 0.03, 0.15),
        "nose_x": _between(rng, 0.28, 0.42),
        "nose_z": axle + _between(rng, -0.012, 0.008),
        "nose_radius": _between(rng, 0.025, 0.04),
        "nose_friction": _between(rng, 0.03, 0.18),
        "aft_x": -_between(rng, 0.5, 0.7),
        "aft_z": _between(rng, -0.03, 0.04),
        "aft_friction": _between(rng, 0.2, 0.5),
    }


def _air_and_strip(rng: np.random.Generator, _: dict[str, float]) -> dict[str, float]:
    obstacle = rng.random() < 0.3
    return {
        "gravity": 9.81,
        "slope": _between(rng, -0.02, 0.03),
        "headwind": _between(rng, -1.5, 4.0) if rng.random() < 0.6 else 0.0,
        "air_density": _between(rng, 1.05, 1.25),
        "strip_length": _between(rng, 60.0, 140.0),
        "screen_height": _between(rng, 1.0, 3.0),
        "obstacle_distance": _between(rng, 70.0, 160.0) if obstacle else NEVER,
        "obstacle_height": _between(rng, 1.0, 4.0),
    }


def _lift_limits(rng: np.random.Generator, d: dict[str, float]) -> dict[str, float]:
    top = _between(rng, 0.9, 1.2)
    lift_x = _between(rng, -0.04, 0.0)
    cd0 = _between(rng, 0.03, 0.06)
    flap = _between(rng, 5.0, 30.0) * DEG if rng.random() < 0.5 else 0.0
    area, chord, lift_z = (
        _between(rng, *ends) for ends in ((0.25, 0.35), (0.25, 0.35), (-0.02, 0.03))
    )
    return {
        "reference_area": area,
        "reference_chord": chord,
        "lift_x": lift_x,
        "lift_z": lift_z,
        "table_x": lift_x - 0.02,  # another point, so that no two are taken for each other
        "table_z": lift_z + 0.01,
        "drag_x": 0.0,
        "drag_z": _between(rng, -0.04, 0.02),
        "wing_centre_x": lift_x + _between(rng, -0.03, 0.02),
        "tail_centre_x": -_between(rng, 0.42, 0.55),
        "wing_max_lift_up": top,
        "wing_max_lift_dropped": top + _between(rng, 0.1, 0.4),
        "wing_min_lift": _between(rng, 0.7, 1.0),
        "tail_max_lift": _between(rng, 0.12, 0.25),
        "tail_lag_length": _between(rng, 0.3, 0.6),
        "tail_twist_per_newton": _between(rng, 0.0, 0.002),
        "zero_lift_drag_start": cd0,
        "zero_lift_drag_dropped": cd0 + _between(rng, 0.01, 0.05),
        "flap_start": flap,
        "flap_dropped": flap + _between(rng, 10.0, 25.0) * DEG,
        "elevator_effect": _between(rng, 0.8, 1.0),
        "elevator_fade": _between(rng, 0.0, 4.0),
    }


def _thrust(rng: np.random.Generator, d: dict[str, float]) -> dict[str, float]:
    static = _between(rng, 0.5, 1.0) * d["mass"] * d["gravity"]
    area = _between(rng, 0.004, 0.007)
    spools = rng.random() < 0.75
    return {
        "thrust_kind": int(rng.integers(3)),
        "static_thrust": static,
        "zero_thrust_airspeed": _between(rng, 45.0, 90.0) if rng.random() < 0.9 else NEVER,
        "quadratic_share": _between(rng, 0.0, 1.0),
        "jet_power": math.sqrt(static**3 / (4.0 * d["air_density"] * area)),
        "exit_area": area,
        "thrust_z": _between(rng, -0.03, 0.03),
        "thrust_tilt": _between(rng, -2.0, 3.0) * DEG,
        "spool_rate": 1.0 / _between(rng, 0.2, 0.8) if spools else 0.0,
        "initial_spool": _between(rng, 0.0, 0.5) if spools else 1.0,
        "initial_speed": _between(rng, 1.0, 4.0) if rng.random() < 0.15 else 0.0,
    }


def _pilot(rng: np.random.Generator, d: dict[str, float]) -> dict[str, float]:
    up = _between(rng, 8.0, 18.0) * DEG
    held = rng.random() < 0.4
    return {
        "hold_elevator": _between(rng, 0.0, 1.0) * up if held else 0.0,
        "pull_elevator": _between(rng, 0.7, 1.0) * up,
        "elevator_up_limit": up,
        "elevator_down_limit": _between(rng, 8.0, 15.0) * DEG,
        "elevator_rate": _between(rng, 2.0, 6.0),
        "elevator_mix_start": _between(rng, -2.0, 2.0) * DEG,
        "elevator_mix_dropped": _between(rng, -2.0, 4.0) * DEG,
        "law_on": float(rng.random() < 0.75),
        "reaction_time": _between(rng, 0.2, 0.4),
        "notice_threshold": 2.0 * DEG,
        "climb_attitude": _between(rng, 7.0, 13.0) * DEG,
        "law_trim": _between(rng, -2.0, 4.0) * DEG,
        "law_gain": _between(rng, 0.5, 2.0),
        "law_lead": _between(rng, 0.1, 0.4),
        "servo_lag": _between(rng, 0.03, 0.08),
    }


def _triggers(rng: np.random.Generator, _: dict[str, float]) -> dict[str, float]:
    names = (
        "pull_place",
        "pull_airspeed",
        "pull_time",
        "drop_place",
        "drop_airspeed",
        "drop_time",
        "abort_place",
        "abort_airspeed",
    )
    out = dict.fromkeys(names, NEVER)
    choice = rng.random(3)
    if choice[0] < 0.5:
        out["pull_place"] = _between(rng, 5.0, 40.0)
    if choice[0] > 0.4:
        out["pull_airspeed"] = _between(rng, 7.0, 15.0)
    if choice[1] < 0.2:
        out["pull_time"] = _between(rng, 1.0, 4.0)
    kind = ("drop_place", "drop_airspeed", "drop_time")[int(rng.integers(3))]
    low, high = {"drop_place": (5.0, 30.0), "drop_airspeed": (6.0, 13.0), "drop_time": (0.5, 3.0)}[
        kind
    ]
    place = _between(rng, low, high)
    if choice[2] < 0.35:
        out[kind] = place
    return out | {"drop_duration": _between(rng, 0.3, 1.2)}


Draws = dict[str, float]


def _far_aft(rng: np.random.Generator, d: Draws) -> Draws:
    low = rng.random() < 0.5  # nose low, with a tail too small to lift it at any speed
    return {
        "main_x": -_between(rng, 0.17, 0.26),
        "wing_centre_x": d["lift_x"],
        "tail_max_lift": _between(rng, 0.02, 0.05) if low else _between(rng, 0.06, 0.12),
        "nose_z": d["main_z"] + (_between(rng, 0.02, 0.03) if low else 0.0),
        "flap_start": 0.0,
        "flap_dropped": 0.0,
        "thrust_z": _between(rng, 0.0, 0.04),
    }


def _short(rng: np.random.Generator, _: Draws) -> Draws:
    return {"strip_length": _between(rng, 12.0, 35.0)}


def _heavy_grass(rng: np.random.Generator, _: Draws) -> Draws:
    return {"main_friction": _between(rng, 0.2, 0.45), "nose_friction": _between(rng, 0.2, 0.5)}


def _abort(rng: np.random.Generator, _: Draws) -> Draws:
    far = rng.random() < 0.5
    return {
        "abort_place": _between(rng, 8.0, 30.0) if far else NEVER,
        "abort_airspeed": NEVER if far else _between(rng, 6.0, 12.0),
        "pull_place": _between(rng, 20.0, 50.0),
        "pull_airspeed": NEVER,
        "pull_time": NEVER,
        "main_friction": _between(rng, 0.05, 0.2),
    }


def _tail_heavy(rng: np.random.Generator, _: Draws) -> Draws:
    return {
        "main_x": _between(rng, -0.03, 0.02),
        "thrust_z": -_between(rng, 0.0, 0.08),
        "slope": _between(rng, 0.0, 0.08),
        "initial_speed": 0.0,
    }


def _sticky(rng: np.random.Generator, _: Draws) -> Draws:
    return {
        "main_friction": _between(rng, 0.5, 1.3),
        "nose_friction": _between(rng, 0.5, 1.3),
        "hold_elevator": 0.0,
    }


def _hard_pull(rng: np.random.Generator, d: Draws) -> Draws:
    up = d["elevator_up_limit"]
    return {
        "hold_elevator": up,
        "pull_elevator": up,
        "law_on": 0.0,
        "elevator_rate": 8.0,
        "main_x": -_between(rng, 0.03, 0.06),
        "tail_max_lift": _between(rng, 0.25, 0.4),
        "aft_z": d["aft_z"] - _between(rng, 0.01, 0.04),
        "static_thrust": 1.1 * d["mass"] * d["gravity"],
    }


def _wheelbarrow(rng: np.random.Generator, d: Draws) -> Draws:
    return {
        "hold_elevator": -d["elevator_down_limit"],
        "main_x": -_between(rng, 0.1, 0.16),
        "pull_place": _between(rng, 60.0, 120.0),
        "pull_airspeed": NEVER,
        "pull_time": NEVER,
        "flap_start": _between(rng, 25.0, 40.0) * DEG,
        "flap_dropped": 40.0 * DEG,
        "nose_z": d["nose_z"] - 0.02,
    }


def _slow(rng: np.random.Generator, d: Draws) -> Draws:
    return {
        "static_thrust": _between(rng, 0.25, 0.45) * d["mass"] * d["gravity"],
        "thrust_kind": 0,
        "zero_thrust_airspeed": _between(rng, 18.0, 35.0),
        "main_friction": _between(rng, 0.1, 0.2),
        "headwind": _between(rng, -1.0, 1.0),
    }


def _bounce(rng: np.random.Generator, d: Draws) -> Draws:
    up = d["elevator_up_limit"]
    return {
        "hold_elevator": up,
        "pull_elevator": _between(rng, -0.5, 0.3) * up,
        "law_on": 0.0,
        "pull_place": NEVER,
        "pull_airspeed": _between(rng, 11.0, 16.0),
        "pull_time": NEVER,
        "main_x": -_between(rng, 0.03, 0.08),
    }


def _low_tail(rng: np.random.Generator, d: Draws) -> Draws:
    return {
        "aft_z": d["main_z"] - d["main_radius"] + _between(rng, 0.02, 0.06),
        "nose_z": d["main_z"] + d["nose_radius"] - d["main_radius"],
        "law_on": 1.0,
        "climb_attitude": _between(rng, 5.0, 8.0) * DEG,
        "law_gain": _between(rng, 1.0, 2.0),
    }


NUDGES: dict[str, Callable[[np.random.Generator, Draws], Draws]] = {
    "plain": lambda rng, d: {},
    "far-aft-mains": _far_aft,
    "short-strip": _short,
    "heavy-grass": _heavy_grass,
    "abort": _abort,
    "tail-heavy": _tail_heavy,
    "sticky": _sticky,
    "hard-pull": _hard_pull,
    "wheelbarrow": _wheelbarrow,
    "slow": _slow,
    "bounce": _bounce,
    "low-tail": _low_tail,
}


def _table(rng: np.random.Generator, p: Parameters) -> AeroTable:
    """Linear aerodynamics about the lift point; lift rises and downwash falls near the strip."""
    tail_arm = (p.tail_centre_x - p.lift_x) / p.reference_chord
    slope, own = _between(rng, 3.0, 5.0), _between(rng, 0.45, 0.65)
    shadow = _between(rng, 0.3, 0.5)  # share of the tail's slope lost to downwash
    incidence = _between(rng, -2.0, 1.0) * DEG
    columns = np.zeros(COLUMNS)
    columns[0:5] = (
        slope * _between(rng, 0.5, 2.0) * DEG,
        slope,
        _between(rng, 0.8, 1.6),
        0.0,
        _between(rng, 0.0, 2.0),
    )
    columns[5:10] = (
        -_between(rng, 0.0, 0.03),
        -_between(rng, 0.0, 0.2),
        -_between(rng, 0.05, 0.3),
        0.0,
        -_between(rng, 0.2, 1.0),
    )
    tail = np.array(
        [
            own * incidence,
            own * (1.0 - shadow),
            -own * _between(rng, 0.2, 0.5),
            -_between(rng, 0.45, 0.6),
            2.0 * own * abs(tail_arm),
        ]
    )
    columns[10:15], columns[15:20] = tail, tail * tail_arm
    columns[20:22] = own * incidence, own
    induced = _between(rng, 0.06, 0.12)
    lift = columns[0:4] + 0.2 * columns[10:14]
    for k, (i, j) in enumerate(INDUCED_PAIRS):
        columns[22 + k] = induced * lift[i] * lift[j] * (1.0 if i == j else 2.0)
    values = np.zeros((BASIS_TERMS, COLUMNS))
    values[0] = columns
    if rng.random() < 0.8:
        _near_strip(rng, values, tail_arm)
    return AeroTable(values=values, height_scale=_between(rng, 0.15, 0.4))


def _near_strip(rng: np.random.Generator, values: np.ndarray, tail_arm: float) -> None:
    """Rows u, u^2 and u p: more lift slope, less downwash, less induced drag, more with pitch."""
    base = values[0].copy()
    gain, recover = _between(rng, 0.05, 0.2), _between(rng, 0.1, 0.5)
    values[3, 0:3] = gain * base[0:3]
    values[6, 1] = 0.2 * gain * base[1]
    values[4, 1] = _between(rng, -0.5, 0.5)
    values[3, 6] = -_between(rng, 0.0, 0.15)
    tail = np.array([0.0, recover * (base[21] - base[11]), -0.5 * recover * base[12], 0.0])
    values[3, 10:14], values[3, 15:19] = tail, tail * tail_arm
    sinking = _between(rng, 0.0, 0.4)
    values[4, 11], values[4, 16] = sinking, sinking * tail_arm
    values[3, 22:32] = -_between(rng, 0.2, 0.5) * base[22:32]


def _points(rng: np.random.Generator, p: Parameters) -> ThrustTable | None:
    if p.thrust_kind != 2:
        return None
    speeds = np.array([0.0, 5.0, 10.0, 16.0, 24.0, 32.0])
    fall = 1.0 - speeds / _between(rng, 50.0, 90.0) + rng.uniform(-0.01, 0.01, speeds.size)
    return ThrustTable(airspeed=speeds, thrust=p.static_thrust * fall)


def with_changes(setup: Setup, **changes: float) -> Setup:
    """Copy a setup with some scalars replaced."""
    return replace(setup, parameters=replace(setup.parameters, **changes))
