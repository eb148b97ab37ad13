"""A mapping is checked before it is used; the message names the file and the key."""

import os
from pathlib import Path

import pytest

from etl.mapping.mapping import BUNDLED, MappingError, canonical_table, mapping_from, read_mapping

GOOD = {
    "name": "ours",
    "table": [
        {
            "table": "jobs",
            "files": ["jobs*.csv"],
            "columns": {"job_id": "No", "opened_on": "In", "appliance_kind": "What"},
            "constants": {"disposition": "repaired"},
        }
    ],
}


def table(**changes: object) -> dict:
    """Return the good mapping with its table changed."""
    return {**GOOD, "table": [{**GOOD["table"][0], **changes}]}


WRONG = [
    ({**GOOD, "nam": "x"}, 'unknown key "nam"'),
    ({"table": GOOD["table"]}, 'key "name" is missing'),
    ({"name": "ours"}, r"no \[\[table\]\]"),
    ({**GOOD, "date_order": "MYD"}, 'key "date_order" is .MYD.; wanted one of'),
    ({**GOOD, "decimal": 5}, 'key "decimal" is 5; wanted one of ., ,'),
    ({**GOOD, "own_kinds": "yes"}, 'key "own_kinds" is .yes.; wanted true or false'),
    (table(table="job"), 'key "table" is .job.; wanted one of jobs, visits'),
    (table(columns={"job_id": "No"}), 'field "opened_on" is required'),
    (table(constants={"colour": "red"}), 'unknown field "colour"'),
    (table(columns={"job_id": 3}), 'key "job_id" is 3; wanted a text'),
    ({**GOOD, "words": {"colour": {}}}, 'unknown key "colour"'),
    ({**GOOD, "words": {"symptom": {"x": 1}}}, r"\[words.symptom\] wants lines"),
    ({**GOOD, "name": 10**5000}, 'key "name" is a number of thousands of digits; wanted text'),
    ({**GOOD, "words": [1]}, 'key "words" is a list of 1; wanted a table'),
    ({**GOOD, "table": {}}, 'key "table" is a table of 0; wanted a list'),
    ({**GOOD, "table": [3]}, 'table 1: key "table" is 3; wanted a table'),
    ({**GOOD, "time_zone": "Mars/Olympus"}, 'key "time_zone" is "Mars/Olympus"; wanted a name'),
    ({**GOOD, "name": "x" * 5000}, "wanted at most 1000 characters"),
    (table(sheet=5), 'table 1: key "sheet" is 5; wanted text in quotes'),
    (table(columns={"job_id": ["No", 3]}), 'key "job_id" is .+; wanted a text or a list'),
    (table(constants={"branch": ["North"]}), 'key "branch" is a list of 1; wanted'),
]


@pytest.mark.parametrize(("content", "message"), WRONG)
def test_a_wrong_mapping_is_refused_with_its_key(content: dict, message: str):
    with pytest.raises(MappingError, match=message) as refusal:
        mapping_from(content, "ours.toml")
    assert "\n" not in str(refusal.value)
    assert str(refusal.value).startswith("ours.toml")


def test_a_good_mapping_claims_files_by_name():
    mapping = mapping_from(GOOD, "ours.toml")
    assert len(mapping.tables_for("JOBS_2026.csv", None)) == 1
    assert mapping.tables_for("visits.csv", None) == []


def test_a_missing_required_column_is_named():
    mapping = mapping_from(GOOD, "ours.toml")
    assert mapping.tables[0].missing(["no", "in"]) == ["What"]


def test_a_file_that_is_no_toml_is_refused(tmp_path: Path):
    path = tmp_path / "ours.toml"
    path.write_text("name = ", encoding="utf-8")
    with pytest.raises(MappingError, match=r"ours\.toml: not a TOML file"):
        read_mapping(path)


@pytest.mark.parametrize(
    "text",
    ["a = " + "[" * 5000, "name = " + "9" * 5000, "a." * 3000 + "b = 1", 'name = "\ud800"', "\0"],
    ids=["nested", "digits", "dotted", "surrogate", "nul"],
)
def test_a_document_that_breaks_the_parser_is_refused_in_one_line(text: str, tmp_path: Path):
    path = tmp_path / "ours.toml"
    path.write_bytes(text.encode("utf-8", "surrogatepass"))
    with pytest.raises(MappingError, match=r"ours\.toml") as refusal:
        read_mapping(path)
    assert len(str(refusal.value)) < 300


def test_a_pipe_or_a_device_is_no_mapping(tmp_path: Path):
    os.mkfifo(tmp_path / "ours.toml")
    for path in (tmp_path / "ours.toml", Path("/dev/zero"), tmp_path):
        with pytest.raises(MappingError, match="not a file"):
            read_mapping(path)


def test_canonical_names_need_no_mapping():
    found = canonical_table("x.csv", None, ["Job ID", "visit_no", "technician", "OUTCOME", "note"])
    assert found is not None
    assert found.table == "visits"


@pytest.mark.parametrize("path", sorted(BUNDLED.glob("*.toml")), ids=lambda path: path.stem)
def test_every_bundled_mapping_can_be_read(path: Path):
    assert read_mapping(path).name == path.stem
