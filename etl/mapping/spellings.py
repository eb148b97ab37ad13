"""Which spellings may be one name: "Smith, J.", "J Smith" and "JS" next to "John Smith".

A likeness is only proposed; the shop confirms it once and may undo it.
"""

import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable, Sequence
from collections.abc import Mapping as Dictionary
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from rapidfuzz import fuzz, process

CLOSE = 86  # percent of likeness for a misspelled name
SHORTEST = 5  # characters; below it a single changed letter is another name
INITIALS, FIRST_NAME, WRITTEN_OUT, SAME_WORDS = 0.6, 0.7, 0.9, 1.0


@dataclass(frozen=True)
class SameName:
    """A spelling that may be another name of the records, and how sure that is (0 to 1)."""

    spelling: str
    name: str
    confidence: float


def same_names(jobs: Dictionary[str, int], field: str) -> list[SameName]:
    """Return the spellings that are like exactly one other name, the surest first.

    `jobs` counts the jobs of each name. The fuller name wins, then the one with more jobs. A
    spelling that could be two people is left alone.
    """
    names = sorted(jobs, key=lambda name: (*_fullness(name), -jobs[name], name))
    found: dict[str, SameName] = {}
    full = _Names(field)
    for spelling in names:
        candidates = full.near(spelling)
        alike = {name: sure for name in candidates if (sure := _likeness(spelling, name, field))}
        best = max(alike.values(), default=0)
        closest = [name for name, sure in alike.items() if sure == best]
        if len(closest) == 1:
            found[spelling] = SameName(spelling, closest[0], best)
        else:
            full.add(spelling)
    return sorted(found.values(), key=lambda same: (-same.confidence, same.spelling))


class _Names:
    """Names of a field, found by what a spelling of the same name must share with them.

    Comparing all pairs of thousands of models would take minutes.
    """

    def __init__(self, field: str) -> None:
        self._field = field
        self._by_key: dict[tuple[str, ...], list[str]] = defaultdict(list)
        self._by_numbers: dict[tuple[str, ...], dict[str, str]] = defaultdict(dict)

    def add(self, name: str) -> None:
        """Take a name in."""
        for key in self._keys(name):
            self._by_key[key].append(name)
        self._by_numbers[_numbers_of(name)][name] = _joined(name)

    def near(self, spelling: str) -> Iterable[str]:
        """Return every name that can be like a spelling, each once."""
        near = {name: None for key in self._keys(spelling) for name in self._by_key.get(key, ())}
        if self._field != "model":
            names = self._by_numbers.get(_numbers_of(spelling), {})
            close = process.extract(
                _joined(spelling), names, scorer=fuzz.ratio, score_cutoff=CLOSE, limit=None
            )
            near |= {name: None for *_, name in close}
        return near

    def _keys(self, name: str) -> set[tuple[str, ...]]:
        words = _words(name)
        keys = {("letters", "".join(words)), ("words", *sorted(words))}
        if self._field == "technician":
            initials = "".join(word[0] for word in words)
            keys |= {("word", word) for word in words} | {("word", initials)}
        return keys


def proposed_names(rows: Iterable[Dictionary[str, Any]]) -> list[tuple[str, str, SameName]]:
    """Return (mapping, field, proposal) for the names of pages/written_names."""
    groups: dict[tuple[str, str], dict[str, int]] = {}
    for row in rows:
        groups.setdefault((row["mapping"], row["field"]), {})[row["name"]] = int(row["jobs"])
    return [
        (mapping, field, same)
        for (mapping, field), jobs in sorted(groups.items())
        for same in same_names(jobs, field)
    ]


@lru_cache(50_000)
def _words(name: str) -> tuple[str, ...]:
    plain = unicodedata.normalize("NFKD", name.casefold())
    plain = "".join(sign for sign in plain if not unicodedata.combining(sign))
    return tuple(re.findall(r"[^\W_]+", plain))


def _fullness(name: str) -> tuple[int, int]:
    """Order names by words and letters, the most first; a comma adds nothing."""
    words = _words(name)
    return -len(words), -sum(map(len, words))


def _joined(name: str) -> str:
    return " ".join(sorted(_words(name)))


def _numbers_of(name: str) -> tuple[str, ...]:
    return tuple(_numbers(_words(name)))


def _likeness(spelling: str, name: str, field: str) -> float:
    one, other = _words(spelling), _words(name)
    if not one or not other:
        return 0.0
    if sorted(one) == sorted(other) or "".join(one) == "".join(other):
        return SAME_WORDS
    if field == "model" or _numbers(one) != _numbers(other):
        return 0.0
    if field == "technician" and (person := _person(one, other)):
        return person
    joined = _joined(spelling), _joined(name)
    likeness = fuzz.ratio(*joined)
    is_close = likeness >= CLOSE and min(map(len, joined)) >= SHORTEST
    return min(likeness / 100, WRITTEN_OUT) if is_close else 0.0


def _numbers(words: Sequence[str]) -> list[str]:
    return [word for word in words if any(sign.isdigit() for sign in word)]


def _person(one: Sequence[str], other: Sequence[str]) -> float:
    """Return how sure a shorter spelling means a person who is written out; 0 when it does not."""
    if len(other) < 2:
        return 0.0
    if len(one) == 1:
        if one[0] in other:
            return FIRST_NAME
        return INITIALS if one[0] == "".join(word[0] for word in other) else 0.0
    return WRITTEN_OUT if len(one) == len(other) and _fits(one, other) else 0.0


def _fits(one: Sequence[str], other: Sequence[str]) -> bool:
    """Return True if each word is one of the other's or its initial, one of them in full."""
    left, whole = list(other), 0
    for word in sorted(one, key=len, reverse=True):
        match = next((o for o in left if o == word), None)
        whole += match is not None and len(word) > 1
        match = match or next((o for o in left if len(word) == 1 and o.startswith(word)), None)
        if match is None:
            return False
        left.remove(match)
    return whole > 0
