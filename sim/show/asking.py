"""The questionnaire on a terminal, or fed by a pipe."""

import sys
from io import TextIOWrapper
from typing import Any

from sim.ask import converse


def _ask(prompt: str) -> str:
    """One line; what comes from a pipe is shown behind its prompt."""
    if sys.stdin.isatty():
        try:
            return input(prompt)
        except EOFError:
            print()  # so that what follows does not stand behind the prompt
            raise
    line = sys.stdin.readline()
    if not line:
        raise EOFError
    print(f"{prompt}{line.rstrip()}")
    return line


def ask_scenario(drawings: bool = True) -> dict[str, Any]:
    """Ask on standard input and output.

    Returns
    -------
    The scenario as written.

    Raises
    ------
    UnfinishedError
        When there is no more input, or it is interrupted; carries what was answered.

    """
    if isinstance(sys.stdin, TextIOWrapper):
        # letters that are none become question marks of their own kind, not an end of the program
        sys.stdin.reconfigure(errors="replace")
    return converse(_ask, print, drawings)
