"""Questions of many pages: the newest of each, in turn, and no backlog."""

import asyncio
import threading
import time

import pytest

from sim.show.tinker.newest import Newest


def test_a_burst_of_questions_gets_few_answers_the_last_one_right() -> None:
    done: list[int] = []

    def work(job: int) -> int:
        time.sleep(0.002)
        done.append(job)
        return 10 * job

    async def burst() -> list[int | None]:
        line: Newest[int, int] = Newest(work)
        asked = []
        for number in range(500):
            asked.append(asyncio.create_task(line.ask("a", number, number)))
            if number % 50 == 0:
                await asyncio.sleep(0.003)
        found = await asyncio.gather(*asked)
        assert not line._waiting
        line.close()
        return list(found)

    found = asyncio.run(burst())
    assert found[-1] == 4990
    answered = [answer for answer in found if answer is not None]
    assert len(answered) == len(done) < 30
    assert answered == sorted(answered)


def test_no_page_starves_another_and_late_numbers_are_dropped() -> None:
    order: list[str] = []
    gate = threading.Event()

    def work(job: str) -> str:
        gate.wait(5.0)
        order.append(job)
        return job

    async def two_pages() -> None:
        line: Newest[str, str] = Newest(work)
        first = [asyncio.create_task(line.ask("a", n, f"a{n}")) for n in range(3)]
        await asyncio.sleep(0.01)
        other = asyncio.create_task(line.ask("b", 0, "b0"))
        await asyncio.sleep(0.01)
        more = [asyncio.create_task(line.ask("a", n, f"a{n}")) for n in (5, 4)]
        await asyncio.sleep(0.01)
        gate.set()
        assert await other == "b0"
        assert [await task for task in more] == ["a5", None]
        assert [await task for task in first][:2] == [None, None]
        line.close()

    asyncio.run(two_pages())
    assert order.index("b0") < order.index("a5")


def test_a_question_that_fails_does_not_stop_the_line() -> None:
    def work(job: int) -> int:
        return 1 // job

    async def ask() -> None:
        line: Newest[int, int] = Newest(work)
        with pytest.raises(ZeroDivisionError):
            await line.ask("a", 1, 0)
        assert await line.ask("a", 2, 1) == 1
        line.close()

    asyncio.run(ask())


def test_pages_long_gone_are_forgotten() -> None:
    async def ask() -> None:
        line: Newest[int, int] = Newest(lambda job: job)
        for page in range(600):
            await line.ask(str(page), 1, page)
        assert len(line._numbers) <= 256
        line.close()

    asyncio.run(ask())
