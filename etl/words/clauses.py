"""A complaint's pieces → its clauses: marks, `but`, conditions, a late `not`, what is over."""

from collections.abc import Sequence
from dataclasses import replace

from etl.words.compartments import parted
from etl.words.lexicon import Piece
from etl.words.patterns import ASIDE, NOT, Clause, clause_of

WELL = frozenset(("ok", "work", "exact", "well", "run", "start"))  # in a clause of these: cured
OVER = frozenset(("stop", "halt", "not_before", "not_after"))


def parts_of(pieces: Sequence[Piece], kind: str) -> list[list[Piece]]:
    """Split at marks and at words such as `but`; what follows `when` is a clause of its own."""
    parts: list[list[Piece]] = [[]]
    for piece in pieces:
        if piece.is_break or "clause" in piece.concepts:
            parts.append([])
        elif "condition" in piece.concepts:
            parts.append([piece])
        else:
            parts[-1].append(piece)
    if kind == "refrigerator":
        parts = parted(parts)
    return _with_late_not([part for part in parts if part])


def _with_late_not(parts: list[list[Piece]]) -> list[list[Piece]]:
    """Give a clause of a mere `not` to the one before it: `schleudert aber nicht`."""
    joined: list[list[Piece]] = []
    for part in parts:
        known = [piece.concepts for piece in part if piece.concepts.isdisjoint(ASIDE)]
        if joined and known and all(not c.isdisjoint(NOT) for c in known):
            joined[-1] = joined[-1] + part
        else:
            joined.append(part)
    return joined


def without_conditions(parts: list[list[Piece]]) -> list[list[Piece]]:
    """Drop what follows `when`, unless nothing was said before it."""
    kept: list[list[Piece]] = []
    for part in parts:
        if part and "condition" in part[0].concepts:
            if kept and any(piece.concepts - ASIDE for piece in kept[-1]):
                continue
            part = part[1:]
        kept.append(part)
    return kept


def reworded(part: list[Piece]) -> Clause:
    """Say `does not work` and `not ok` as `fail`; `out` after `pump` is no failure."""
    if any("drain" in piece.concepts for piece in part):
        part = [piece for piece in part if piece.words != ("out",)]
    clause = clause_of(part)
    pieces = list(clause.pieces)
    for i in clause.negated:
        if not pieces[i].concepts.isdisjoint(("work", "ok")):
            pieces[i] = Piece(pieces[i].words, pieces[i].concepts - {"work", "ok"} | {"fail"})
            pieces = _without_not_of(pieces, i)
            return replace(clause_of(pieces), unknown=clause.unknown)
    return clause


def _without_not_of(pieces: list[Piece], place: int) -> list[Piece]:
    """Drop the `not` next to a place: before it, or else after it."""
    nots = [i for i, p in enumerate(pieces) if p.concepts & {"not_before", "not_after"}]
    nearest = min(nots, key=lambda i: (abs(i - place), i > place))
    return pieces[:nearest] + pieces[nearest + 1 :]


def is_past(parts: list[list[Piece]], clauses: list[Clause]) -> bool:
    """Say whether it is well again: `gone now`, `was noisy, fine now`, `was leaking, stopped`."""
    said = [piece for part in parts for piece in part]
    if any("past" in piece.concepts for piece in said):
        return True
    was = any("was" in piece.concepts for piece in said)
    now = any("now" in p.concepts and _is_well(reworded(part)) for part in parts for p in part)
    return now or (was and any(_is_well(c) or _is_over(c) for c in clauses[1:]))


def _is_well(clause: Clause) -> bool:
    return clause.has("ok", "work") and not clause.negated and clause.concepts <= WELL


def _is_over(clause: Clause) -> bool:
    return clause.has("stop", "halt") and clause.concepts <= OVER
