"""What waits for a rest: runs once, after nothing was asked for a while, or when told to."""

import asyncio
from concurrent.futures import ThreadPoolExecutor

from pvkit.present.rest import Rest


def _told_by_a_loop_of_its_own(move):
    """Run it in another thread: a browser driven by the same run keeps a loop in this one."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(lambda: asyncio.run(move())).result()


def test_many_asks_close_together_give_one_run_after_the_last():
    runs = []

    async def move():
        rest = Rest(lambda: runs.append(loop.time()), seconds=0.05)
        loop = asyncio.get_running_loop()
        for _ in range(5):
            rest.ask()
            await asyncio.sleep(0.01)
        last = loop.time()
        assert runs == []
        await asyncio.sleep(0.15)
        assert not rest.pending
        return last

    last = _told_by_a_loop_of_its_own(move)
    assert len(runs) == 1
    assert runs[0] > last


def test_without_a_loop_it_waits_until_told():
    runs = []
    rest = Rest(lambda: runs.append(1))
    rest.ask()
    assert runs == []
    rest.now()
    rest.now()
    assert runs == [1]


def test_what_was_told_to_run_does_not_run_again_by_itself():
    runs = []

    async def move():
        rest = Rest(lambda: runs.append(1), seconds=0.02)
        rest.ask()
        rest.now()
        await asyncio.sleep(0.06)

    _told_by_a_loop_of_its_own(move)
    assert runs == [1]
