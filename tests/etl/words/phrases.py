"""Phrases as several shops would type them, written before the lists of words were made.

Three sets, all invented (no source: common practice). Within a set every second phrase, counted
through the file, served development; the others and all of the later sets were first read after
the lists stood.
"""

import csv
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).parent


@dataclass(frozen=True)
class Phrase:
    """A written text, the kind it is about and the ids that are right; none: it means nothing."""

    kind: str
    text: str
    wanted: tuple[str, ...]
    is_held_out: bool


def phrases(name: str, column: str) -> list[Phrase]:
    """Return the phrases of one file; `unspecified` and an empty id mean nothing certain."""
    return list(_phrases(name, column))


def _phrases(name: str, column: str) -> Iterator[Phrase]:
    number = 0
    with (HERE / f"{name}.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            for text in row["phrases"].split("|"):
                number += 1
                ids = tuple(i for i in row[column].split("/") if i not in ("", "unspecified"))
                kind = row.get("kind", "") if column != "kind" else ""
                yield Phrase(kind, text, ids, number % 2 == 1)


@dataclass(frozen=True)
class Score:
    """How many phrases with a meaning were understood, and how many of all wrongly."""

    wanted: int
    right: int
    wrong: tuple[str, ...]
    total: int

    @property
    def recall(self) -> float:
        return self.right / self.wanted

    @property
    def wrong_share(self) -> float:
        return len(self.wrong) / self.total


def score(found: list[Phrase], meaning: Callable[[Phrase], str | None]) -> Score:
    """Count the phrases that `meaning` understands rightly and wrongly."""
    answers = [(phrase, meaning(phrase)) for phrase in found]
    return Score(
        sum(1 for phrase in found if phrase.wanted),
        sum(1 for phrase, id_ in answers if id_ in phrase.wanted),
        tuple(f"{p.text}: {id_}" for p, id_ in answers if id_ and id_ not in p.wanted),
        len(found),
    )
