"""Workers for studies: processes, never threads (the core holds the interpreter)."""

import signal
from concurrent.futures import ProcessPoolExecutor


def worker_pool(count: int | None = None) -> ProcessPoolExecutor:
    """A pool of processes that leave Ctrl-C to the process that asked them.

    They are started at once: before the caller has threads of its own, such as a bar's.

    Parameters
    ----------
    count
        processes; as many as there are processors when left out.

    """
    pool = ProcessPoolExecutor(count, initializer=_leave_interrupts)
    pool.submit(int).result()
    return pool


def _leave_interrupts() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
