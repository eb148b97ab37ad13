"""An answer that many ask for at the same moment is reckoned once."""

from collections.abc import Callable, Hashable
from functools import lru_cache, wraps
from threading import Event, Lock
from typing import Any


def once(maxsize: int) -> Callable[[Callable], Callable]:
    """Remember the answers of a function, as lru_cache does; threads wait for the first that asks.

    After a publish every open page asks the same; without waiting each would reckon it.
    """

    def remembered(function: Callable) -> Callable:
        cached, turns, guard = lru_cache(maxsize)(function), {}, Lock()

        @wraps(cached)
        def asked(*question: Hashable) -> Any:
            mine = _turn(question, turns, guard)
            try:
                return cached(*question)
            finally:
                with guard:
                    del turns[question]
                mine.set()

        asked.cache_info, asked.cache_clear = cached.cache_info, cached.cache_clear
        return asked

    return remembered


def _turn(question: Hashable, turns: dict[Hashable, Event], guard: Lock) -> Event:
    """Wait until nobody else reckons this question, and say that we do."""
    while True:
        with guard:
            others = turns.get(question)
            if others is None:
                return turns.setdefault(question, Event())
        others.wait()
