"""Admission control: at most a few threads compute at once; the others wait in order of arrival.

Shared out among all of them, the processors would finish every page shortly before the last.
Measured with 20 pages of 8 questions (20 ms each) at 4 places: a page is finished after 0.56 s on
average, with a plain semaphore, which admits question by question, after 0.78 s.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from heapq import heappop, heappush
from itertools import count
from math import inf
from threading import Condition, Event, Lock, local

GIVES_WAY_S = 1.0  # where somebody always reads, warming up goes on after so long all the same
PLACES = 2 * (os.cpu_count() or 1)  # some to spare: a short question need not wait for long ones


class Runs:
    """The page runs of this moment: warming up waits until there is none.

    It does not wait while a page is held up by another thread, which may be the one that warms up.
    """

    def __init__(self) -> None:
        self._now, self._held_up, self._changed = 0, 0, Condition()

    @contextmanager
    def running(self) -> Iterator[None]:
        """Count the block as a page run."""
        with self._changed:
            self._now += 1
        try:
            yield
        finally:
            with self._changed:
                self._now -= 1
                self._changed.notify_all()

    @contextmanager
    def held_up(self) -> Iterator[None]:
        """Count the block as waiting for another thread: for its answer or for its place."""
        with self._changed:
            self._held_up += 1
            self._changed.notify_all()
        try:
            yield
        finally:
            with self._changed:
                self._held_up -= 1

    def wait_for_none(self, most_s: float) -> None:
        """Wait until no page runs or one is held up, at most so long."""
        with self._changed:
            self._changed.wait_for(lambda: self._now == 0 or self._held_up > 0, most_s)


RUNS = Runs()


class Admission:
    """A semaphore whose waiting threads are admitted in the order of each one's first question.

    An admitted thread must not wait for what needs a place: no cache of Streamlit's within it.
    """

    def __init__(self, places: int) -> None:
        self._free, self._guard, self._arrivals = places, Lock(), count()
        self._waiting: list[tuple[float, int, Event]] = []
        self._own = local()

    def go_last(self) -> None:
        """Put this thread behind all others from now on."""
        self._own.arrival = inf

    def give_way(self) -> None:
        """Let page runs go first if this thread goes last; before each of its computations."""
        if getattr(self._own, "arrival", 0) == inf:
            RUNS.wait_for_none(GIVES_WAY_S)

    @contextmanager
    def admitted(self) -> Iterator[None]:
        """Hold a place for the length of the block; a block within it needs no second place."""
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
            number = next(self._arrivals)
            if not hasattr(self._own, "arrival"):
                self._own.arrival = number
            if self._free:
                self._free -= 1
                return
            admitted = Event()
            heappush(self._waiting, (self._own.arrival, number, admitted))
        with RUNS.held_up():
            admitted.wait()

    def _leave(self) -> None:
        with self._guard:
            if self._waiting:
                heappop(self._waiting)[-1].set()  # the place is handed on
            else:
                self._free += 1


ADMISSION = Admission(PLACES)
