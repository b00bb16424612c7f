"""A scenario that exists as one commented file of its own."""

from pathlib import Path

from sim.ask.commented import commented
from sim.scenario.scenario import load_scenario


def copied(example: str) -> str:
    """Text of a file that loads as the same scenario, everything it extends merged in.

    Parameters
    ----------
    example
        file, or name of a scenario that comes with the program.

    Raises
    ------
    ScenarioError
        For an example that cannot be found or loaded.

    """
    scenario = load_scenario(example)
    heading = f"A copy of {Path(example).stem} with everything it extends merged in."
    changes = {"change": scenario.ground.changes} if scenario.ground.changes else {}
    return commented(scenario.raw | changes, heading)
