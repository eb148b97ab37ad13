"""The words for test points and parts of one kind of appliance, as sql/lookups lists them."""

import re
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

import sql
from etl.readings.lookups import words
from etl.readings.tokens import phrase_key
from etl.words.lexicon import with_abbreviations

COMPARTMENTS = {"ff": "ff_temp", "fz": "fz_temp"}  # concept of complaint_words: test point
AT = ("at", "to")
VOLTS_AT = "volts_at"  # a bare number there is volts only where it is like a supply
CASE_WORDS = ("ground", "gnd", "case", "chassis", "housing")
EXAMPLE_BEFORE = re.compile(r"^\d+v? (?=(?:at|to) )")  # `240 at outlet`: the number is a reading
EXAMPLE = re.compile(r"(?:^|\s)(?:\.\d|\d{2,}(?!\d*a fuse)|\dv)")
READING_AFTER = re.compile(r" (?:cont|continuity|OL|OL both)$")
HAS_NUMBER = re.compile(r"(?:^|\s)\.?\d+(?:\s|$)")  # `1 .` and `OL .4` are no words
IN_BRACKETS = re.compile(r"(?<!\s)\s*+\([^()]*+\)")


@dataclass(frozen=True)
class Point:
    """A test point: what is measured there, on which part."""

    test_point: str
    component: str
    quantity: str

    @property
    def is_to_case(self) -> bool:
        return self.test_point.endswith(("_to_chassis", "_to_case"))


@dataclass(frozen=True)
class Phrase:
    """What a phrase stands for: a test point, a part, a word for a reading, or a role."""

    role: str  # point, part, reading, or a role of note_words.csv
    test_point: str | None = None
    component: str | None = None
    text: str = ""
    flags: tuple[str, ...] = ()


@dataclass
class Vocabulary:
    """The phrases and test points of one kind; a phrase is a tuple of lower-case lexemes."""

    points: dict[str, Point] = field(default_factory=dict)
    phrases: dict[tuple[str, ...], Phrase] = field(default_factory=dict)
    state_words: dict[str, frozenset[tuple[str, ...]]] = field(default_factory=dict)
    two_pairs: frozenset[str] = frozenset()
    pair_named: frozenset[tuple[str, ...]] = frozenset()

    @cached_property
    def longest(self) -> dict[str, int]:
        """Return the length of the longest phrase by the first lexeme of it."""
        found: dict[str, int] = {}
        for key in self.phrases:
            found[key[0]] = max(len(key), found.get(key[0], 0))
        return found

    def points_of(self, component: str | None) -> list[Point]:
        return [point for point in self.points.values() if point.component == component]


@lru_cache(maxsize=64)  # a kind may be any text
def vocabulary(kind: str) -> Vocabulary:
    """Return the vocabulary of a kind; of an unknown kind, the words for readings alone.

    Later entries win: words for readings and roles, parts, test points, words that fit several
    parts (sql/lookups/ambiguous_words.csv).
    """
    found = Vocabulary()
    _add_readings(found)
    _add_roles(found)
    for row in _of_kind("components", kind):
        for word in row["synonyms"].split("|"):
            found.phrases[phrase_key(word)] = Phrase("part", None, row["component"])
    _add_parts(found, kind)
    for row in _of_kind("test_points", kind):
        _add_point(found, row)
    _add_compartments(found)
    _add_to_case(found)
    for row in _of_kind("note_words", kind):
        if row["role"] != "volts_to":
            _add_note_words(found, row)
    _add_ambiguous(found, kind)
    _add_volts_at(found, kind)
    found.phrases.pop((), None)
    return found


def _of_kind(name: str, kind: str) -> list[dict[str, str]]:
    return [row for row in sql.lookup(name) if kind in row["kinds"].split("|") and kind]


def _add_parts(found: Vocabulary, kind: str) -> None:
    """Add the words for the parts in every language; a word for two parts names none."""
    known = {row["component"] for row in _of_kind("components", kind)}
    parts: dict[tuple[str, ...], set[str]] = {}
    for row in sql.lookup("component_words"):
        if row["component"] in known:
            for phrase in row["words"].split("|"):
                for word in with_abbreviations(phrase):
                    parts.setdefault(phrase_key(word), set()).add(row["component"])
    for key, components in parts.items():
        if key and key not in found.phrases:
            component = components.pop() if len(components) == 1 else None
            found.phrases[key] = Phrase("part", None, component)


def _add_compartments(found: Vocabulary) -> None:
    """Add the words for the compartments as the places of their temperatures."""
    for concept, point in COMPARTMENTS.items():
        for row in sql.lookup("complaint_words") if point in found.points else ():
            for word in row["words"].split("|") if row["concept"] == concept else ():
                phrase = Phrase("point", point, found.points[point].component)
                found.phrases.setdefault(phrase_key(word), phrase)


