"""An answer that many ask for at the same moment is computed once, and kept while there is room.

No answer is None.
"""

import pickle
from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterator
from functools import wraps
from pathlib import Path
from threading import Event, Lock
from typing import Any, Protocol

import pandas as pd

from dashboard.database.admission import TURNS

Question = tuple[Hashable, ...]
IsOld = Callable[[Question], bool]

_caches: list["Remembering"] = []


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

    for cached in _caches:
        cached.forget(is_old)


class Kept:
    """The latest answers, up to so many bytes in all; what was not asked for longest goes first."""

    def __init__(self, most_bytes: int) -> None:
        self._answers: OrderedDict[Question, tuple[Any, int]] = OrderedDict()
        self._most_bytes, self._bytes, self.reckoned = most_bytes, 0, 0

    def __len__(self) -> int:
        return len(self._answers)

    def __iter__(self) -> Iterator[Question]:
        return iter(self._answers)

    def __contains__(self, question: Question) -> bool:
        return question in self._answers

    def __getitem__(self, question: Question) -> Any:
        self._answers.move_to_end(question)
        return self._answers[question][0]

    def keep(self, question: Question, answer: Any, size: int) -> None:
        """Remember an answer of so many bytes; one larger than all the room is not kept."""
        self.reckoned += 1
        if size > self._most_bytes:
            return
        self._answers[question] = answer, size
        self._bytes += size
        while self._bytes > self._most_bytes:
            _, (_, freed) = self._answers.popitem(last=False)
            self._bytes -= freed

    def forget(self, is_old: IsOld) -> None:
        """Forget the answers of old questions."""
        for question in [each for each in self._answers if is_old(each)]:
            self._bytes -= self._answers.pop(question)[1]

    def clear(self) -> None:
        """Forget every answer."""
        self.forget(lambda _: True)


class Remembering(Protocol):
    """A function that remembers its answers."""

    kept: Kept
    forget: Callable[[IsOld], None]

    def __call__(self, *question: Hashable) -> Any: ...


def once(
    most_bytes: int, bytes_of: Callable[[Any], int]
) -> Callable[[Callable[..., Any]], Remembering]:
    """Remember the answers of a function; threads wait for the first that asks, and for their turn.

    After a publish every open page asks the same; without waiting each would reckon it.
    """

    def remembered(function: Callable[..., Any]) -> Remembering:
        kept, guard = Kept(most_bytes), Lock()
        busy: dict[Question, Event] = {}

        def computed(question: Question) -> Any:
            """Return the answer, remembered; None when somebody else was first."""
            with TURNS.taken():
                with guard:
                    if question in kept or question in busy:
                        return None
                    mine = busy[question] = Event()
                try:
                    answer = function(*question)
                    size = bytes_of(answer)  # before the lock: a large one takes long to measure
                    with guard:
                        kept.keep(question, answer, size)
                    return answer
                finally:
                    with guard:
                        del busy[question]
                    mine.set()

        @wraps(function)
        def asked(*question: Hashable) -> Any:
            answer = None
            while answer is None:
                with guard:
                    if question in kept:
                        return kept[question]
                    others = busy.get(question)
                if others:  # who reckons holds a place: to wait is safe
                    others.wait()
                else:
                    answer = computed(question)
            return answer

        def forget(is_old: IsOld) -> None:
            with guard:
                kept.forget(is_old)

        asked.kept, asked.forget = kept, forget  # type: ignore[attr-defined]
        remembering: Remembering = asked  # type: ignore[assignment]
        _caches.append(remembering)
        return remembering

    return remembered
