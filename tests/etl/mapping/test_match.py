"""Which mapping a table of a file falls to: the user's, the shop's own, a shipped one, or none."""

from dataclasses import replace

import pyarrow as pa
import pytest

from etl.mapping.fields import TABLES, fields_of
from etl.mapping.mapping import BUNDLED, Mapping, TableMapping, bundled_mappings, read_mapping
from etl.mapping.match import mapping_of
from etl.read import SourceTable

SHIPPED = bundled_mappings()
PARTS = ["job_id", "visit_no", "part_no", "component", "supplier", "quantity"]
PARTS += ["unit_cost", "unit_charge", "from_van", "on_hand"]


def source(file: str, header: list[str]) -> SourceTable:
    """Return a table without rows: claims look at names only."""
    table = pa.table({f"c{i}": pa.array([], pa.string()) for i in range(len(header))})
    return SourceTable(file, None, header, table, pa.array([], pa.int64()))


def claimed(file: str, header: list[str], mappings: list[Mapping], named: Mapping | None = None):
    """Return the names of the mapping and the table that claim a file of that name and header."""
    mapping, table = mapping_of(source(file, header), mappings, named)
    return mapping.name, table.table


@pytest.mark.parametrize("table", TABLES)
def test_a_file_in_our_own_names_gets_no_other_shops_words_and_habits(table: str):
    header = list(fields_of(table))
    assert claimed(f"{table}.csv", header, SHIPPED) == ("canonical", table)


def test_a_file_with_just_the_columns_that_a_shipped_mapping_names_is_ours_all_the_same():
    assert claimed("part_lines.csv", PARTS, SHIPPED) == ("canonical", "part_lines")


def test_a_file_that_a_shipped_mapping_is_meant_for_is_claimed_by_its_name():
    name, table = claimed("parts_2026.parquet", PARTS, SHIPPED)
    assert (name, table) == ("sample_shop_2026", "part_lines")


def test_foreign_names_are_claimed_by_the_header_under_any_file_name():
    sample = read_mapping(BUNDLED / "sample_shop_2026.toml")
    header = [name for names in sample.tables[1].columns.values() for name in names]
    assert claimed("renamed.csv", header, SHIPPED) == ("sample_shop_2026", "visits")


def test_a_shops_own_mapping_and_a_named_one_claim_our_names_too():
    """They say how this shop writes its days and its money: the header alone cannot."""
    columns = {name: (name,) for name in PARTS}
    own = Mapping(
        "own", currency="EUR", tables=(TableMapping("part_lines", ("p*.txt",), None, columns),)
    )
    assert claimed("part_lines.csv", PARTS, [own, *SHIPPED]) == ("own", "part_lines")
    named = read_mapping(BUNDLED / "sample_shop_2026.toml")
    assert claimed("part_lines.csv", PARTS, [named], named) == ("sample_shop_2026", "part_lines")
    copied = replace(named, name="copied")
    assert claimed("part_lines.csv", PARTS, [copied]) == ("copied", "part_lines")
