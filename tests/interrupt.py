"""Ctrl-C in the middle of a study: a real signal, sent when the first thousand rolls are finished.

The moment is told by the study itself, not by a clock, so it is the same on a slow machine.
"""

import subprocess
import sys
from pathlib import Path

DRIVER = """
import os, signal, sys
from contextlib import contextmanager
from sim.cli import main
from sim.commands import spread, vary

@contextmanager
def watched(words):
    yield lambda done, total: os.kill(os.getpid(), signal.SIGINT) if done >= 1024 else None

spread.watched = vary.watched = watched
sys.exit(main(sys.argv[1:]))
"""


def finished_rows(table: Path, *words: str) -> int:
    """Rows kept by a command that is interrupted; everything it should say is asserted."""
    command = [sys.executable, "-c", DRIVER, *words, "--csv", str(table)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 130, done.stderr
    lines = table.read_text().splitlines()
    assert "incomplete" in lines[-1]
    assert "Interrupted:" in done.stdout and "Stopped." in done.stderr
    return len(lines) - 2
