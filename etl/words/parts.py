"""What a parts list calls a part, in any order of its words → its component, or none.

`VALVE, WATER INLET DUAL` is the water inlet valve. Every word has to be one of the part's or one
that says nothing of it: `drain pump hose` names two things and means none.
"""

from functools import cache

import sql
from etl.words.causes import UNCLEAR_PART, part_words
from etl.words.lexicon import with_abbreviations
from etl.words.others import own_words
from etl.words.tokens import BREAK, tokens

SAYS_NOTHING = frozenset(
    (
        "kit", "assy", "asm", "assm", "assembly", "complete", "oem", "new", "replacement", "repl",
        "part", "with", "w", "and", "the", "for", "of", "a", "white", "wht", "black", "blk",
        "stainless", "left", "right", "lh", "rh", "front", "rear", "dual", "single", "double",
        "triple", "combo", "set", "pair", "pack", "pk", "ea", "v", "vac", "volt",
        "watt", "ohm", "mfd", "uf", "amp", "in", "inch", "ff", "fz", "flat", "round",
        "prt", "genuine", "universal", "mod", "unit", "type",
    )
)  # fmt: skip
LONGEST = 120  # characters: a longer text is no name of a part


def component_of(kind: str, text: str) -> str | None:
    """Return the component of a kind that a description names, None where it is not certain."""
    if len(text) > LONGEST:
        return None
    words = frozenset(_plain(word) for word in tokens(text) if word != BREAK)
    named = {(key, part) for key, part in _parts(kind) if key <= words}
    largest = {(key, part) for key, part in named if not any(key < other for other, _ in named)}
    meant = {part for _, part in largest} - {None}
    known = frozenset().union(*(key for key, _ in largest))
    rest = {word for word in words - known if not any(sign.isdigit() for sign in word)}
    if len(meant) != 1 or not rest <= SAYS_NOTHING | own_words(kind):
        return None
    component = meant.pop()
    return None if component == UNCLEAR_PART else component


@cache
def _parts(kind: str) -> frozenset[tuple[frozenset[str], str]]:
    """Return the words of each name of a part; a name of several parts is unclear."""
    meanings: dict[frozenset[str], set[str]] = {}
    for phrase, component in part_words(kind):
        for spelled in with_abbreviations(phrase):
            key = frozenset(_plain(word) for word in tokens(spelled) if word != BREAK)
            meanings.setdefault(key, set()).add(component)
    for row in sql.lookup("ambiguous_words"):
        if row["kind"] == kind:
            key = frozenset(_plain(word) for word in tokens(row["word"]) if word != BREAK)
            meanings.setdefault(key, set()).add(UNCLEAR_PART)
    meanings.pop(frozenset(), None)
    return frozenset(
        (key, next(iter(parts)) if len(parts) == 1 else UNCLEAR_PART)
        for key, parts in meanings.items()
    )


def _plain(word: str) -> str:
    """Return a word without the s of a plural."""
    is_plural = len(word) > 3 and word.endswith("s") and not word.endswith("ss")
    return word[:-1] if is_plural else word
