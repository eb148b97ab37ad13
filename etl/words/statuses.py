"""How a job or a visit ended, as a shop writes it → disposition or outcome, or none."""

from functools import cache

import sql
from etl.words.lexicon import Piece, lexicon
from etl.words.patterns import Clause, clause_of, find, parsed

YIELDING = {"disposition": "repaired", "outcome": "completed"}


def disposition_of(text: str) -> str | None:
    """Return the disposition that a text means, None where it means none or two."""
    return _meaning("disposition", text)


def outcome_of(text: str) -> str | None:
    """Return the outcome of a visit that a text means, None where it means none or two."""
    return _meaning("outcome", text)


def _meaning(field: str, text: str) -> str | None:
    """Return the one id whose patterns the text has; `repaired` yields to every other one.

    `closed - declined` is declined; `closed, waiting for parts` says two things and means none.
    """
    clause = _clause(text)
    hits = {(id_, places) for id_, p in _patterns(field) if (places := find(clause, p))}
    largest = {id_ for id_, p in hits if not any(p < other for _, other in hits)}
    if len(largest) > 1 and not (field == "disposition" and "open" in largest):
        largest -= {YIELDING[field]}
    return largest.pop() if len(largest) == 1 else None


def _clause(text: str) -> Clause:
    pieces: list[Piece] = lexicon("status_words").pieces(text)
    return clause_of([p for p in pieces if not p.is_break and "clause" not in p.concepts])


@cache
def _patterns(field: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    return tuple(
        (row[field], parsed(pattern))
        for row in sql.lookup(f"{field}_words")
        for pattern in row["patterns"].split("|")
    )
