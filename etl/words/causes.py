"""What a technician writes as the cause → the cause of a kind of appliance, or none.

A part and a word for its failure, in any order, are a cause; so are a few causes of no part. Two
parts, a part that tested good, a doubt, and a failure that the part cannot have mean none.
"""

import re
from collections.abc import Iterator
from functools import cache

import sql
from etl.words.lexicon import Lexicon, Piece, key_of, known_phrases, with_abbreviations
from etl.words.patterns import Clause, clause_of, find, parsed

OWN_PARTS = frozenset((w,) for w in ("coil", "motor", "module", "winding", "contacts"))
IM = ("im",)
BECAUSE = re.compile(r"\b(?:from|due to|because of|caused by)\b", re.IGNORECASE)
UNCLEAR_PART = "unclear part"  # a word that fits several parts of the kind


def cause_of(kind: str, text: str) -> str | None:
    """Return the cause that a text means for a kind, None where that is not certain."""
    known = _known(kind).get(key_of(text))
    if known:
        return known
    reason = _reason(kind, text)
    if reason:
        return reason
    pieces = _pieces(kind, text)
    if any("doubt" in piece.concepts for piece in pieces):
        return None
    whole = _said(kind, _clause(pieces))
    said = [whole] if whole else [_said(kind, _clause(part)) for part in _parts(pieces)]
    meant = {cause for cause in said if cause is not None}
    return meant.pop() or None if len(meant) == 1 else None


def _reason(kind: str, text: str) -> str | None:
    """Return the cause that stands behind a failure: `cutoff blown from clogged vent`."""
    failed, *reasons = BECAUSE.split(text)
    if len(reasons) != 1 or any("doubt" in p.concepts for p in _pieces(kind, text)):
        return None
    is_failed = _said(kind, _clause(_pieces(kind, failed)))
    return _said(kind, _clause(_pieces(kind, reasons[0]))) or None if is_failed else None


def _pieces(kind: str, text: str) -> list[Piece]:
    return _without_own_parts(_without_german_im(_lexicon(kind).pieces(text)))


def _said(kind: str, clause: Clause) -> str | None:
    """Return the cause that a clause says, none if it says nothing, and "" where it is unclear."""
    parts = frozenset(i for i, p in enumerate(clause.pieces) if p.concepts & _components())
    if clause.has("ok") or (parts and clause.has("nofault")):
        return None
    if clause.negated:
        return ""
    hits = {(cause, places) for cause, p in _patterns(kind) if (places := find(clause, p))}
    largest = {(cause, p) for cause, p in hits if not any(p < other for _, other in hits)}
    meant = {cause for cause, _ in largest}
    if len(meant) == 1 and all(parts <= places for _, places in largest):
        return meant.pop()
    return "" if parts or meant else None


def _without_german_im(pieces: list[Piece]) -> list[Piece]:
    """Read `im` as the ice maker only where every other word is known: `IM bad`."""
    if all(piece.concepts or piece.is_break for piece in pieces) and len(pieces) < 4:
        return pieces
    return [piece for piece in pieces if piece.words != IM]


def _without_own_parts(pieces: list[Piece]) -> list[Piece]:
    """Read `water valve coil` as the valve, whatever else has a coil."""
    return [
        Piece(piece.words, frozenset())
        if piece.words in OWN_PARTS and i and pieces[i - 1].concepts & _components()
        else piece
        for i, piece in enumerate(pieces)
    ]


def _parts(pieces: list[Piece]) -> list[list[Piece]]:
    """Split at marks: `pump ok, belt broken` says one thing of each."""
    parts: list[list[Piece]] = [[]]
    for piece in pieces:
        if piece.is_break:
            parts.append([])
        else:
            parts[-1].append(piece)
    return parts


@cache
def _components() -> frozenset[str]:
    return frozenset({UNCLEAR_PART, *(row["component"] for row in sql.lookup("components"))})


@cache
def _known(kind: str) -> dict[tuple[str, ...], str]:
    """Return the causes of a kind by the words that the register lists for them."""
    return known_phrases(
        (phrase, row["cause"])
        for row in sql.lookup("causes")
        if row["kind"] == kind
        for phrase in (row["label"], *row["synonyms"].split("|"))
    )


def _clause(pieces: list[Piece]) -> Clause:
    return clause_of([piece for piece in pieces if not piece.is_break])


@cache
def _lexicon(kind: str) -> Lexicon:
    """Return the words for the parts of a kind and for failures; a word of two parts means none."""
    ambiguous = {
        row["word"]
        for row in sql.lookup("ambiguous_words")
        if row["kind"] == kind
        and len({part.split("(")[0].strip() for part in row["candidates"].split("|")}) > 1
    }
    parts = [
        (word, part)
        for phrase, part in part_words(kind)
        if phrase.lower() not in ambiguous
        for word in with_abbreviations(phrase)
        if word not in ambiguous
    ]
    failures = [
        (word, row["concept"])
        for row in sql.lookup("failure_words")
        for word in row["words"].split("|")
    ]
    return Lexicon([*parts, *failures, *((word, UNCLEAR_PART) for word in ambiguous)])


def part_words(kind: str) -> Iterator[tuple[str, str]]:
    """Yield the words for the parts of a kind, each with its component."""
    known = {r["component"]: r for r in sql.lookup("components") if kind in r["kinds"].split("|")}
    known.pop("none", None)
    known.pop("user", None)
    known.pop("supply", None)
    for component, row in known.items():
        for word in (row["label"], *row["synonyms"].split("|")):
            yield word, component
    for row in sql.lookup("component_words"):
        if row["component"] in known:
            for word in row["words"].split("|"):
                yield word, row["component"]


@cache
def _patterns(kind: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    causes = {row["cause"]: row for row in sql.lookup("causes") if row["kind"] == kind}
    spoken = [
        (row["cause"], parsed(pattern))
        for row in sql.lookup("cause_words")
        if row["cause"] in causes
        for pattern in row["patterns"].split("|")
    ]
    return tuple(dict.fromkeys(spoken + list(_composed(causes))))


def _composed(causes: dict[str, dict[str, str]]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield part and failure of each cause; a mere `bad` means a part's one or common cause."""
    common = {row["component"]: row["cause"] for row in sql.lookup("common_causes")}
    of_part: dict[str, list[str]] = {}
    for cause, row in causes.items():
        of_part.setdefault(row["component"], []).append(cause)
        for failure in sql.lookup("failure_meanings"):
            if row["failure_mode"] in failure["failure_modes"].split("|"):
                yield cause, (row["component"], failure["concept"])
    for component, known in of_part.items():
        if len(known) == 1 or common.get(component) in known:
            meant = known[0] if len(known) == 1 else common[component]
            yield meant, (component, "bad")
