"""A cache bounded by bytes, with single flight: what many ask for at once is computed once.

The least recently used answers are evicted first. No answer is None.
"""

import pickle
from collections.abc import Callable, Hashable
from contextlib import suppress
from functools import wraps
from pathlib import Path
from threading import Event, Lock
from typing import Any, Protocol

import pandas as pd
from cachetools import LRUCache

from dashboard.database.admission import ADMISSION, RUNS

Question = tuple[Hashable, ...]
IsOld = Callable[[Question], bool]

_cached: list["Cached"] = []


def bytes_of(table: pd.DataFrame) -> int:
    """Return the memory that a table takes."""
    return int(table.memory_usage(deep=True).sum())


def pickled_bytes(answer: Any) -> int:
    """Return about the memory that an answer of any kind takes."""
    return len(pickle.dumps(answer))


def forget_versions(held: set[Path]) -> None:
    """Evict what was computed from versions that are not held any more, from every cache.

    A cache belongs to versions when its functions take a Snapshot, or the version itself, first.
    """

    def is_old(question: Question) -> bool:
        version = getattr(question[0], "version", question[0])
        return isinstance(version, Path) and version not in held

    for function in _cached:
        function.forget(is_old)


class Cached(Protocol):
    """A function with a cache: question → (answer, its bytes); `computed` counts the misses."""

    cache: LRUCache[Question, tuple[Any, int]]
    computed: int
    forget: Callable[[IsOld], None]

    def __call__(self, *question: Hashable) -> Any: ...


def cached(
    most_bytes: int, bytes_of: Callable[[Any], int]
) -> Callable[[Callable[..., Any]], Cached]:
    """Cache the answers of a function, at most so many bytes of them.

    After a publish every open page asks the same: the first thread computes it once it is
    admitted, the others wait for its answer. An answer larger than the cache is not kept.
    """

    def decorate(function: Callable[..., Any]) -> Cached:
        cache: LRUCache[Question, tuple[Any, int]] = LRUCache(most_bytes, lambda kept: kept[1])
        guard, busy = Lock(), dict[Question, Event]()

        def compute(question: Question) -> Any:
            """Return the answer and cache it; None when another thread was first."""
            ADMISSION.give_way()
            with ADMISSION.admitted():
                with guard:
                    if question in cache or question in busy:
                        return None
                    done = busy[question] = Event()
                    answers.computed += 1
                try:
                    answer = function(*question)
                    size = bytes_of(answer)  # outside the lock: a large table takes long to measure
                    with guard, suppress(ValueError):  # larger than the whole cache
                        cache[question] = answer, size
                    return answer
                finally:
                    with guard:
                        del busy[question]
                    done.set()

        @wraps(function)
        def asked(*question: Hashable) -> Any:
            answer = None
            while answer is None:
                with guard:
                    if question in cache:
                        return cache[question][0]
                    first = busy.get(question)
                if first:  # the thread that computes it is admitted already: waiting is safe
                    with RUNS.held_up():
                        first.wait()
                else:
                    answer = compute(question)
            return answer

        def forget(is_old: IsOld) -> None:
            with guard:
                for question in [each for each in cache if is_old(each)]:
                    del cache[question]

        asked.cache, asked.computed, asked.forget = cache, 0, forget  # type: ignore[attr-defined]
        answers: Cached = asked  # type: ignore[assignment]
        _cached.append(answers)
        return answers

    return decorate
