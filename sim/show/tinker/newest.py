"""Questions of many pages, one worked on at a time, and of each page only the newest.

A question that is overtaken before its turn comes is dropped, so that a slider dragged hard builds
no backlog; a page's place in the line stays its own, so that none is starved by another.
"""

import asyncio
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Generic, TypeVar

Job = TypeVar("Job")
Answer = TypeVar("Answer")

MOST_PAGES = 64
"""Pages that wait at the same time; more are turned away."""
REMEMBERED = 256
"""Pages whose last number is remembered."""


class TooManyPages(Exception):  # noqa: N818 - a state of affairs
    """More pages wait than anybody opens."""


class Newest(Generic[Job, Answer]):
    """A single thread that works on the newest question of each page in turn."""

    def __init__(self, work: Callable[[Job], Answer]) -> None:
        self._work = work
        self._thread = ThreadPoolExecutor(1)
        self._waiting: OrderedDict[str, tuple[Job, asyncio.Future[Answer | None]]] = OrderedDict()
        self._numbers: OrderedDict[str, int] = OrderedDict()
        self._busy: asyncio.Task[None] | None = None
        self._current: asyncio.Future[Answer | None] | None = None

    async def ask(self, page: str, number: int, job: Job) -> Answer | None:
        """The answer; None when the same page has asked again before its turn came.

        Raises
        ------
        TooManyPages
            When more wait than anybody opens.

        """
        if not self._note(page, number):
            return None
        future: asyncio.Future[Answer | None] = asyncio.get_running_loop().create_future()
        older = self._waiting.get(page)
        if older is None and len(self._waiting) >= MOST_PAGES:
            raise TooManyPages
        self._waiting[page] = (job, future)
        if older is not None:
            older[1].set_result(None)
        if self._busy is None or self._busy.done():
            self._busy = asyncio.create_task(self._work_on())
        return await future

    def overtaken(self, page: str, number: int) -> bool:
        """Whether a page has asked again since."""
        return self._numbers.get(page, number) > number

    def close(self) -> None:
        """Let everybody who waits go without an answer, and the thread too."""
        waiting = [future for _, future in self._waiting.values()]
        self._waiting.clear()
        for future in (*waiting, *([self._current] if self._current else [])):
            if not future.done():
                future.set_result(None)
        self._thread.shutdown(wait=False, cancel_futures=True)

    def _note(self, page: str, number: int) -> bool:
        """Whether this is the newest number of its page; the oldest pages are forgotten."""
        if number <= self._numbers.get(page, -1):
            return False
        self._numbers[page] = number
        self._numbers.move_to_end(page)
        if len(self._numbers) > REMEMBERED:
            self._numbers.popitem(last=False)
        return True

    async def _work_on(self) -> None:
        loop = asyncio.get_running_loop()
        while self._waiting:
            _, (job, future) = self._waiting.popitem(last=False)
            self._current = future
            try:
                found = await loop.run_in_executor(self._thread, self._work, job)
            except Exception as wrong:  # told to who asked; the line goes on
                if not future.done():
                    future.set_exception(wrong)
                continue
            if not future.done():
                future.set_result(found)
