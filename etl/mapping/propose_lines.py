"""Invoice lines: an export in which many rows are one job, proposed as its jobs and its parts."""

from collections import defaultdict
from dataclasses import replace

import pyarrow as pa

from etl.mapping.assign import Seen
from etl.mapping.fields import fields_of
from etl.mapping.header_words import KNOWN, likeness
from etl.mapping.line_products import quantity_price_amount, signed_number
from etl.mapping.line_words import guessed_type, is_listed, known_type
from etl.mapping.proposal import Match, Proposal
from etl.mapping.propose import proposal_of, propose
from etl.mapping.schema import LINE_FIELDS
from etl.mapping.time_unit import labor_quantity_unit, time_unit
from etl.read import SourceTable

MOST_TYPES = 20  # different words; more are texts, not types
UNDERSTOOD = 0.6  # share of the rows whose word has a meaning, known or guessed
WELL_NAMED = 0.5  # likeness of the header, from which one understood word is enough
ONE_ROW_EACH = 0.95  # distinct job numbers per row, from which on a row is a job
WHOLE_JOB = (
    "charged", "charged_with_tax", "parts_charged", "labour_charged", "tax", "minutes_on_job",
    "travel_minutes", "parts", "visit_count",
)  # fmt: skip

LABOR_QUANTITY = (
    'is the quantity of labor lines ("{header}") hours, minutes or pieces? Write under '
    '[table.units]: line_quantity = "hours" or line_quantity = "minutes"; nothing for pieces'
)
OF_PARTS = ("part_no", "component")  # of one line, never of its job


def propose_tables(source: SourceTable) -> list[Proposal]:
    """Return the proposals for one source: its jobs and part lines when its rows are the lines of
    invoices, else the one table that it holds."""
    as_one = propose(source)
    if source.is_nested:
        return [as_one]
    lines = _Lines.of(source)
    return lines.proposals() if lines else [as_one]


