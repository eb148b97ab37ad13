"""Clauses about something else than the appliance: another appliance, or how it once was."""

from collections.abc import Sequence
from functools import cache

import sql
from etl.words.lexicon import Piece
from etl.words.tokens import tokens

# what a complaint calls each, in one word or two; `hood` and `top` say too little in a sentence
FAMILIES = {
    "washer": "washer", "dryer": "dryer", "dishwasher": "dishwasher", "refrigerator": "cold",
    "freezer": "cold", "range": "cooking", "oven": "cooking", "cooktop": "cooking",
    "microwave": "microwave",
}  # fmt: skip
OWN_FAMILIES = {
    "washer_dryer": ("washer", "dryer"), "wine_cooler": ("cold",), "ice_machine": ("cold",),
}  # fmt: skip
SHORTEST = 4  # letters of a name: `ref` and `top` are other words too
NO_NAMES = frozenset(("wash", "laundry", "table", "plaque", "reference", "truhe", "mobile"))
PLACES = frozenset(("above", "over", "under", "behind", "near", "by", "below"))
FILLER = frozenset(("filler",))
ARTICLES = frozenset(("the", "my", "our", "her", "his"))
FIRST_WORDS = 5  # within which a clause names what it is about


def is_of_another(kind: str, part: Sequence[Piece]) -> bool:
    """Say whether a clause begins with another appliance, and does not name this one."""
    own = _own_families(kind)
    words = [word for piece in part for word in piece.words][: FIRST_WORDS + 2]
    named = {
        family
        for place in range(min(len(words), FIRST_WORDS))
        for length in (3, 2, 1)
        if (family := _names().get(tuple(words[place : place + length])))
    }
    return bool(named and own) and named.isdisjoint(own)


def without_places(pieces: Sequence[Piece], kind: str) -> list[Piece]:
    """Drop another appliance that is only a place: `micro above the oven`."""
    own = _own_families(kind)
    kept: list[Piece] = []
    position = 0
    while position < len(pieces):
        end = position + 1
        while end < len(pieces) and pieces[end].words[0] in ARTICLES:
            end += 1
        family = _names().get(pieces[end].words) if end < len(pieces) else None
        if pieces[position].words[0] in PLACES and family and family not in own:
            position = end
        else:
            kept.append(pieces[position])
        position += 1
    return kept


def without_own_name(pieces: Sequence[Piece], kind: str) -> list[Piece]:
    """Make a mere filler of an unknown word that names the kind: `dw dead`."""
    own = own_words(kind)
    return [
        Piece(piece.words, FILLER) if not piece.concepts and piece.words[-1] in own else piece
        for piece in pieces
    ]


@cache
def own_words(kind: str) -> frozenset[str]:
    """Return the words that name a kind and nothing else."""
    concepts = {
        concept
        for row in sql.lookup("kind_features")
        if row["kind"] == kind
        for concept in row["concepts"].split()
    }
    return frozenset(
        word
        for row in sql.lookup("kind_words")
        if row["concept"] in concepts
        for phrase in row["words"].split("|")
        for word in tokens(phrase)
    )


def is_former(part: Sequence[Piece]) -> bool:
    """Say whether a clause tells how it once was: `used to be ice cold`, `last year it leaked`."""
    return any("former" in piece.concepts for piece in part)


@cache
def _own_families(kind: str) -> frozenset[str]:
    families = {family for name, family in FAMILIES.items() if name in kind.split("_")}
    return frozenset(OWN_FAMILIES.get(kind, families))


@cache
def _names() -> dict[tuple[str, ...], str]:
    """Return the family of each name of an appliance that is no other word."""
    found = {}
    for row in sql.lookup("kind_words"):
        family = FAMILIES.get(row["concept"])
        for phrase in row["words"].split("|") if family else ():
            key = tokens(phrase)
            is_name = sum(map(len, key)) >= SHORTEST and key[0] not in NO_NAMES
            if is_name and len(key) <= 3:
                found[key] = family or ""
    return found
