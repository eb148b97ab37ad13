"""What a shop calls an appliance → its kind, only where every word is understood."""

import re
from functools import cache, lru_cache

import sql
from etl.words.lexicon import lexicon

MARKS = re.compile(r"[-/,;:().]")
AND = re.compile(r"[&+]")
FREE = frozenset(("modifier",))


@lru_cache(maxsize=65_536)
def kind_of(text: str) -> str | None:
    """Return the kind that a text names, None where a word of it is not known or means two.

    A number with its unit (30in, 4) says nothing of the kind. A word that could be a fuel, a
    feature or a mere modifier counts as what makes a known kind. `washer & dryer` are two.
    """
    pieces = lexicon("kind_words").pieces(MARKS.sub(" ", AND.sub(" and ", text)))
    said = [p.concepts for p in pieces if not p.words[0][0].isdigit() or p.concepts]
    if not said or not all(said):
        return None
    kinds = {_features().get(frozenset(chosen)) for chosen in _choices(said)} - {None}
    return kinds.pop() if len(kinds) == 1 else None


def _choices(said: list[frozenset[str]]) -> set[frozenset[str]]:
    """Return the sets of features that the words can mean together, the fullest ones only."""
    found: set[frozenset[str]] = {frozenset()}
    for concepts in said:
        options = [frozenset((c,)) - FREE for c in concepts]
        found = {one | option for one in found for option in options}
    known = {choice for choice in found if choice in _features()}
    return {choice for choice in known if not any(choice < other for other in known)}


@cache
def _features() -> dict[frozenset[str], str]:
    return {frozenset(row["concepts"].split()): row["kind"] for row in sql.lookup("kind_features")}
