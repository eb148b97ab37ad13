"""What is proposed for one table of an unknown export, and the mapping that says the same."""

from dataclasses import dataclass, field

from etl.mapping.fields import fields_of
from etl.mapping.mapping import Mapping, TableMapping
from etl.personal.contact import GONE
from etl.personal.redact_names import shown_file


@dataclass(frozen=True)
class Match:
    """A header with the field it is thought to be; confidence from 0.45 to 1 (our own name)."""

    header: str
    field: str
    confidence: float


@dataclass(frozen=True)
class Proposal:
    """The table that a source is thought to hold, the matches, and what is still missing.

    `words`: meanings of words by field; `asked`: what neither header nor values say, in sentences.
    """

    file: str
    sheet: str | None
    table: str
    matches: tuple[Match, ...]
    missing: tuple[str, ...] = ()
    unmatched: tuple[str, ...] = field(default=())
    readings: tuple[tuple[str, str], ...] = ()
    date_order: str = ""
    decimal: str = "."
    currency: str = ""
    units: tuple[tuple[str, str], ...] = ()
    words: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = ()
    makes_numbers: bool = False
    asked: tuple[str, ...] = ()

    @property
    def holds_nothing(self) -> bool:
        """Say whether most of what is required is missing: a summary or a list."""
        required = [n for n, wanted in fields_of(self.table).items() if wanted.is_required]
        return 2 * len(self.missing) > len(required)

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
            units=dict(self.units),
            make_job_number=self.makes_numbers,
        )

    def mapping(self, name: str) -> Mapping:
        """Return the proposal as a mapping of its own."""
        return Mapping(
            name=name,
            title=f"Proposed for {shown_file(self.file)}",
            date_order=self.date_order,
            decimal=self.decimal,
            currency=self.currency,
            tables=(self.table_mapping(),),
            words={name: dict(words) for name, words in self.words},
        )
