"""What an unlisted word of a line type may mean: proposed, never assumed."""

import re
import unicodedata
from collections.abc import Iterable
from functools import cache

import sql
from etl.mapping.fields import folded

SHORTEST = 2  # letters: "T" may be tax, trip or total
SHORTEST_FIRST = 5  # letters of the first word of a compound
LONGEST_SHORT = 5  # letters of an abbreviation made of some letters of a word


def known_type(word: str) -> str | None:
    """Return the type of a listed word, which a load knows without any mapping."""
    return _listed().get(folded(word))


def is_listed(word: str) -> bool:
    """Say whether a word is listed, accents and ligatures aside."""
    return _plain(word) in _plain_words()


def guessed_type(word: str, amounts: Iterable[float] = ()) -> str | None:
    """Return the only type that a word may mean: one of its words, its start, a compound
    with it, or its letters.

    `amounts` are those of its lines: a line with money is neither a total nor a remark where
    something else is possible, and lines that only subtract are a discount.
    """
    values = [amount for amount in amounts if amount]
    for candidates in (_by_words(word), _by_start(word), _of_compound(word), _by_letters(word)):
        if values and len(candidates) > 1:
            candidates = candidates - {"remark", "total"}
        if len(candidates) > 1 and "discount" in candidates and max(values, default=1) < 0:
            return "discount"
        if candidates:
            return next(iter(candidates)) if len(candidates) == 1 else None
    return None


def _by_words(word: str) -> set[str]:
    """Find whole listed words within: "Labor - standard", "Trip charge zone 2"."""
    text = f" {_plain(word)} "
    found = {phrase: id_ for phrase, id_ in _plain_words().items() if f" {phrase} " in text}
    longest = {p for p in found if not any(p != other and p in other for other in found)}
    return {found[phrase] for phrase in longest}


def _by_start(word: str) -> set[str]:
    start = _plain(word)
    if len(start) < SHORTEST:
        return set()
    return {id_ for phrase, id_ in _plain_words().items() if phrase.startswith(start)}


def _of_compound(word: str) -> set[str]:
    """Find the listed words that begin a compound: "Anfahrtspauschale"."""
    text = _plain(word)
    if " " in text:
        return set()
    return {
        id_
        for phrase, id_ in _plain_words().items()
        if len(phrase) >= SHORTEST_FIRST and text.startswith(phrase)
    }


def _by_letters(word: str) -> set[str]:
    """Find the words whose letters an abbreviation picks: "TRV" of travel, "DSC" of discount."""
    letters = _plain(word).replace(" ", "")
    if not SHORTEST <= len(letters) <= LONGEST_SHORT or not letters.isalpha():
        return set()
    pattern = re.compile(".*".join(letters))
    return {id_ for phrase, id_ in _plain_words().items() if pattern.match(phrase)}


def _plain(word: str) -> str:
    text = word.casefold().replace("ä", "ae").replace("ö", "oe").replace("ü", "ue")
    text = text.replace("œ", "oe").replace("æ", "ae")
    text = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    return folded(text)


@cache
def _listed() -> dict[str, str]:
    return {
        folded(word): row["line_type"]
        for row in sql.lookup("line_types")
        for word in (row["line_type"], row["label"], *row["synonyms"].split("|"))
    }


@cache
def _plain_words() -> dict[str, str]:
    return {_plain(word): id_ for word, id_ in _listed().items()}