def _add_readings(found: Vocabulary) -> None:
    for word, meaning in words().items():
        key = phrase_key(word)
        if meaning != "missing" and not HAS_NUMBER.search(" ".join(key)):
            found.phrases[key] = Phrase("reading", text=word)


def _add_roles(found: Vocabulary) -> None:
    """Add the words that hold for every kind: fillers, temperatures, states, doubts."""
    states: dict[str, set[tuple[str, ...]]] = {}
    for row in sql.lookup("note_words"):
        keys = [phrase_key(word) for word in row["words"].split("|") if word]
        if row["role"] == "state":
            states.setdefault(row["test_point"], set()).update(keys)
        elif row["role"] == "two_pairs":
            found.two_pairs |= {row["test_point"]}
        elif row["role"] == "volts_to":
            continue
        elif row["role"] == "pair_named":
            found.pair_named |= set(keys)
        elif not row["kinds"]:
            found.phrases |= {key: Phrase(row["role"]) for key in keys}
    found.state_words = {point: frozenset(keys) for point, keys in states.items()}
    for state_keys in states.values():
        for key in state_keys:
            found.phrases.setdefault(key, Phrase("state"))


def _add_point(found: Vocabulary, row: dict[str, str]) -> None:
    if row["quantity"] == "observation":
        return
    point = Point(row["test_point"], row["component"], row["quantity"])
    found.points[point.test_point] = point
    for synonym in row["synonyms"].split("|"):
        words_only = READING_AFTER.sub("", EXAMPLE_BEFORE.sub("", synonym))
        if not EXAMPLE.search(words_only):
            key = phrase_key(words_only)
            is_bare = key in found.phrases or words_only != synonym
            flags = ("state_not_named",) if is_bare else ()
            found.phrases[key] = Phrase("point", point.test_point, point.component, flags=flags)


def _add_to_case(found: Vocabulary) -> None:
    """Add `word to ground` in every spelling, for each part that has a point to its case."""
    for point in [point for point in found.points.values() if point.is_to_case]:
        stems = {
            key
            for key, phrase in found.phrases.items()
            if phrase.component == point.component
            and "to" not in key
            and (phrase.role == "part" or _is_resistance(found, phrase))
        }
        for stem in stems:
            for case in CASE_WORDS:
                phrase = Phrase("point", point.test_point, point.component)
                found.phrases.setdefault((*stem, "to", case), phrase)


def _is_resistance(found: Vocabulary, phrase: Phrase) -> bool:
    point = found.points.get(phrase.test_point or "")
    return point is not None and point.quantity == "resistance"


def _add_note_words(found: Vocabulary, row: dict[str, str]) -> None:
    flags = {
        "inferred_point": ("point_inferred",),
        "kept_apart": ("starting_current",),
        "volts_at": (VOLTS_AT,),
    }
    for word in row["words"].split("|"):
        found.phrases[phrase_key(word)] = Phrase(
            "kept_apart" if row["role"] == "kept_apart" else "point",
            row["test_point"] or None,
            row["component"] or None,
            flags=flags.get(row["role"], ()),
        )


def _add_ambiguous(found: Vocabulary, kind: str) -> None:
    """Let a word that fits several parts name no part; where all are one part, that part."""
    for row in sql.lookup("ambiguous_words"):
        if row["kind"] != kind or "reading word" in row["candidates"]:
            continue
        key = phrase_key(row["word"])
        parts = {IN_BRACKETS.sub("", part).strip() for part in row["candidates"].split("|")}
        known = found.phrases.get(key, Phrase("part"))
        both_legs = [part for part in parts if part in found.two_pairs]
        if len(both_legs) == 1 and all(part in found.points for part in parts):
            legs = found.points[both_legs[0]]
            found.phrases[key] = Phrase("point", legs.test_point, legs.component)
        elif len(parts) > 1:
            found.phrases[key] = Phrase("part")
        else:
            (part,) = parts
            point = known.test_point if known.component == part else None
            found.phrases[key] = Phrase("part", point, part, flags=("part_inferred",))


def _add_volts_at(found: Vocabulary, kind: str) -> None:
    """Add `at drain pump`, `to element` as where the volts of a part are measured."""
    volts: dict[str, list[str]] = {}
    for point in found.points.values():
        if point.quantity == "AC voltage" and point.component != "supply":
            volts.setdefault(point.component, []).append(point.test_point)
    for row in _of_kind("note_words", kind):
        if row["role"] == "volts_to" and row["test_point"] in found.points:
            volts[row["component"]] = [row["test_point"]]
    for key, phrase in list(found.phrases.items()):
        points = volts.get(phrase.component or "", [])
        if len(points) == 1 and phrase.role in ("point", "part") and key[0] not in AT:
            for word in AT:
                known = Phrase("point", points[0], phrase.component, flags=(VOLTS_AT,))
                found.phrases.setdefault((word, *key), known)
