"""How much of an export its proposal gets right: columns without an edit, and tables."""

from dataclasses import dataclass
from pathlib import Path

from etl.mapping.propose import Proposal, propose
from etl.read import SourceTable, read_tables
from tests.etl.mapping.exports.write import Export, Truth


@dataclass
class Score:
    """Columns and tables of one export, those right, and each mistake in words."""

    columns: int = 0
    right: int = 0
    tables: int = 0
    tables_right: int = 0
    mistakes: tuple[str, ...] = ()
    is_order_right: bool = True
    is_decimal_right: bool = True


def score(export: Export, folder: Path) -> Score:
    """Write an export into the folder, propose for each of its tables, and compare."""
    truths = export.write(folder)
    sources: dict[tuple, SourceTable] = {}
    for file in dict.fromkeys(truth.file for truth in truths):
        sources |= {(file, table.sheet): table for table in read_tables(folder / file)}
    result = Score()
    for truth in truths:
        source = sources.get((truth.file, truth.sheet))
        _add(result, truth, propose(source) if source else None, export)
    return result


def _add(result: Score, truth: Truth, proposal: Proposal | None, export: Export) -> None:
    result.tables += 1
    result.columns += len(truth.columns)
    if proposal is None:
        result.mistakes += (f"{truth.file} {truth.sheet}: no such table was read",)
        return
    is_table = proposal.table == truth.table
    result.tables_right += is_table
    if not is_table:
        result.mistakes += (f"{truth.file} {truth.sheet}: {proposal.table}, is {truth.table}",)
    found = {h: field for field, hs in proposal.table_mapping().columns.items() for h in hs}
    for header, wanted in truth.columns.items():
        field = found.get(header, "")
        is_right = is_table and field in wanted.split("|")
        result.right += is_right
        if not is_right:
            result.mistakes += (f"{truth.file}: {header!r} → {field!r}, is {wanted!r}",)
    result.is_order_right &= proposal.date_order in ("", export.date_order)
    if export.date_order and truth.table == "jobs":
        result.is_order_right &= proposal.date_order == export.date_order
        result.is_decimal_right &= getattr(proposal, "decimal", ".") == export.decimal
