"""Which column of an unknown table is which field: every likeness scored, the best given first."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import pyarrow as pa

from etl.mapping.column_values import SAMPLE_ROWS, ColumnValues, column_values
from etl.mapping.field_fit import NEVER, fit
from etl.mapping.fields import fields_of
from etl.mapping.header_words import KNOWN, SURE, likeness, meanings
from etl.mapping.mapping import WORD_FIELDS
from etl.mapping.match import nested_path
from etl.mapping.proposal import Match
from etl.read import SourceTable

LEAST = 0.45  # of likeness and fit together, below which nothing is proposed
BY_VALUES = 0.25  # what known words in the values are worth where the header says nothing
OF_THE_PARENT = ("job_id", "visit_no", "technician")  # what a nested list takes from its parent
Refuses = Callable[[str, str], bool]  # (header, field) → never that field


@dataclass(frozen=True)
class Seen:
    """A source table with what its columns' values look like."""

    source: SourceTable
    values: dict[str, ColumnValues]

    @classmethod
    def of(cls, source: SourceTable) -> "Seen":
        """Look at the values of every column."""
        columns = zip(source.header, source.table.columns, strict=True)
        return cls(source, {header: column_values(column) for header, column in columns})

    def columns(self, headers: Sequence[str]) -> list[pa.ChunkedArray]:
        """Return the columns of some headers."""
        return [self.source.table.column(self.source.header.index(h)) for h in headers]

    def cells(self, header: str) -> list[str | None]:
        """Return the first cells of a column, as texts."""
        head = self.columns([header])[0].slice(0, SAMPLE_ROWS)
        texts: list[str | None] = head.cast(pa.string()).to_pylist()
        return texts


def assigned(seen: Seen, table: str, refuses: Refuses, fixed: Sequence[Match] = ()) -> list[Match]:
    """Give each header one field and each field one header, `fixed` ones first, then the best."""
    chosen = list(fixed)
    for match in _scored(seen, table, refuses):
        if all(match.header != c.header and match.field != c.field for c in chosen):
            chosen.append(match)
    chosen = _with_phone(chosen, seen, table)
    return sorted(chosen, key=lambda match: seen.source.header.index(match.header))


def _scored(seen: Seen, table: str, refuses: Refuses) -> list[Match]:
    """Return every thinkable match, best first."""
    scored, path = [], nested_path(seen.source)
    for place, header in enumerate(seen.source.header):
        values, is_above = seen.values[header], not header.startswith(path)
        for name, wanted in fields_of(table).items():
            if refuses(header, name) or (is_above and name not in OF_THE_PARENT):
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
    return [match for *_, match in sorted(scored, key=lambda s: s[:3])]


def _with_phone(chosen: list[Match], seen: Seen, table: str) -> list[Match]:
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
