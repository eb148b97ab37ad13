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
