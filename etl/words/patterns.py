"""Patterns of concepts found in the pieces of a clause, in any order."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

from etl.words.lexicon import Piece

ASIDE = frozenset(("filler", "aside"))  # says nothing of what fails
NOT = frozenset(("not_before", "not_after"))
SMALL = frozenset(("a", "an", "any", "in", "the", "that", "so", "very"))


@dataclass(frozen=True)
class Clause:
    """The known pieces of a clause; `negated` are those that a `not` stands for or before."""

    pieces: tuple[Piece, ...]
    negated: frozenset[int]
    unknown: int = 0  # words that no list has

    @cached_property
    def concepts(self) -> frozenset[str]:
        """Return everything that its pieces can mean."""
        return frozenset().union(*(piece.concepts for piece in self.pieces))

    def has(self, *concepts: str) -> bool:
        """Say whether a piece that is not negated has one of the concepts."""
        return any(
            not piece.concepts.isdisjoint(concepts)
            for i, piece in enumerate(self.pieces)
            if i not in self.negated
        )


def clause_of(pieces: Sequence[Piece]) -> Clause:
    """Return the clause; each `not` negates the nearest known piece on its side.

    An English or French word before (`no`, `sans`) takes the next, a German or French word after
    the verb (`nicht`, `pas`) the one before it; where there is none, the other side's. A `no`
    before an unknown word takes that: `keeps cold, not in a rush`.
    """
    known = tuple(p for p in pieces if p.concepts and p.concepts.isdisjoint(ASIDE))
    idle = _before_unknown(pieces, known)
    targets = (
        target for i, target in enumerate(map(_target(known), range(len(known)))) if i != idle
    )
    negated = frozenset(t for t in targets if t >= 0)
    return Clause(known, negated, sum(1 for p in pieces if not p.concepts and _is_word(p)))


def _before_unknown(pieces: Sequence[Piece], known: Sequence[Piece]) -> int:
    """Return the place, among known pieces, of a last `no` before an unknown word, else -1."""
    if not known or not known[-1].concepts <= {"not_before"}:
        return -1
    last = max(i for i, piece in enumerate(pieces) if piece is known[-1])
    following = (p for p in pieces[last + 1 :] if SMALL.isdisjoint(p.words))
    taken = next(following, None)
    is_taken = taken is not None and not taken.concepts and _is_word(taken)
    return len(known) - 1 if is_taken else -1


def _is_word(piece: Piece) -> bool:
    return len(piece.words[0]) > 1 and not piece.words[0][0].isdigit()


def _target(known: tuple[Piece, ...]) -> Callable[[int], int]:
    def target(position: int) -> int:
        concepts = known[position].concepts
        if concepts.isdisjoint(NOT):
            return -1
        before = [i for i in range(position) if known[i].concepts.isdisjoint(NOT)]
        after = [i for i in range(position + 1, len(known)) if known[i].concepts.isdisjoint(NOT)]
        sides = (before[-1:], after[:1]) if "not_after" in concepts else (after[:1], before[-1:])
        return next((side[0] for side in sides if side), -1)

    return target


def find(clause: Clause, pattern: tuple[str, ...]) -> frozenset[int]:
    """Return the places of the pieces that make up the pattern, empty where it is not there.

    Without `not` no piece of it may be negated; with `not` one must be, or be said to have stopped
    or failed.
    """
    wanted = _wanted(pattern)
    if not clause.concepts.issuperset(wanted):
        return frozenset()
    is_negative = len(wanted) < len(pattern)
    free = [
        i
        for i in sorted(range(len(clause.pieces)), key=lambda i: (i not in clause.negated, i))
        if is_negative or i not in clause.negated
    ]
    places = _assign(clause, wanted, tuple(free))
    if not places or not is_negative:
        return places
    return _with_negation(clause, places, _denied(pattern))


@lru_cache(maxsize=8192)
def _denied(pattern: tuple[str, ...]) -> frozenset[str]:
    """Return what the `not` of a pattern can stand for: of `turn not heat` the heat alone."""
    return frozenset(pattern[pattern.index("not") + 1 :] or pattern)


@lru_cache(maxsize=8192)
def _wanted(pattern: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(concept for concept in pattern if concept != "not")


def _assign(clause: Clause, wanted: tuple[str, ...], free: tuple[int, ...]) -> frozenset[int]:
    """Give each concept a piece of its own."""
    if not wanted:
        return frozenset()
    for place in free:
        if wanted[0] in clause.pieces[place].concepts:
            if len(wanted) == 1:
                return frozenset((place,))
            rest = _assign(clause, wanted[1:], tuple(i for i in free if i != place))
            if rest:
                return rest | {place}
    return frozenset()


def _with_negation(
    clause: Clause, places: frozenset[int], denied: frozenset[str]
) -> frozenset[int]:
    nots = {i for i, p in enumerate(clause.pieces) if not p.concepts.isdisjoint(NOT)}
    after = {i + 1 for i in nots} & places  # `wird nicht mehr kalt`
    known = places & (clause.negated | after)
    if any(not clause.pieces[i].concepts.isdisjoint(denied) for i in known):
        return places | nots
    stops = {
        i
        for i, piece in enumerate(clause.pieces)
        if i not in places
        and i not in clause.negated
        and ("fail" in piece.concepts or ("stop" in piece.concepts and i + 1 in places))
    }
    return places | stops if stops else frozenset()


@lru_cache(maxsize=4096)
def parsed(pattern: str) -> tuple[str, ...]:
    """Return the concepts of a written pattern."""
    return tuple(pattern.split())
