"""What the pilot does."""

from typing import Annotated

from sim.scenario.fields import Note, Part, Quantity, Trigger, TriggerField

_LAW = "the usual setting of the pilot law"


class DropFlaps(Part):
    """Flaps lowered during the roll."""

    at: Annotated[Trigger, TriggerField(("place", "airspeed", "time"), "When the switch is moved.")]
    to: Annotated[float, Quantity("angle", "-20 deg", "80 deg", "Deflection afterwards.")]
    duration: Annotated[
        float | None,
        Quantity("time", "0 s", "20 s", "Time they take.", "as the flaps' travel_time"),
    ] = None


class Pilot(Part):
    """The technique of one take-off."""

    hold: Annotated[
        float,
        Quantity(
            "bare",
            "-1",
            "1",
            "Elevator before the pull, share of the throw, up positive.",
            "taken as neutral",
        ),
    ] = 0.0
    pull_at: Annotated[
        Trigger, TriggerField(("place", "airspeed", "time"), "When rotation is first asked for.")
    ]
    pull: Annotated[
        float,
        Quantity("bare", "0", "1", "Share of the up throw used.", "taken as all of it"),
    ] = 1.0
    reaction_time: Annotated[
        float,
        Quantity("time", "0.02 s", "2 s", "Lag of what the pilot sees.", "taken as 0.25 s"),
    ] = 0.25
    climb_attitude: Annotated[
        float,
        Quantity("angle", "0 deg", "40 deg", "Pitch held after rotation.", "taken as 10 deg"),
    ] = 0.17453292519943295
    holds_attitude: Annotated[
        bool, Note("Whether the pilot flies the attitude, or just holds the stick.")
    ] = True
    notice_threshold: Annotated[
        float,
        Quantity(
            "angle",
            "0 deg",
            "20 deg",
            "Rise of the nose before the pilot responds.",
            "taken as 2 deg",
        ),
    ] = 0.03490658503988659
    gain: Annotated[
        float | None,
        Quantity("bare", "0", "20", "Degrees of elevator per degree of pitch error.", _LAW),
    ] = None
    lead: Annotated[
        float | None,
        Quantity("time", "0 s", "5 s", "How far ahead the pilot reckons the pitch.", _LAW),
    ] = None
    servo_lag: Annotated[
        float | None, Quantity("time", "0.001 s", "1 s", "Lag of the elevator servo.", _LAW)
    ] = None
    rolling_start: Annotated[
        float, Quantity("speed", "0 m/s", "60 m/s", "Ground speed at the start of the roll.")
    ] = 0.0
    drop_flaps: Annotated[DropFlaps | None, Note("Flaps lowered during the roll.")] = None
    abort_at: Annotated[
        Trigger | None,
        TriggerField(("place", "airspeed"), "Throttle closed here if the nose is not up."),
    ] = None
