"""A mapping for an unknown export: columns matched to fields by header and values."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache

import sql
from etl.mapping.column_values import ColumnValues, column_values
from etl.mapping.field_fit import NEVER, fit
from etl.mapping.fields import TABLES, fields_of, folded
from etl.mapping.header_words import KNOWN, SURE, likeness, meanings
from etl.mapping.mapping import WORD_FIELDS, Mapping, TableMapping
from etl.mapping.match import nested_path
from etl.mapping.written_habits import date_order, decimal_sign
from etl.personal.contact import GONE
from etl.personal.shown import shown_file
from etl.read import SourceTable

LEAST = 0.45  # of likeness and fit together, below which nothing is proposed
BY_VALUES = 0.25  # what known words in the values are worth where the header says nothing
UNIT_WORDS = {"ohm", "ohms", "volt", "volts", "v", "amp", "amps", "a", "uf", "reading"}
DATE_FIELDS = ("opened_on", "closed_on", "arrived_at", "left_at")
NUMBER_FIELDS = (
    "charged", "parts_charged", "labour_charged", "unit_cost", "unit_charge", "minutes_on_job",
    "travel_minutes",
)  # fmt: skip
SIGNATURES: dict[str, tuple[tuple[str, ...], ...]] = {  # one field of each group makes the table
    "jobs": (("job_id",), ("appliance_kind", "symptom", "disposition", "opened_on")),
    "visits": (
        ("job_id",),
        ("technician",),
        ("arrived_at", "minutes_on_job", "visit_no", "outcome", "travel_minutes"),
    ),
    "readings": (("job_id",), ("test_point",), ("value",)),
    "part_lines": (
        ("job_id",),
        ("part_no",),
        ("quantity", "unit_cost", "unit_charge", "component"),
    ),
}
OF_THE_PARENT = ("job_id", "visit_no", "technician")  # what a nested list takes from its parent
MISSING_COST, REPEATED_COST, UNIQUE_COST = 3.0, 2.0, 1.0


@dataclass(frozen=True)
class Match:
    """A header with the field it is thought to be; confidence from 0.45 to 1 (our own name)."""

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
    decimal: str = "."

    def table_mapping(self) -> TableMapping:
        """Return the proposal as the table of a mapping."""
        columns: dict[str, tuple[str, ...]] = {}
        for match in self.matches:
            columns[match.field] = (*columns.get(match.field, ()), match.header)
        return TableMapping(
            table=self.table,
            files=(shown_file(self.file).replace(GONE, "*"),),
            sheet=self.sheet,
            columns=columns,
            readings=dict(self.readings),
        )

    def mapping(self, name: str) -> Mapping:
        """Return the proposal as a mapping of its own."""
        return Mapping(
            name=name,
            title=f"Proposed for {shown_file(self.file)}",
            date_order=self.date_order,
            decimal=self.decimal,
            tables=(self.table_mapping(),),
        )


@dataclass(frozen=True)
class _Source:
    """A source table with what its columns' values look like."""

    source: SourceTable
    values: dict[str, ColumnValues]

    @classmethod
    def of(cls, source: SourceTable) -> "_Source":
        """Look at the values of every column."""
        columns = zip(source.header, source.table.columns, strict=True)
        return cls(source, {header: column_values(column) for header, column in columns})

    def columns(self, headers: Sequence[str]) -> list:
        """Return the columns of some headers."""
        return [self.source.table.column(self.source.header.index(h)) for h in headers]


def propose(source: SourceTable, table: str | None = None) -> Proposal:
    """Return the best proposal for one source table; `table` names what it is known to hold.

    The table is the one whose fields account best for all columns, by header and by values.
    """
    seen = _Source.of(source)
    tables = TABLES[1:] if source.is_nested else TABLES
    candidates = [_proposal(seen, name) for name in ([table] if table else tables)]
    return max(candidates, key=lambda proposal: _quality(proposal, seen))


def _quality(proposal: Proposal, seen: _Source) -> float:
    """Return what the matches are worth, less what the table cannot be without."""
    found = {match.field: match for match in proposal.matches}
    worth = sum(match.confidence for match in proposal.matches)
    for group in SIGNATURES[proposal.table]:
        worth -= MISSING_COST if not any(name in found for name in group) else 0
    key = found.get("job_id")
    is_unique = key is not None and seen.values[key.header].uniqueness > 0.95
    is_sure = key is not None and seen.values[key.header].count >= 10
    if is_sure and proposal.table == "jobs" and not is_unique:
        worth -= REPEATED_COST
    if is_sure and proposal.table != "jobs" and is_unique:
        worth -= UNIQUE_COST
    return worth


def _proposal(seen: _Source, table: str) -> Proposal:
    source, known = seen.source, fields_of(table)
    chosen = _assigned(_scored(seen, table), table)
    chosen = _with_phone(chosen, seen, table)
    chosen.sort(key=lambda match: source.header.index(match.header))
    found = {match.field for match in chosen}
    used = {match.header for match in chosen}
    readings = [
        (header, point)
        for header in source.header
        if table == "jobs" and header not in used and (point := test_point_word(header))
    ]
    used |= {header for header, _ in readings}
    dates = [m.header for m in chosen if m.field in DATE_FIELDS]
    numbers = [m.header for m in chosen if m.field in NUMBER_FIELDS]
    return Proposal(
        source.file,
        source.sheet,
        table,
        tuple(chosen),
        tuple(name for name, wanted in known.items() if wanted.is_required and name not in found),
        tuple(header for header in source.header if header not in used),
        tuple(readings),
        date_order(seen.columns(dates)),
        decimal_sign(seen.columns(numbers)),
    )


def _scored(seen: _Source, table: str) -> list[tuple[float, Match]]:
    """Return every thinkable match with its score, best first."""
    scored, path = [], nested_path(seen.source)
    for place, header in enumerate(seen.source.header):
        values, is_above = seen.values[header], not header.startswith(path)
        for name, wanted in fields_of(table).items():
            if is_above and name not in OF_THE_PARENT:
                continue
            alike, suits = likeness(header, wanted), fit(name, values)
            if suits == NEVER:
                continue
            if not alike and suits >= BY_VALUES and name in WORD_FIELDS:
                alike = BY_VALUES
            score = alike + suits if alike else 0.0
            if score >= LEAST:
                confidence = SURE if alike == SURE else min(KNOWN, score)
                scored.append((-score, place, name, Match(header, name, confidence)))
    return [(-score, match) for score, _, _, match in sorted(scored, key=lambda s: s[:3])]


def _assigned(scored: list[tuple[float, Match]], table: str) -> list[Match]:
    """Give each header one field and each field one header, the best first."""
    chosen: list[Match] = []
    for _, match in scored:
        if all(match.header != c.header and match.field != c.field for c in chosen):
            chosen.append(match)
    return chosen


def _with_phone(chosen: list[Match], seen: _Source, table: str) -> list[Match]:
    """Add the telephone to a customer's name: two customers may share a name."""
    customer = next((m for m in chosen if m.field == "customer"), None)
    if table != "jobs" or customer is None or "no" in _plain_words(customer.header):
        return chosen
    used = {match.header for match in chosen}
    for header, values in seen.values.items():
        is_phone = values.count and values.shares["phone"] > 0.8
        if header not in used and is_phone and "contact" in _plain_words(header):
            return [*chosen, Match(header, "customer", customer.confidence)]
    return chosen


def _plain_words(header: str) -> set[str]:
    return {meaning for word in meanings(header) for meaning in word}


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
