"""One registry of what a row can tell; headings, axis labels and conditions come from here.

Two families of names: `EVENT.COLUMN`, the first time an event happened, and the keys of the
summary of one roll (`sim.report.summary`). Values are SI and radians inside, whatever unit a key's
name carries.
"""

from dataclasses import dataclass

from sim.roll.columns import BY_NAME, EVENT_COLUMNS
from sim.roll.events import Happening
from sim.scenario.problems import near, shown


@dataclass(frozen=True)
class OutcomeColumn:
    """One number of a row.

    Attributes
    ----------
    name: as in a condition.
    symbol: as in formulas.
    unit: SI unit of the value.
    kind: kind of quantity, by which the edge chooses display units.
    description: one line for the glossary.
    label: heading of a table or an axis, without the unit.

    """

    name: str
    symbol: str
    unit: str
    kind: str
    description: str
    label: str


VERDICT = "verdict"
"""The one outcome; not a number, a column of its own."""

_EVENT_WORDS = {
    "pull": "the pilot first asks for rotation", "nose-wheel-off": "the nose wheel leaves",
    "lift-off": "the last wheel leaves", "screen-height": "screen height is passed",
    "tail-strike": "the aft point touches",
    "nose-wheel-down-again": "the nose wheel comes down again",
    "wheels-down-again": "wheels touch again after lift-off",
    "strip-end": "the strip ends under the wheels",
    "stop": "it stops", "abort": "the throttle is closed", "mains-off": "the main wheels leave",
    "mains-down-again": "the main wheels come down again", "tail-off": "the aft point leaves",
    "wing-stall": "the wing stalls", "tail-stall": "the tail stalls",
    "takes-over": "the pilot takes over to hold the attitude",
    "flaps-drop": "the flaps begin to drop", "obstacle": "the obstacle's place is passed",
    "rolls-back": "it rolls back",
}  # fmt: skip


def _events() -> list[OutcomeColumn]:
    found = []
    for what in Happening:
        for name in EVENT_COLUMNS:
            column = BY_NAME[name]
            words = f"{column.description}, as {_EVENT_WORDS[what.label]}"
            label = f"{what.label.replace('-', ' ')} {name.replace('_', ' ')}"
            full = f"{what.label}.{name}"
            found.append(OutcomeColumn(full, column.symbol, column.unit, column.kind, words, label))
    return found


def _same(stem: str) -> list[OutcomeColumn]:
    """The summary's own names for place, time and airspeed of an event."""
    event = stem.replace("_", "-")
    names = (("distance", "m"), ("time", "s"), ("airspeed", "m_per_s"))
    return [
        OutcomeColumn(
            f"{stem}_{name}_{suffix}",
            BY_NAME[name].symbol,
            BY_NAME[name].unit,
            BY_NAME[name].kind,
            f"{BY_NAME[name].description}, as {_EVENT_WORDS[event]}",
            f"{event.replace('-', ' ')} {name}",
        )
        for name, suffix in names
    ]


_SPEED, _ANGLE = ("m/s", "speed"), ("rad", "angle")
_RATE, _TURN = ("rad/s", "angular_rate"), ("rad/s^2", "angular_acceleration")
_PLACE, _SHARE = ("m", "distance"), ("-", "fraction")

_FIGURES: tuple[tuple[str, str, tuple[str, str], str], ...] = (
    ("speed_needed_m_per_s", "U_r", _SPEED, "airspeed at which the full pull raises the nose"),
    ("speed_reachable_m_per_s", "U_max", _SPEED, "airspeed reached on three wheels"),
    ("stall_speed_m_per_s", "U_s", _SPEED, "stall speed, flaps as at the start"),
    ("stall_speed_flaps_up_m_per_s", "U_s0", _SPEED, "stall speed, flaps up"),
    ("stall_speed_flaps_dropped_m_per_s", "U_s1", _SPEED, "stall speed, flaps dropped"),
    ("least_nose_load_N", "N_n", ("N", "force"), "smallest nose load with the full pull"),
    ("pitch_acceleration_available_deg_per_s2", "thetaddot", _TURN,
     "pitch acceleration on the mains, full up elevator, at the pull"),
    ("pitch_acceleration_at_lift_off_deg_per_s2", "thetaddot", _TURN,
     "pitch acceleration as the last wheel leaves"),
    ("pitch_rate_at_lift_off_deg_per_s", "thetadot", _RATE, "pitch rate at lift-off"),
    ("peak_pitch_rate_deg_per_s", "thetadot", _RATE, "largest in the first second airborne"),
    ("stall_margin", "-", _SHARE, "share of maximum wing lift unused in the first second airborne"),
    ("ground_attitude_deg", "theta_0", _ANGLE, "pitch on three wheels"),
    ("nose_share", "-", _SHARE, "share of the weight on the nose wheel, level ground"),
    ("tip_back_deg", "-", _ANGLE, "tilt at which the CG stands over the mains"),
    ("tail_strike_deg", "-", _ANGLE, "tilt at which the aft point touches"),
    ("strip_length_m", "-", _PLACE, "usable length of the strip"),
    ("strip_left_at_lift_off_m", "-", _PLACE, "strip length less the place of lift-off"),
    ("end_time_s", "t", ("s", "time"), "time at which the roll was no longer computed"),
    ("end_distance_m", "X", _PLACE, "place at that time"),
    ("end_speed_m_per_s", "V", _SPEED, "ground speed at that time"),
    ("impact_loss_J", "-", ("J", "energy"), "energy lost at impacts of wheels and aft point"),
)  # fmt: skip

_SUFFIXES = ("_m_per_s", "_deg_per_s2", "_deg_per_s", "_deg", "_N", "_J", "_m", "_s")


def _figures() -> list[OutcomeColumn]:
    found = []
    for name, symbol, (unit, kind), words in _FIGURES:
        suffix = next((s for s in _SUFFIXES if name.endswith(s)), "")
        label = name.removesuffix(suffix).replace("_", " ")
        found.append(OutcomeColumn(name, symbol, unit, kind, words, label))
    return found


_STEMS = ("pull", "nose_wheel_off", "lift_off", "screen_height")

OUTCOME_COLUMNS: dict[str, OutcomeColumn] = {
    column.name: column
    for column in [*_events(), *(c for stem in _STEMS for c in _same(stem)), *_figures()]
}
"""Every column by name."""

USUAL: tuple[str, ...] = (
    "nose-wheel-off.distance", "nose-wheel-off.airspeed",
    "lift-off.distance", "lift-off.time", "lift-off.airspeed", "lift-off.pitch",
    "lift-off.pitch_rate", "peak_pitch_rate_deg_per_s", "stall_margin",
    "screen-height.distance", "screen-height.time", "strip_left_at_lift_off_m",
    "end_distance_m", "end_speed_m_per_s", "end_time_s",
)  # fmt: skip
"""Columns of a row unless others are asked for; all of them cost nothing beside the roll."""


def column_of(name: str) -> OutcomeColumn:
    """The column of a name.

    Raises
    ------
    ValueError
        Naming the nearest column when there is none of that name.

    """
    if name in OUTCOME_COLUMNS:
        return OUTCOME_COLUMNS[name]
    nearest = near(name, OUTCOME_COLUMNS)
    guess = f"; nearest: {nearest}" if nearest else ""
    allowed = "an event and a column such as lift-off.distance, or a key of the summary"
    raise ValueError(f"{shown(name)} is no outcome of a roll; allowed: {allowed}{guess}")
