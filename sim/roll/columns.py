"""One registry of output columns: tables, headings, axis labels and the glossary come from here."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Column:
    """One quantity of the trace or the event table.

    Attributes
    ----------
    name: key in `Result.trace`.
    symbol: as in formulas.
    unit: SI unit of the array.
    kind: kind of quantity, by which the edge chooses display units.
    description: one line for the glossary.
    decimals: digits after the point in a table of SI-like display units.

    """

    name: str
    symbol: str
    unit: str
    kind: str
    description: str
    decimals: int = 2


TRACE_COLUMNS: tuple[Column, ...] = (
    Column("time", "t", "s", "time", "time since the throttle was opened", 3),
    Column("distance", "X", "m", "distance", "place of the CG along the strip", 2),
    Column("ground_speed", "V", "m/s", "speed", "speed over the ground"),
    Column("airspeed", "U", "m/s", "speed", "speed through the air along the strip"),
    Column("height", "h", "m", "height", "lowest point of the main wheels above the strip", 3),
    Column("climb_rate", "Zdot", "m/s", "speed", "rate of height of the CG"),
    Column("acceleration", "Vdot", "m/s^2", "acceleration", "acceleration along the strip"),
    Column("pitch", "theta", "rad", "angle", "pitch of the reference line from the strip"),
    Column("pitch_rate", "thetadot", "rad/s", "angular_rate", "pitch rate, nose up", 1),
    Column(
        "pitch_acceleration", "thetaddot", "rad/s^2", "angular_acceleration",
        "pitch acceleration, nose up", 0,
    ),
    Column("alpha", "alpha", "rad", "angle", "angle of attack of the reference line"),
    Column("elevator", "delta_e", "rad", "angle", "elevator angle on the tail, up positive"),
    Column("flap_travel", "phi", "-", "fraction", "how far dropped flaps have moved"),
    Column("thrust", "T", "N", "force", "thrust"),
    Column("drag", "D", "N", "force", "aerodynamic drag"),
    Column("wing_lift", "L_w", "N", "force", "lift of wing and flaps"),
    Column("tail_lift", "L_t", "N", "force", "lift of the tail, upward positive"),
    Column("main_load", "N_m", "N", "force", "load on the main wheels"),
    Column("nose_load", "N_n", "N", "force", "load on the nose wheel"),
    Column("tail_load", "N_a", "N", "force", "load on the scrape point"),
    Column("wing_use", "x_w", "-", "fraction", "linear wing lift over its maximum lift"),
    Column("tail_use", "x_t", "-", "fraction", "linear tail lift over its maximum lift"),
    Column("thrust_work", "W_T", "J", "energy", "work of thrust since the start", 1),
    Column("air_work", "W_D", "J", "energy", "work of the air since the start", 1),
    Column("friction_work", "W_R", "J", "energy", "work lost to rolling and scraping", 1),
)  # fmt: skip
"""Columns of a trace, in order."""

EVENT_COLUMNS: tuple[str, ...] = (
    "time", "distance", "ground_speed", "airspeed", "pitch", "pitch_rate",
    "main_load", "nose_load", "tail_load",
)  # fmt: skip
"""Columns of the event table, in order; each is described in TRACE_COLUMNS."""

BY_NAME = {column.name: column for column in TRACE_COLUMNS}
