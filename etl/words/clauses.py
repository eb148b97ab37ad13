"""A complaint's pieces → its clauses: marks, `but`, conditions, a late `not`, what is over."""

from collections.abc import Sequence
from dataclasses import replace

from etl.words.compartments import parted, parted_by_heat
from etl.words.lexicon import Piece
from etl.words.patterns import ASIDE, NOT, Clause, clause_of

WELL = frozenset(("ok", "work", "exact", "well", "run", "start"))  # in a clause of these: cured
TAKEN = frozenset(("took", "take", "taken", "takes", "pulled", "pull", "moved", "slid"))  # … out
OVER = frozenset(("stop", "halt", "not_before", "not_after"))


def parts_of(pieces: Sequence[Piece], kind: str) -> list[list[Piece]]:
    """Split at marks and at words such as `but`; what follows `when` is a clause of its own."""
    parts: list[list[Piece]] = [[]]
    for piece in _without_during(pieces):
        if piece.is_break or "clause" in piece.concepts:
            parts.append([])
        elif "condition" in piece.concepts:
            parts.append([piece])
        else:
            parts[-1].append(piece)
    if kind == "refrigerator":
        parts = parted(parts)
    elif kind.startswith("range"):
        parts = parted_by_heat(parts)
    return _with_late_not([part for part in parts if part])


def _without_during(pieces: Sequence[Piece]) -> list[Piece]:
    """Drop `beim Schleudern` amid a clause, where it says when; what begins one is kept."""
    kept: list[Piece] = []
    is_during = False
    for piece in pieces:
        if "during" in piece.concepts:
            is_during = bool(kept) and not kept[-1].is_break
        elif is_during and piece.concepts and piece.concepts.isdisjoint(ASIDE):
            is_during = False
        elif piece.is_break or not is_during:
            is_during = False
            kept.append(piece)
    return kept


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
    """Empty what follows `when`, unless nothing was said before it; each part keeps its place."""
    kept: list[list[Piece]] = []
    for part in parts:
        if part and "condition" in part[0].concepts:
            if kept and any(piece.concepts - ASIDE for piece in kept[-1]):
                kept.append([])
                continue
            part = part[1:]
        kept.append(part)
    return kept


def reworded(part: list[Piece]) -> Clause:
    """Say `does not work` and `not ok` as `fail`; `out` after `pump` or `took` is no failure."""
    if any("drain" in piece.concepts or not TAKEN.isdisjoint(piece.words) for piece in part):
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


def over_clauses(parts: list[list[Piece]], clauses: list[Clause]) -> frozenset[int]:
    """Return the places of the clauses whose failure is over.

    `gone now` and `fine now` say it of all from the first `was` on, else of all before them;
    `was noisy` of itself where it is well or has stopped later.
    """
    well = [_is_well(clause) for clause in clauses]
    over: set[int] = set()
    for place, part in enumerate(parts):
        said = frozenset().union(*(piece.concepts for piece in part))
        ends = any(well[place + 1 :]) or any(_is_over(c) for c in clauses[place + 1 :])
        if "past" in said or ("now" in said and _is_well(reworded(part))):
            over.update(range(_first_was(parts[:place]), place + 1))
        elif "was" in said and ends:
            over.add(place)
    return frozenset(over)


def _first_was(parts: list[list[Piece]]) -> int:
    """Return the place of the first clause that tells how it was, 0 where none does."""
    was = (i for i, part in enumerate(parts) if any("was" in piece.concepts for piece in part))
    return next(was, 0)


def _is_well(clause: Clause) -> bool:
    return clause.has("ok", "work") and not clause.negated and clause.concepts <= WELL


def _is_over(clause: Clause) -> bool:
    return clause.has("stop", "halt") and clause.concepts <= OVER
