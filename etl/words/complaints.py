"""A customer's complaint → the symptom that it means for a kind of appliance, or none.

A complaint is read clause by clause: what works or is denied counts for nothing, a danger counts
before everything, then the first failure, then what is only heard, smelled or shown.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache

import sql
from etl.words.compartments import Found, of_compartments, parted
from etl.words.lexicon import Piece, key_of, known_phrases, lexicon
from etl.words.patterns import ASIDE, NOT, Clause, clause_of, find, parsed

DANGERS = ("gas_smell", "burning_smell", "shock_or_sparks", "sparks", "trips_breaker")
MINOR = ("noisy", "vibrates", "smells", "light_out", "error_code", "buttons_dead", "marks_clothes")
LAST = ("no_complaint",)
# said by one word even among others; any other single word must be all that its clause says
STRONG = frozenset(
    (
        *DANGERS,
        "leaks",
        "noisy",
        "smells",
        "vibrates",
        "frost_buildup",
        "error_code",
        "overfills",
        "overheats",
        "ices_up",
    )
)
WEAK = frozenset(("wont_start", "buttons_dead", "light_out", "runs_constantly"))
PARTS_OF_COLD = frozenset(
    ("icemaker", "icechute", "dispenser", "light", "door", "display", "buttons", "fan", "ice")
)
# what else in the clause makes a symptom doubtful: `no water on the floor` is not `no water`
OTHERS = {
    "not_cooling": PARTS_OF_COLD,
    "warm_fresh_food": PARTS_OF_COLD,
    "warm_freezer": PARTS_OF_COLD,
    "too_cold": frozenset(("fz", "icemaker", "dispenser")),
    "no_water": frozenset(("floor", "leak", "bottom", "ice", "icemaker", "fridge", "ff", "fz")),
    "wont_fill": frozenset(("floor", "leak", "spin", "drain")),
    "smells": frozenset(("gas",)),
    "no_ice": frozenset(("dispenser", "water")),
}
NEUTRAL = frozenset(
    ("press", "well", "midcycle", "run", "clothes", "dishes", "food", "fridge", "bottom", "drum")
)
WELL = frozenset(("ok", "work", "exact", "well", "run", "start"))  # in a clause of these: cured
OVER = frozenset(("stop", "halt", "not_before", "not_after"))


@dataclass(frozen=True)
class Pattern:
    """Concepts that together mean a symptom."""

    symptom: str
    concepts: tuple[str, ...]


def symptom_of(kind: str, text: str) -> str | None:
    """Return the symptom that a complaint means, None where that is not certain."""
    known = _known(kind).get(key_of(text))
    if known:
        return known if known != "unspecified" else None
    parts = _parts(lexicon("complaint_words").pieces(text), kind)
    clauses = [_reworded(part) for part in _without_conditions(parts)]
    found = [hit for i, clause in enumerate(clauses) for hit in _found(clause, i, patterns(kind))]
    found = of_compartments(kind, found, [_reworded(part) for part in parts])
    is_past = _is_past(parts, clauses)
    found = [
        hit
        for hit in found
        if hit.symptom in symptoms(kind) and (hit.symptom in DANGERS or not is_past)
    ]
    return min(found, key=_order).symptom if found else None


def _is_past(parts: list[list[Piece]], clauses: list[Clause]) -> bool:
    """Say whether it is well again: `gone now`, `was noisy, fine now`, `was leaking, stopped`."""
    said = [piece for part in parts for piece in part]
    if any("past" in piece.concepts for piece in said):
        return True
    was = any("was" in piece.concepts for piece in said)
    now = any("now" in p.concepts and _is_well(_reworded(part)) for part in parts for p in part)
    return now or (was and any(_is_well(c) or _is_over(c) for c in clauses[1:]))


def _is_well(clause: Clause) -> bool:
    return clause.has("ok", "work") and not clause.negated and clause.concepts <= WELL


def _is_over(clause: Clause) -> bool:
    return clause.has("stop", "halt") and clause.concepts <= OVER


def _order(hit: Found) -> tuple:
    rank = (
        DANGERS.index(hit.symptom) - len(DANGERS)
        if hit.symptom in DANGERS
        else 2
        if hit.symptom in LAST
        else int(hit.symptom in MINOR)
    )
    return rank, hit.clause, -len(hit.places), min(hit.places)


def _parts(pieces: Sequence[Piece], kind: str) -> list[list[Piece]]:
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


def _without_conditions(parts: list[list[Piece]]) -> list[list[Piece]]:
    """Drop what follows `when`, unless nothing was said before it."""
    kept: list[list[Piece]] = []
    for part in parts:
        if part and "condition" in part[0].concepts:
            if kept and any(piece.concepts - ASIDE for piece in kept[-1]):
                continue
            part = part[1:]
        kept.append(part)
    return kept


def _reworded(part: list[Piece]) -> Clause:
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
    """Drop the `not` beside a place: before it, or else after it."""
    nots = [i for i, p in enumerate(pieces) if p.concepts & {"not_before", "not_after"}]
    nearest = min(nots, key=lambda i: (abs(i - place), i > place))
    return pieces[:nearest] + pieces[nearest + 1 :]


def _found(clause: Clause, number: int, known: Iterable[Pattern]) -> list[Found]:
    is_good = clause.has("ok", "work") and not clause.negated and not clause.has("fail")
    makes_ice = clause.has("make") and not clause.negated and not clause.has("fail", "mal", "stop")
    if (makes_ice and clause.has("ice", "icemaker")) or clause.has("cured"):
        return []
    hits = {
        (pattern.symptom, places)
        for pattern in known
        if (not is_good or "work" in pattern.concepts)
        and (places := find(clause, pattern.concepts))
    }
    largest = [(s, p) for s, p in hits if not any(p < other for _, other in hits)]
    return [
        Found(symptom, number, places)
        for symptom, places in sorted(largest, key=str)
        if not any(p == places and s != symptom for s, p in largest)
        and _says_enough(symptom, places, clause)
    ]


def _says_enough(symptom: str, places: frozenset[int], clause: Clause) -> bool:
    """Say whether nothing else in the clause could be what fails: `heat does not come on`."""
    others = [p.concepts for i, p in enumerate(clause.pieces) if i not in places]
    if any(not concepts.isdisjoint(OTHERS.get(symptom, ())) for concepts in others):
        return False
    is_poor = any("mal" in clause.pieces[i].concepts for i in places)
    if symptom in STRONG or (len(places) > 1 and symptom not in WEAK and not is_poor):
        return True
    return not clause.unknown and all(
        concepts <= NEUTRAL or not concepts.isdisjoint((*NOT, "mal")) for concepts in others
    )


@cache
def _known(kind: str) -> dict[tuple[str, ...], str]:
    """Return the symptoms of a kind by the words that the register lists for them."""
    return known_phrases(
        (phrase, row["symptom"])
        for row in sql.lookup("symptoms")
        if row["kind"] == kind
        for phrase in (row["label"], *row["synonyms"].split("|"))
    )


@cache
def symptoms(kind: str) -> frozenset[str]:
    """Return the symptoms that a kind can have."""
    return frozenset(row["symptom"] for row in sql.lookup("symptoms") if row["kind"] == kind)


@cache
def patterns(kind: str) -> tuple[Pattern, ...]:
    """Return the patterns of a kind; those of `range` hold for every kind of range."""
    return tuple(
        Pattern(row["symptom"], parsed(pattern))
        for row in sql.lookup("symptom_words")
        if row["symptom"] in symptoms(kind) and is_of(kind, row["kinds"])
        for pattern in row["patterns"].split("|")
    )


def is_of(kind: str, kinds: str) -> bool:
    """Say whether a kind is one of those listed, or a kind of one of them."""
    words = set(kind.split("_"))
    return not kinds or any(set(listed.split("_")) <= words for listed in kinds.split("|"))
