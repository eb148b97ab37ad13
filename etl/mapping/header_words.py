"""A header in any of four languages → the plain words it means, and its likeness to a field.

"Tkt #", "Auftragsnr." and "N° intervention" all become {job} {no}: sql/lookups/header_glossary.csv
translates each word (into nothing where it adds nothing), German compounds are split, a misspelled
word takes its closest spelling.
"""

import re
import unicodedata
from functools import cache

from rapidfuzz import fuzz, process

import sql
from etl.mapping.fields import Field, folded

SURE, KNOWN = 1.0, 0.95
CLOSEST = 88  # percent of likeness (normalized edit distance) below which a spelling is no match
SHORTEST_MISSPELLED = 5  # characters; shorter words are too close to others
SYMBOLS = {"№": " no ", "n°": " no ", "nº": " no ", "#": " no "}
SYMBOLS |= {
    "%": " percent ",
    "$": " money ",
    "€": " money ",
    "£": " money ",
    "s/n": " serial ",
    "p/n": " part no ",
}
WEAK = {"no": 0.4, "date": 0.6, "name": 0.4, "money": 0.3, "count": 0.6, "description": 0.6}
WEAK |= {"each": 0.4, "unit": 0.4, "found": 0.5, "report": 0.5, "invoice": 0.7, "by": 0.3}
WEAK |= {"net": 0.3, "duration": 0.6, "service": 0.5, "line": 0.5}
UNKNOWN_WEIGHT, PARENT_WEIGHT = 0.6, 0.3
AMBIGUOUS = 0.9  # what a word is worth that may mean something else too
LINKS = ("", "s", "n", "en", "es")

Words = tuple[frozenset[str], ...]  # for each word of a header, what it may mean


def likeness(header: str, wanted: Field) -> float:
    """Return how surely a header names a field: 1 our own name, 0.95 a known phrase for it, less
    the more words are missing, left over or unknown; 0 when they share none.
    """
    if folded(header) == folded(wanted.name):
        return SURE
    parents, own = _split_path(header)
    words = meanings(own)
    phrases = _phrases(wanted)
    best = max((_overlap(words, phrase) for phrase in phrases), default=0.0)
    if parents and best < 1:
        both = meanings(parents)
        best = max([best, *(_overlap(words, phrase, both) for phrase in phrases)])
    return KNOWN * best


def _split_path(header: str) -> tuple[str, str]:
    """Split "customer.address.city" of a nested record into its parents and its own name."""
    parents, dot, own = header.rpartition(".")
    return (parents, own) if dot and own.strip() and " " not in header else ("", header)


@cache
def _phrases(wanted: Field) -> tuple[Words, ...]:
    return tuple(filter(None, (meanings(text) for text in (wanted.name, *wanted.header_words))))


def _overlap(words: Words, phrase: Words, parents: Words = ()) -> float:
    """Return the weighted share of words that header and phrase have in common (Jaccard)."""
    missing = list(phrase)
    common = total = left_over = 0.0
    for word, is_parent in [*((w, False) for w in words), *((w, True) for w in parents)]:
        match = next((other for other in missing if word & other), None)
        if match is not None:
            missing.remove(match)
            total += _weight(match)
            common += _weight(match) * (1 if word == match else AMBIGUOUS)
        elif not any(word & other for other in phrase):
            left_over += _weight(word) * (PARENT_WEIGHT if is_parent else 1)
    return common / (total + left_over + sum(map(_weight, missing))) if common else 0.0


def _weight(word: frozenset[str]) -> float:
    return min(WEAK.get(meaning, UNKNOWN_WEIGHT if meaning[0] == "?" else 1.0) for meaning in word)


@cache
def meanings(header: str) -> Words:
    """Return for each word of a header what it may mean; "?word" for an unknown one."""
    found: list[frozenset[str]] = []
    for word in _plain(header).split():
        known = _meaning(word)
        found += [frozenset({f"?{word}"})] if known is None else known
    return tuple(dict.fromkeys(found))


def _plain(header: str) -> str:
    """Return a header in small letters without accents, signs spelled out, camelCase split."""
    text = re.sub(r"\w+", _camel_split, header).casefold()
    for symbol, spelled in SYMBOLS.items():
        text = text.replace(symbol, spelled)
    text = text.replace("œ", "oe").replace("æ", "ae")
    text = re.sub("([äöü])", lambda m: {"ä": "ae", "ö": "oe", "ü": "ue"}[m[1]], text)
    text = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    return re.sub(r"[\W_]+", " ", text).strip()


def _camel_split(word: re.Match[str]) -> str:
    """Split "LineTotal", but not a known word such as "MwSt"."""
    if word[0].casefold() in _glossary():
        return word[0]
    return re.sub(r"(?<=[a-z0-9])(?=[A-Z])", " ", word[0])


def _meaning(word: str) -> list[frozenset[str]] | None:
    """Return what a word means, [] for one that adds nothing ("the"), None for an unknown one."""
    known = _glossary()
    if word in known:
        return list(known[word])
    if word.endswith("s") and word[:-1] in known:
        return list(known[word[:-1]])
    if parts := _split_compound(word):
        return [meaning for part in parts for meaning in known[part]]
    if len(word) >= SHORTEST_MISSPELLED:
        close = process.extractOne(word, known.keys(), scorer=fuzz.ratio, score_cutoff=CLOSEST)
        if close and close[0][0] == word[0]:
            return list(known[close[0]])
    return None


@cache
def _split_compound(word: str) -> tuple[str, ...]:
    """Split "auftragsnummer" into known words of three letters or more, () when it has none."""
    known = _glossary()
    for end in range(len(word) - 2, 2, -1):
        first = next((word[:end].removesuffix(s) for s in LINKS if _is_word(word[:end], s)), None)
        rest = word[end:]
        if first is None:
            continue
        if rest in known:
            return (first, rest)
        if more := _split_compound(rest):
            return (first, *more)
    return ()


def _is_word(text: str, link: str) -> bool:
    return (
        text.endswith(link) and len(text) - len(link) > 2 and text.removesuffix(link) in _glossary()
    )


@cache
def _glossary() -> dict[str, tuple[frozenset[str], ...]]:
    """Return for each word the plain words that it stands for, each with its alternatives."""
    found = {}
    for row in sql.lookup("header_glossary"):
        options = [option for option in row["means"].split("|") if option]
        several = [option.split() for option in options if " " in option]
        plain = [option for option in options if " " not in option]
        found[row["word"]] = (
            (frozenset(plain),)
            if plain
            else tuple(frozenset({word}) for option in several[:1] for word in option)
        )
    return found
