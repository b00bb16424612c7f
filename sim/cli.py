"""The command `wheelsoff`: parse, call, show. No physics here, and nothing heavy at import."""

# ruff: noqa: PLC0415 - importing this module must cost nothing

import os
import sys
from collections.abc import Sequence
from io import TextIOWrapper

INTERRUPTED = 130
BAD_INPUT = 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code.

    Parameters
    ----------
    arguments
        words after the program's name; those of the command line when None.

    Returns
    -------
    0 for a finished roll whatever its verdict, 2 for bad input, 130 when interrupted.

    """
    # the matrices here are small: a second thread only waits for the first
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    if isinstance(sys.stdout, TextIOWrapper):
        # letters a terminal does not have are replaced, not fatal
        sys.stdout.reconfigure(errors="replace")
    try:
        import sim.commands  # noqa: F401 - brings every command with it
        from sim.commands.app import run_command

        code = run_command(list(sys.argv[1:] if arguments is None else arguments))
        sys.stdout.flush()
    except KeyboardInterrupt:
        code = INTERRUPTED
    except BrokenPipeError:
        # The reader of a pipe has seen enough; keep Python from complaining about it at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except OSError as wrong:
        print(f"The output cannot be written: {wrong.strerror}.", file=sys.stderr)
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return BAD_INPUT
    if code == INTERRUPTED:
        print("Stopped.", file=sys.stderr)
    return code


if __name__ == "__main__":
    sys.exit(main())
