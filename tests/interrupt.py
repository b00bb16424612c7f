"""Ctrl-C in the middle of a study: a real signal, sent when some of the rolls are finished.

The moment is told by the study itself, not by a clock, so it is the same on a slow machine.
"""

import subprocess
import sys
from pathlib import Path

DRIVER = """
import os, signal, sys
from contextlib import contextmanager
from sim.cli import main
from sim.commands import ladder, spread, vary

@contextmanager
def watched(words):
    yield lambda done, total: os.kill(os.getpid(), signal.SIGINT) if done >= AFTER else None

ladder.watched = spread.watched = vary.watched = watched
sys.exit(main(sys.argv[1:]))
"""


def finished_rows(table: Path, *words: str, after: int = 1024) -> int:
    """Rows kept by a command that is interrupted; what it should say is asserted."""
    driver = DRIVER.replace("AFTER", str(after))
    command = [sys.executable, "-c", driver, *words, "--csv", str(table)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 130, done.stderr
    lines = table.read_text().splitlines()
    assert "incomplete" in lines[-1]
    assert "Stopped." in done.stderr
    assert "Interrupted:" in done.stdout or words[0] == "ladder"
    return len(lines) - 2
