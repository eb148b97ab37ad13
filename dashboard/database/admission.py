"""Only so many threads reckon at once; the others wait, and who came first goes first.

Shared out among all of them, the processors would finish nobody's page long before the last one's.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from heapq import heappop, heappush
from itertools import count
from math import inf
from threading import Condition, Event, Lock, local

PLACES = 2 * (os.cpu_count() or 1)  # some to spare: a short question need not wait for long ones


class Turns:
    """So many places to reckon at. A thread waits for one with the ticket of its first question.

    Whoever holds a place must not wait for what needs another: no cache of Streamlit's within it.
    """

    def __init__(self, places: int) -> None:
        self._free, self._guard, self._tickets = places, Lock(), count()
        self._line: list[tuple[float, int, Event]] = []
        self._own = local()

    def give_way(self) -> None:
        """Let this thread go after all the others."""
        self._own.ticket = inf

    @contextmanager
    def taken(self) -> Iterator[None]:
        """Hold a place for the length of the block; what is asked within goes by the same place."""
        if getattr(self._own, "is_in", False):
            yield
            return
        self._enter()
        self._own.is_in = True
        try:
            yield
        finally:
            self._own.is_in = False
            self._leave()

    def _enter(self) -> None:
        with self._guard:
            came = next(self._tickets)
            if not hasattr(self._own, "ticket"):
                self._own.ticket = came
            if self._free:
                self._free -= 1
                return
            mine = Event()
            heappush(self._line, (self._own.ticket, came, mine))
        mine.wait()

    def _leave(self) -> None:
        with self._guard:
            if self._line:
                heappop(self._line)[-1].set()  # the place is handed on
            else:
                self._free += 1


class Runs:
    """The page runs of this moment: what is made ready beforehand waits until there is none."""

    def __init__(self) -> None:
        self._now, self._changed = 0, Condition()

    @contextmanager
    def running(self) -> Iterator[None]:
        """Count the block as a page that somebody is waiting for."""
        with self._changed:
            self._now += 1
        try:
            yield
        finally:
            with self._changed:
                self._now -= 1
                self._changed.notify_all()

    def wait_for_none(self, most_s: float) -> bool:
        """Wait until nobody waits for a page, at most so long; say whether it came to that."""
        with self._changed:
            return self._changed.wait_for(lambda: self._now == 0, most_s)


TURNS, RUNS = Turns(PLACES), Runs()
