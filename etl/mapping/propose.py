"""A mapping for an unknown export: headers matched to fields, with how sure each match is."""

import re
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from functools import cache

import sql
from etl.mapping.fields import TABLES, Field, fields_of, folded
from etl.mapping.mapping import Mapping, TableMapping
from etl.read import SourceTable

SURE, LIKELY, LEAST = 1.0, 0.95, 0.85
UNIT_WORDS = {"ohm", "ohms", "volt", "volts", "v", "amp", "amps", "a", "uf", "reading"}
DATE_FIELDS = {"opened_on", "closed_on", "arrived_at", "left_at"}
NUMBERS_DATE = re.compile(r"^(\d{1,2})[-/.](\d{1,2})[-/.]\d{2,4}\b")


@dataclass(frozen=True)
class Match:
    """A header with the field it is thought to be; confidence from 0.85 (alike) to 1 (our name)."""

    header: str
    field: str
    confidence: float


@dataclass(frozen=True)
class Proposal:
    """The table that a source is thought to hold, the matches, and what is still missing."""

    file: str
    sheet: str | None
    table: str
    matches: tuple[Match, ...]
    missing: tuple[str, ...] = ()
    unmatched: tuple[str, ...] = field(default=())
    readings: tuple[tuple[str, str], ...] = ()
    date_order: str = ""

    def table_mapping(self) -> TableMapping:
        """Return the proposal as the table of a mapping."""
        return TableMapping(
            table=self.table,
            files=(self.file,),
            sheet=self.sheet,
            columns={match.field: (match.header,) for match in self.matches},
            readings=dict(self.readings),
        )

    def mapping(self, name: str) -> Mapping:
        """Return the proposal as a mapping of its own."""
        return Mapping(
            name=name,
            title=f"Proposed for {self.file}",
            date_order=self.date_order,
            tables=(self.table_mapping(),),
        )


def propose(source: SourceTable, table: str | None = None) -> Proposal:
    """Return the best proposal for one source table; `table` names what it is known to hold.

    The table is the one whose fields the headers cover best, required ones first.
    """
    candidates = [_proposal(source, name) for name in ([table] if table else TABLES)]
    return max(candidates, key=_quality)


def _quality(proposal: Proposal) -> tuple[float, float]:
    required = [f for f in fields_of(proposal.table).values() if f.is_required]
    covered = 1 - len(proposal.missing) / len(required)
    return covered, sum(match.confidence for match in proposal.matches)


def _proposal(source: SourceTable, table: str) -> Proposal:
    known = fields_of(table)
    scored = sorted(
        (
            Match(header, name, confidence)
            for header in source.header
            for name, wanted in known.items()
            if (confidence := likeness(header, wanted)) >= LEAST
        ),
        key=lambda match: (-match.confidence, source.header.index(match.header), match.field),
    )
    chosen: list[Match] = []
    for match in scored:
        if all(match.header != c.header and match.field != c.field for c in chosen):
            chosen.append(match)
    chosen.sort(key=lambda match: source.header.index(match.header))
    found = {match.field for match in chosen}
    used = {match.header for match in chosen}
    readings = [
        (header, point)
        for header in source.header
        if table == "jobs" and header not in used and (point := test_point_word(header))
    ]
    used |= {header for header, _ in readings}
    return Proposal(
        source.file,
        source.sheet,
        table,
        tuple(chosen),
        tuple(name for name, wanted in known.items() if wanted.is_required and name not in found),
        tuple(header for header in source.header if header not in used),
        tuple(readings),
        date_order(source, [m.header for m in chosen if m.field in DATE_FIELDS]),
    )


def date_order(source: SourceTable, headers: list[str]) -> str:
    """Return MDY or DMY where the dates themselves leave no choice, "" where they do."""
    firsts, seconds = set(), set()
    for header in headers:
        column = source.table.column(source.header.index(header))
        for text in column.to_pylist():
            match = NUMBERS_DATE.match(text or "")
            if match:
                firsts.add(int(match[1]))
                seconds.add(int(match[2]))
    is_day_first, is_month_first = max(firsts, default=0) > 12, max(seconds, default=0) > 12
    if is_day_first == is_month_first:
        return ""
    return "DMY" if is_day_first else "MDY"


def test_point_word(header: str) -> str | None:
    """Return the word of a test point that a header names, its unit left out; None when none."""
    plain = folded(header)
    bare = " ".join(word for word in plain.split() if word not in UNIT_WORDS)
    return next((word for word in (plain, bare) if word in _test_point_words()), None)


@cache
def _test_point_words() -> frozenset[str]:
    return frozenset(
        folded(word)
        for row in sql.lookup("test_points")
        for word in (row["test_point"], *row["synonyms"].split("|"))
        if len(word) > 1
    )


def likeness(header: str, wanted: Field) -> float:
    """Return how sure it is that a header names a field: 1 our own name, 0.95 a known word for it,
    else the likeness of its spelling to the closest of them, below 0.95.
    """
    plain = folded(header)
    if plain == folded(wanted.name):
        return SURE
    words = [folded(word) for word in wanted.header_words]
    if plain in words:
        return LIKELY
    closest = max(SequenceMatcher(None, plain, word).ratio() for word in (*words, wanted.name))
    return min(closest, LIKELY - 0.01)