class _Lines:
    """The rows of an export of invoice lines: the job of each, and the type of each."""

    def __init__(self, seen: Seen, key: str, type_header: str) -> None:
        self.seen, self.key, self.type_header = seen, key, type_header
        self.cells = {header: seen.cells(header) for header in seen.source.header}

    @classmethod
    def of(cls, source: SourceTable) -> "_Lines | None":
        """Find the job number and the type of the lines; None when a row is not a line."""
        seen = Seen.of(source)
        jobs = proposal_of(seen, "jobs")
        key = next((m.header for m in jobs.matches if m.field == "job_id"), None)
        if key is None or seen.values[key].uniqueness > ONE_ROW_EACH:
            return None
        headers = [h for h in source.header if h != key]
        found = [(worth, h) for h in headers if (worth := _type_worth(seen, h)) >= UNDERSTOOD]
        return cls(seen, key, max(found)[1]) if found else None

    def proposals(self) -> list[Proposal]:
        """Propose the jobs, put together from their lines, and the part lines."""
        types = self._types()
        fixed = [
            Match(self.key, "job_id", KNOWN),
            Match(self.type_header, "line_type", KNOWN),
            *self._priced(),
        ]
        parts = self._parts({w for w, id_ in types.items() if id_ == "part"})
        of_parts = {m.header for m in parts.matches if m.field in OF_PARTS} if parts else set()
        jobs = proposal_of(
            self.seen, "jobs", lambda h, f: h in of_parts or self._refuses(h, f), fixed
        )
        words = {w: id_ for w, id_ in types.items() if id_ and known_type(w) is None}
        asked = [
            f'what are the lines of type "{w}" in "{self.type_header}" ({self._count(w):,} '
            f"{'line' if self._count(w) == 1 else 'lines'})? Write under [words.line_type]: "
            f'"{w}" = "labor", "part", "trip", "fee", "discount", "tax", "total" or "remark"'
            for w, id_ in types.items()
            if id_ is None
        ]
        units, question = self._labor_quantity(jobs, types)
        if parts:
            used = {m.header for m in parts.matches}
            jobs = replace(jobs, unmatched=tuple(h for h in jobs.unmatched if h not in used))
            parts = replace(parts, unmatched=())
        jobs = replace(
            jobs,
            words=(("line_type", tuple(words.items())),) if words else (),
            units=(*jobs.units, *units),
            asked=(*jobs.asked, *asked, *question),
        )
        return [jobs, *([parts] if parts else [])]

    def _types(self) -> dict[str, str | None]:
        """Return the meaning of each word for a line, the most frequent first; None to be asked."""
        amounts = defaultdict(list)
        money = [m.header for m in self._priced() if m.field == "line_amount"]
        for word, cell in zip(
            self.cells[self.type_header], self.cells[(money or [self.key])[0]], strict=True
        ):
            amounts[(word or "").strip()].append(signed_number(cell) if money else None)
        amounts.pop("", None)
        ordered = sorted(amounts, key=lambda word: (-len(amounts[word]), word))
        return {w: known_type(w) or guessed_type(w, filter(None, amounts[w])) for w in ordered}

    def _labor_quantity(
        self, jobs: Proposal, types: dict[str, str | None]
    ) -> tuple[tuple[tuple[str, str], ...], tuple[str, ...]]:
        """Return the unit of the quantity of labor lines where it is their time, or the question.

        A column of times or of units of the lines makes it needless.
        """
        headers = {match.field: match.header for match in jobs.matches}
        quantity = headers.get("line_quantity")
        if quantity is None or "line_minutes" in headers:
            return (), ()
        labor = [
            cell
            for cell, word in zip(self.cells[quantity], self.cells[self.type_header], strict=True)
            if types.get((word or "").strip()) == "labor"
        ]
        if "line_unit" in headers and self._has_time_units(headers["line_unit"]):
            return (), ()
        unit = labor_quantity_unit(quantity, labor)
        if unit is None:
            return (), (LABOR_QUANTITY.format(header=quantity),)
        return ((("line_quantity", unit),) if unit else ()), ()

    def _has_time_units(self, header: str) -> bool:
        return any(time_unit([cell]) for cell in self.cells[header] if cell)

    def _count(self, word: str) -> int:
        return sum((cell or "").strip() == word for cell in self.cells[self.type_header])

    def _refuses(self, header: str, field: str) -> bool:
        """Refuse the sum of a job where a column varies within jobs, and of a line where not."""
        if field in LINE_FIELDS:
            return not self._varies(header)
        return field in WHOLE_JOB and self._varies(header)

    def _varies(self, header: str) -> bool:
        """Say whether some job has different values in its lines."""
        of_job = defaultdict(set)
        for job, cell in zip(self.cells[self.key], self.cells[header], strict=True):
            of_job[job].add((cell or "").strip())
        several = [values for values in of_job.values() if len(values) > 1]
        return len(several) > 0.1 * len(of_job)

    def _priced(self) -> list[Match]:
        """Find quantity, price and amount by their product."""
        shares = {h: values.shares for h, values in self.seen.values.items() if values.shares}
        numbers = {
            h: [signed_number(cell) for cell in self.cells[h]]
            for h, share in shares.items()
            if h not in (self.key, self.type_header) and share["number"] > 0.8
        }
        return quantity_price_amount(numbers)

    def _parts(self, types: set[str]) -> Proposal | None:
        """Propose the part lines by the rows of parts alone: other lines have other texts."""
        source = self.seen.source
        types_of_rows = source.table.column(source.header.index(self.type_header))
        keeps = [(t or "").strip() in types for t in types_of_rows.cast(pa.string()).to_pylist()]
        rows = source.table.filter(pa.array(keeps, pa.bool_()))
        if not rows.num_rows:
            return None
        seen = Seen.of(replace(source, table=rows))
        fixed = [Match(self.key, "job_id", KNOWN), Match(self.type_header, "line_type", KNOWN)]
        of_line = {"line_quantity": "quantity", "line_price": "unit_charge"}
        fixed += [
            Match(m.header, of_line[m.field], KNOWN) for m in self._priced() if m.field in of_line
        ]
        amounts = {m.header for m in self._priced() if m.field == "line_amount"}
        found = proposal_of(seen, "part_lines", lambda header, _: header in amounts, fixed)
        return None if found.missing else found


def _type_worth(seen: Seen, header: str) -> float:
    """Return how likely a column says what each line is: the share of its words with a meaning."""
    values = seen.values[header]
    if not values.count or values.distinct > MOST_TYPES or values.shares["number"] > 0.2:
        return 0.0
    texts = [cell.strip() for cell in seen.cells(header) if cell and cell.strip()]
    types = [known_type(text) or guessed_type(text) for text in texts]
    named = likeness(header, fields_of("jobs")["line_type"])
    if len({kind for kind in types if kind}) < (1 if named >= WELL_NAMED else 2):
        return 0.0
    known = sum(is_listed(text) for text in texts) / len(texts)
    share = sum(kind is not None for kind in types) / len(texts)
    return share + 0.3 * named if known >= 0.2 or named >= WELL_NAMED else 0.0
