"""A mapping is checked before it is used; the message names the file and the key."""

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
    ({**GOOD, "decimal": 5}, 'key "decimal" is 5; wanted str'),
    ({**GOOD, "own_kinds": "yes"}, 'key "own_kinds" is .yes.; wanted bool'),
    (table(table="job"), 'key "table" is .job.; wanted one of jobs, visits'),
    (table(columns={"job_id": "No"}), 'field "opened_on" is required'),
    (table(constants={"colour": "red"}), 'unknown field "colour"'),
    (table(columns={"job_id": 3}), 'key "job_id" is 3; wanted a text'),
    ({**GOOD, "words": {"colour": {}}}, 'unknown key "colour"'),
    ({**GOOD, "words": {"symptom": {"x": 1}}}, r"\[words.symptom\] wants lines"),
]


@pytest.mark.parametrize(("content", "message"), WRONG)
def test_a_wrong_mapping_is_refused_with_its_key(content: dict, message: str):
    with pytest.raises(MappingError, match=message):
        mapping_from(content, "ours.toml")


def test_a_good_mapping_claims_files_by_name():
    mapping = mapping_from(GOOD, "ours.toml")
    assert mapping.table_for("JOBS_2026.csv", None) is not None
    assert mapping.table_for("visits.csv", None) is None


def test_a_missing_required_column_is_named():
    mapping = mapping_from(GOOD, "ours.toml")
    assert mapping.tables[0].missing(["no", "in"]) == ["What"]


def test_a_file_that_is_no_toml_is_refused(tmp_path: Path):
    path = tmp_path / "ours.toml"
    path.write_text("name = ", encoding="utf-8")
    with pytest.raises(MappingError, match=r"ours\.toml: not a TOML file"):
        read_mapping(path)


def test_canonical_names_need_no_mapping():
    found = canonical_table("x.csv", None, ["Job ID", "visit_no", "technician", "OUTCOME", "note"])
    assert found is not None
    assert found.table == "visits"


@pytest.mark.parametrize("path", sorted(BUNDLED.glob("*.toml")), ids=lambda path: path.stem)
def test_every_bundled_mapping_can_be_read(path: Path):
    assert read_mapping(path).name == path.stem
