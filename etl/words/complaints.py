"""A customer's complaint → the symptom that it means for a kind of appliance, or none.

A complaint is read clause by clause: what works or is denied counts for nothing, a danger counts
before everything, then the first failure, then what is only heard, smelled or shown.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache

import sql
from etl.words.amounts import with_amounts
from etl.words.choice import DANGERS, chosen
from etl.words.clauses import over_clauses, parts_of, reworded, without_conditions
from etl.words.compartments import Found, of_compartments
from etl.words.lexicon import key_of, known_phrases, lexicon
from etl.words.others import is_former, is_of_another, without_own_name, without_places
from etl.words.patterns import NOT, Clause, find, parsed

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
    "wont_drain": frozenset(("fill", "long")),
    "no_agitate": frozenset(("water", "soap", "finish")),
    "stops_mid_cycle": frozenset(("full", "water")),
    "overfills": frozenset(("finish",)),
}
NEUTRAL = frozenset(
    ("press", "well", "midcycle", "run", "clothes", "dishes", "food", "fridge", "bottom", "drum")
)

BURNED = (("burned",), ("burnt",), ("burns",))  # `burned her sweater`: too hot, not on fire


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
    pieces = without_places(lexicon("complaint_words").pieces(text), kind)
    pieces = without_own_name(pieces, kind)
    parts = parts_of(with_amounts(pieces, kind), kind)
    clauses = [reworded(part) for part in without_conditions(parts)]
    found = [
        hit
        for i, clause in enumerate(clauses)
        for hit in _found(clause, i, _possible(kind, clause))
    ]
    said = [reworded(part) for part in parts]
    found = of_compartments(kind, found, said)
    found = [hit for hit in found if hit.symptom in symptoms(kind)]
    if found:
        others = {i for i, part in enumerate(parts) if is_of_another(kind, part)}
        past = over_clauses(parts, clauses) | {i for i, p in enumerate(parts) if is_former(p)}
        found = [
            hit
            for hit in found
            if hit.clause not in others and (hit.symptom in DANGERS or hit.clause not in past)
        ]
    return chosen(found, clauses, said)


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
    if symptom == "error_code" and len(places) == 1 and clause.unknown:
        return False  # `gate code`, `apartment b2`
    if symptom == "burning_smell" and len(places) == 1 and clause.unknown:
        return clause.pieces[min(places)].words not in BURNED
    is_poor = any("mal" in clause.pieces[i].concepts for i in places)
    if symptom in STRONG or (len(places) > 1 and symptom not in WEAK and not is_poor):
        return True
    said = frozenset().union(*(clause.pieces[i].concepts for i in places))  # and said again
    return not clause.unknown and all(
        concepts <= NEUTRAL
        or not concepts.isdisjoint(said)
        or not concepts.isdisjoint((*NOT, "mal"))
        for concepts in others
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
        for row in sql.lookup("complaint_patterns")
        if row["symptom"] in symptoms(kind) and is_of(kind, row["kinds"])
        for pattern in row["patterns"].split("|")
    )


def _possible(kind: str, clause: Clause) -> Iterator[Pattern]:
    """Yield the patterns whose first concept is in the clause: most have none of theirs there."""
    by_concept = _by_concept(kind)
    for concept in clause.concepts:
        yield from by_concept.get(concept, ())


@cache
def _by_concept(kind: str) -> dict[str, list[Pattern]]:
    found: dict[str, list[Pattern]] = {}
    for pattern in patterns(kind):
        first = next((concept for concept in pattern.concepts if concept != "not"), "")
        found.setdefault(first, []).append(pattern)
    return found


def is_of(kind: str, kinds: str) -> bool:
    """Say whether a kind is one of those listed, or a kind of one of them."""
    words = set(kind.split("_"))
    return not kinds or any(set(listed.split("_")) <= words for listed in kinds.split("|"))
