"""One mapping for all tables of some files: months of one form share a table."""

from collections.abc import Sequence
from dataclasses import replace

from etl.mapping.mapping import Mapping, TableMapping
from etl.mapping.propose import Proposal


def mapping_of_all(name: str, proposals: Sequence[Proposal]) -> Mapping:
    """Return one mapping with the tables of all proposals.

    Habits of writing are those of the first table that shows them.
    """
    tables: list[TableMapping] = []
    for proposal in proposals:
        table = proposal.table_mapping()
        same = next((t for t in tables if replace(t, files=table.files) == table), None)
        if same:
            tables[tables.index(same)] = replace(same, files=(*same.files, *table.files))
        else:
            tables.append(table)
    return Mapping(
        name=name,
        title=f"Proposed for {', '.join(dict.fromkeys(p.file for p in proposals))}"[:200],
        date_order=next((p.date_order for p in proposals if p.date_order), ""),
        decimal=next((p.decimal for p in proposals if p.decimal != "."), "."),
        tables=tuple(tables),
    )
