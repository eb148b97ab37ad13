"""One mapping for all tables of some files: months of one form share a table."""

from collections.abc import Sequence
from dataclasses import replace

from etl.mapping.mapping import Mapping, TableMapping
from etl.mapping.proposal import Proposal
from etl.personal.redact_names import shown_file

OTHER_HEADERS = 0.3  # share of the fields that may have another header in files of one form


def mapping_of_all(name: str, proposals: Sequence[Proposal]) -> Mapping:
    """Return one mapping with the tables of all proposals.

    Files of one form with a few other headers share a table that takes either. Habits of writing
    are those of the first table that shows them; words are those of all.
    """
    tables: list[TableMapping] = []
    for proposal in proposals:
        table = proposal.table_mapping()
        for place, earlier in enumerate(tables):
            if joined := either(earlier, table):
                tables[place] = joined
                break
        else:
            tables.append(table)
    words: dict[str, dict[str, str]] = {}
    for proposal in proposals:
        for name_of_field, meanings in proposal.words:
            words.setdefault(name_of_field, {}).update(meanings)
    return Mapping(
        name=name,
        title=f"Proposed for {', '.join(dict.fromkeys(shown_file(p.file) for p in proposals))}"[
            :200
        ],
        date_order=next((p.date_order for p in proposals if p.date_order), ""),
        decimal=next((p.decimal for p in proposals if p.decimal != "."), "."),
        currency=next((p.currency for p in proposals if p.currency), ""),
        tables=tuple(tables),
        words=words,
    )


def either(first: TableMapping, second: TableMapping) -> TableMapping | None:
    """Return the table that reads the files of both, None where they are of two forms."""
    headers: dict[str, tuple[tuple[str, ...], ...]] = {
        field: (names,) for field, names in first.columns.items()
    }
    headers |= {field: tuple((n,) for n in names) for field, names in first.first_of.items()}
    other = {f for f, names in second.columns.items() if names not in headers.get(f, ())}
    is_single = all(len(n) == 1 for f in other for n in (*headers.get(f, ()), second.columns[f]))
    if (
        first.files == second.files  # two tables of one file
        or headers.keys() != second.columns.keys()
        or replace(second, files=(), columns={})
        != replace(first, files=(), columns={}, first_of={})
        or len(other) > OTHER_HEADERS * len(headers)
        or not is_single
    ):
        return None
    first_of = dict(first.first_of)
    for field in sorted(other):
        known = (name for names in headers[field] for name in names)
        first_of[field] = tuple(dict.fromkeys([*known, *second.columns[field]]))
    columns = {field: names for field, names in first.columns.items() if field not in first_of}
    files = tuple(dict.fromkeys((*first.files, *second.files)))
    return replace(first, files=files, columns=columns, first_of=first_of)
