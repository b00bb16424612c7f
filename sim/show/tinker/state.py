"""What is altered on the page: texts of keys as in a file, and changes that are ticked."""

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

from sim.prepare import prepare
from sim.scenario import Scenario, ScenarioError, with_changes, with_overrides
from sim.scenario.problems import Problem, near, shown
from sim.show.tinker.balance import STATION, kept_of_weighing

LONGEST_KEY, LONGEST_VALUE, LONGEST_NAME = 80, 200, 100
MOST_KEYS, MOST_CHANGES = 40, 60

Key = Annotated[str, StringConstraints(max_length=LONGEST_KEY)]
Value = Annotated[str, StringConstraints(max_length=LONGEST_VALUE)]
ChangeName = Annotated[str, StringConstraints(max_length=LONGEST_NAME)]


class State(BaseModel):
    """What one page has altered: key -> text as it would stand in a file; names of changes."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)

    values: Annotated[dict[Key, Value], Field(max_length=MOST_KEYS)] = {}
    changes: Annotated[list[ChangeName], Field(max_length=MOST_CHANGES)] = []


class Question(BaseModel):
    """What a page sends: its own name, a number that rises with every question, its state."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)

    tab: Annotated[str, StringConstraints(pattern=r"^[0-9a-z]{1,32}$")]
    number: Annotated[int, Field(ge=0, le=2**53)]
    state: State


class Saving(BaseModel):
    """A state to be saved, and the name of the file."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)

    name: Annotated[str, StringConstraints(max_length=LONGEST_NAME)]
    state: State


def altered(loaded: Scenario, state: State, keys: tuple[str, ...]) -> Scenario:
    """The scenario with ticked changes and altered keys laid over it.

    Parameters
    ----------
    loaded
        as in its file.
    state
        of the page.
    keys
        that may be altered. No others, so that a page can name no file to be read; the same goes
        for changes: only those of the scenario.

    Raises
    ------
    ScenarioError
        With every mistake found, told as for a file.

    """
    strange = [
        Problem(key, shown(value), "a key that has a slider here", near(key, keys))
        for key, value in state.values.items()
        if key not in keys
    ]
    strange += [
        Problem("change", shown(name), "a change of this scenario", near(name, loaded.changes))
        for name in state.changes
        if name not in loaded.changes
    ]
    if strange:
        raise ScenarioError(strange)
    laid = with_changes(loaded, state.changes) if state.changes else loaded
    weighed = STATION in state.values and laid.aeroplane.weighing is not None
    kept = kept_of_weighing(laid, prepare(laid)) if weighed else []
    return with_overrides(laid, [*kept, *(f"{key}={v}" for key, v in state.values.items())])
