"""Names of what can happen in a roll and of how it can end. Data only."""

from enum import IntEnum


class Happening(IntEnum):
    """Everything the engine records; the first ten are the events of the result document."""

    PULL = 0
    NOSE_WHEEL_OFF = 1
    LIFT_OFF = 2
    SCREEN_HEIGHT = 3
    TAIL_STRIKE = 4
    NOSE_WHEEL_DOWN_AGAIN = 5
    WHEELS_DOWN_AGAIN = 6
    STRIP_END = 7
    STOP = 8
    ABORT = 9
    MAINS_OFF = 10
    MAINS_DOWN_AGAIN = 11
    TAIL_OFF = 12
    WING_STALL = 13
    TAIL_STALL = 14
    TAKES_OVER = 15
    FLAPS_DROP = 16
    OBSTACLE = 17
    ROLLS_BACK = 18

    @property
    def label(self) -> str:
        """Name in the result document, such as `nose-wheel-off`."""
        return self.name.lower().replace("_", "-")

    @property
    def is_event(self) -> bool:
        """True for the events listed in the result, false for what goes into `also`."""
        return self <= Happening.ABORT


class End(IntEnum):
    """Why a roll was no longer computed."""

    RUNNING = -1
    SCREEN_HEIGHT = 0
    STOP = 1
    DOES_NOT_MOVE = 2
    SITS_ON_TAIL = 3
    UPSET = 4
    STEADY = 5
    TIME_LIMIT = 6
    GAVE_UP = 7

    @property
    def sentence(self) -> str:
        """What the end means, in plain words."""
        return _SENTENCES[self]


_SENTENCES = {
    End.RUNNING: "still rolling",
    End.SCREEN_HEIGHT: "it passed screen height",
    End.STOP: "it came to a stop",
    End.DOES_NOT_MOVE: "thrust could not break it loose",
    End.SITS_ON_TAIL: "it tipped back at rest",
    End.UPSET: "its pitch went beyond 45 degrees",
    End.STEADY: "it went on at a steady speed without lifting off",
    End.TIME_LIMIT: "90 s were over",
    End.GAVE_UP: "it cannot be followed: wheels that chatter on and on, a motion too stiff for an"
    " aeroplane of its weight, or numbers without meaning",
}
