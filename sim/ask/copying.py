"""A scenario that exists as one commented file of its own."""

from pathlib import Path

from sim.ask.commented import commented
from sim.scenario.scenario import load_scenario
from sim.scenario.table_files import beside


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
    # names of table files are seen from here, but the copy may go anywhere
    return commented(beside(scenario.raw | changes, Path.cwd()), heading)
