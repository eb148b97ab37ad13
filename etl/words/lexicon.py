"""Words and phrases → the concepts that they stand for, as a list of sql/lookups says.

Exact words only: a plural, -ing or -ed of an English word and a German compound of known words are
the same word; a likeness is never one.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from itertools import product

import sql
from etl.words.tokens import BREAK, tokens

SHORTEST_PART = 3  # letters of a part of a compound
CODE_FORM = re.compile(r"[a-z]{1,2}\d{1,3}")  # an error code as a display shows it
CODE = frozenset(("code",))
LINKS = ("", "s", "n", "en", "es")
TRANSCRIBED = (("ä", "ae"), ("ö", "oe"), ("ü", "ue"))


@dataclass(frozen=True)
class Piece:
    """One phrase of a text: its words and their concepts; a word that is not known has none."""

    words: tuple[str, ...]
    concepts: frozenset[str]

    @property
    def is_break(self) -> bool:
        return self.words == (BREAK,)


class Lexicon:
    """Phrases by their folded words."""

    def __init__(self, entries: Iterable[tuple[str, str]]) -> None:
        """`entries` are (phrase, concept); a phrase may have several concepts."""
        self._phrases: dict[tuple[str, ...], frozenset[str]] = {}
        for phrase, concept in entries:
            for spelled in _spellings(phrase):
                key = tokens(spelled)
                self._phrases[key] = self._phrases.get(key, frozenset()) | {concept}
        self._phrases.pop((), None)
        self._longest = max(map(len, self._phrases), default=0)

    def pieces(self, text: str) -> list[Piece]:
        """Return the text as phrases, the longest known one first; marks stay as pieces."""
        words, found, position = tokens(text), [], 0
        while position < len(words):
            piece = self._next(words, position)
            found.extend(piece)
            position += sum(len(p.words) for p in piece if not p.words[0].startswith("~")) or 1
        return found

    def _next(self, words: tuple[str, ...], position: int) -> list[Piece]:
        for length in range(min(self._longest, len(words) - position), 0, -1):
            key = words[position : position + length]
            concepts = self._concepts(key)
            if concepts:
                return [Piece(key, concepts)]
        word = words[position]
        parts = self._parts(word) if len(word) >= 2 * SHORTEST_PART else []
        if parts:
            first = Piece((word,), self._phrases[(parts[0],)])
            return [first, *(Piece(("~" + part,), self._phrases[(part,)]) for part in parts[1:])]
        return [Piece((word,), CODE if CODE_FORM.fullmatch(word) else frozenset())]

    def _concepts(self, key: tuple[str, ...]) -> frozenset[str] | None:
        if key in self._phrases:
            return self._phrases[key]
        for last in _stems(key[-1]):
            if (*key[:-1], last) in self._phrases:
                return self._phrases[(*key[:-1], last)]
        return None

    def _parts(self, word: str) -> list[str]:
        """Return the known words that a compound is made of, all of it, or none."""
        for end in range(len(word) - SHORTEST_PART, SHORTEST_PART - 1, -1):
            head, rest = word[:end], word[end:]
            if (head,) not in self._phrases:
                continue
            for link in LINKS:
                tail = rest[len(link) :]
                if not rest.startswith(link) or len(tail) < SHORTEST_PART:
                    continue
                parts = [tail] if (tail,) in self._phrases else self._parts(tail)
                if parts:
                    return [head, *parts]
        return []


def _spellings(phrase: str) -> list[str]:
    """Return a phrase with ä as a and as ae."""
    written = phrase.lower()
    for letter, pair in TRANSCRIBED:
        written = written.replace(letter, pair)
    return [phrase] if written == phrase.lower() else [phrase, written]


def _stems(word: str) -> list[str]:
    """Return what an English word may be a plural, a participle or a person of."""
    found = []
    for ending, least in (("s", 4), ("es", 5), ("ed", 5), ("ing", 6), ("d", 5)):
        if word.endswith(ending) and len(word) >= least and not word.endswith("ss"):
            found.append(word[: -len(ending)])
    if word.endswith("ing") and len(word) >= 6:
        found.append(word[:-3] + "e")
    if word.endswith(("ing", "ed")):
        found += [stem[:-1] for stem in found if len(stem) > 3 and stem[-1] == stem[-2]]
    return found


@cache
def lexicon(name: str, concept: str = "concept") -> Lexicon:
    """Return the lexicon of one file of sql/lookups with the columns concept, language, words."""
    return Lexicon(
        (spelled, row[concept])
        for row in sql.lookup(name)
        for phrase in row["words"].split("|")
        if phrase
        for spelled in (with_abbreviations(phrase) if row["language"] == "en" else (phrase,))
    )


def with_abbreviations(phrase: str) -> Iterator[str]:
    """Yield a phrase and its spellings with the short forms of the trade: `door sw`."""
    options = [(word, *_short().get(word, ())) for word in phrase.lower().split()]
    yield from (" ".join(chosen) for chosen in product(*options))


@cache
def _short() -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for row in sql.lookup("abbreviations"):
        found.setdefault(row["word"], []).append(row["short"])
    return found


def key_of(text: str) -> tuple[str, ...]:
    """Return the words of a text that say something, in the order of the alphabet."""
    return tuple(sorted(word for word in tokens(text) if word != BREAK and word not in _fillers()))


@cache
def _fillers() -> frozenset[str]:
    return frozenset(
        word
        for row in sql.lookup("complaint_words")
        if row["concept"] == "filler"
        for phrase in row["words"].split("|")
        if len(tokens(phrase)) == 1
        for word in tokens(phrase)
    )


def known_phrases(rows: Iterable[tuple[str, str]]) -> dict[tuple[str, ...], str]:
    """Return the id of each (phrase, id) by its words; a phrase of two ids is left out."""
    ids: dict[tuple[str, ...], set[str]] = {}
    for phrase, id_ in rows:
        ids.setdefault(key_of(phrase), set()).add(id_)
    return {key: next(iter(found)) for key, found in ids.items() if len(found) == 1 and key}
