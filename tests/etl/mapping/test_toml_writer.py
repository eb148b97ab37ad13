"""A written mapping is read as itself, and a rewritten one keeps the comments of its owner."""

import tomllib
from dataclasses import replace

import pytest

from etl.mapping.mapping import BUNDLED, Mapping, TableMapping, mapping_from, read_mapping
from etl.mapping.toml_writer import mapping_text

OWN = """# Kept by Ann; ask her before you change it.
name = "shop"
date_order = "MDY"  # the office writes 03/04

[[table]]
table = "jobs"
files = ["jobs*.csv"]  # one a month
[table.columns]
job_id = "No"
opened_on = "In"   # when the phone rang
appliance_kind = "What"
disposition = "End"

[words.disposition]
"PD" = "repaired"  # paid
"""


def read(text: str) -> Mapping:
    """Read a mapping's text."""
    return mapping_from(tomllib.loads(text), "test")


@pytest.mark.parametrize("path", sorted(BUNDLED.glob("*.toml")), ids=lambda path: path.stem)
def test_what_is_written_is_read_as_the_same_mapping(path):
    mapping = read_mapping(path)
    assert read(mapping_text(mapping)) == mapping


def test_comments_of_the_owner_survive_a_change():
    mapping = read(OWN)
    changed = replace(
        mapping,
        date_order="DMY",
        currency="USD",
        tables=(replace(mapping.tables[0], units={"minutes_on_job": "hours"}),),
        words={"disposition": {"PD": "repaired", "NTF": "no_fault_found"}},
    )
    text = mapping_text(changed, earlier=OWN)
    assert read(text) == changed
    for comment in ("ask her before", "the office writes", "one a month", "phone rang", "# paid"):
        assert comment in text


def test_what_is_taken_out_is_gone_from_the_text():
    mapping = read(OWN)
    table = mapping.tables[0]
    columns = {k: v for k, v in table.columns.items() if k != "disposition"}
    changed = replace(
        mapping,
        date_order="",
        tables=(replace(table, columns=columns, constants={"disposition": "repaired"}),),
        words={},
    )
    assert read(mapping_text(changed, earlier=OWN)) == changed


def test_every_key_of_a_mapping_is_written():
    table = TableMapping(
        table="jobs", files=("a.csv", "b.csv"), sheet="Jobs",
        columns={"opened_on": ("In",), "appliance_kind": ("Unit",), "customer": ("Name", "Phone")},
        constants={"disposition": "repaired"}, readings={"L1-L2 V": "line volts"},
        first_of={"technician": ("Tech", "Technician")}, units={"minutes_on_job": "hours"},
        header_row=3, make_job_number=True,
    )  # fmt: skip
    mapping = Mapping(
        name='a "b"\\c\x7f\n', title="T", date_order="YMD", decimal=",", currency="EUR",
        time_zone="Europe/Berlin", fold_case=True, own_kinds=True, numbering="both",
        tables=(table, replace(table, sheet=None)), words={"technician": {"J. S.": "Jo Smith"}},
    )  # fmt: skip
    assert read(mapping_text(mapping)) == mapping
