"""Records that the landed version of schema 4 stored survive: a database, a backup, a mapping."""

import shutil
from pathlib import Path

import pytest

from dashboard.cli.main import main
from etl.folder.publish import current
from etl.load import load
from etl.mapping.mapping import MappingError, read_mapping
from etl.restore import restore
from tests.etl.exports import write
from tests.etl.rows import rows

FIXTURES = Path(__file__).parent / "fixtures"
FACTS = (
    "SELECT job_id, symptom, labour_min, attended_visits, charged, callback_of FROM core.job_facts"
)
# what commit 7261059 itself answered of these records
AS_LANDED = {
    "101": ("warm_fresh_food", 45.0, 1.0, 180.0),
    "102": ("leaks", 70.0, 2.0, 95.5),
    "103": ("vibrates", 30.0, None, 60.0),
    "105": ("warm_fresh_food", 50.0, None, 0.0),
}
MARCH = """Ticket,Taken,Closed,Machine,Make,Customer says,Ended,Name,Phone,Serial,Who,Time,Labor Hrs,Bill,Parts
106,03/02/2026,03/03/2026,washer,Arvo,leaks,Done,Ed Canary,555-0105,S6,Kim,40,0.5,70.00,
"""


@pytest.fixture(scope="module")
def restored(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The backup of the earlier version, brought back by this one."""
    folder = tmp_path_factory.mktemp("four") / "db"
    restore(FIXTURES / "schema_4.zip", folder)
    return folder


@pytest.fixture(scope="module")
def carried(restored: Path) -> tuple[Path, object]:
    """The restored shop after its next load, of a file that it had loaded before."""
    path = shutil.copy(FIXTURES / "schema_4_tickets_jan.csv", restored.parent / "tickets_jan.csv")
    return restored, load([path], restored)


def test_the_next_load_carries_every_record_over(carried):
    folder, account = carried
    found = rows(folder, FACTS).astype(object).where(lambda table: table.notna(), None)
    assert {
        row.job_id: (row.symptom, row.labour_min, row.attended_visits, float(row.charged))
        for row in found.itertuples()
    } == AS_LANDED
    assert (account.files[0].duplicate, account.files[0].loaded) == (5, 0)


def test_children_of_another_mapping_stay_with_their_jobs(carried):
    """Schema 4 had one numbering for all mappings."""
    assert list(
        rows(carried[0], "SELECT job_id FROM core.part_lines WHERE part_no = 'PMP-3'").job_id
    ) == ["102"]
    assert len(rows(carried[0], "SELECT * FROM core.readings")) == 2


def test_hours_that_were_taken_for_minutes_are_set_right(carried):
    """The header says "Labor Hrs"; 0.5 was half a minute of travel."""
    assert (
        rows(carried[0], "SELECT travel_min FROM core.jobs WHERE job_id = '101'").travel_min[0]
        == 30
    )


def test_the_load_says_so_and_the_old_version_is_kept(carried):
    folder, account = carried
    assert "schema 4 were carried over to schema 6" in account.carried
    (kept,) = folder.glob("schema-4-*.duckdb")
    assert kept.name in account.carried
    assert kept != current(folder)


def test_a_time_without_unit_is_asked_for_in_new_exports(carried):
    """Stored rows stay minutes as they were; a new export of the kept mapping wants its unit."""
    folder, _ = carried
    path = write(folder.parent / "tickets_mar.csv", MARCH)
    with pytest.raises(MappingError, match='minutes_on_job = "hours"'):
        load([path], folder)
    kept = folder / "mappings" / "maple.toml"
    text = kept.read_text(encoding="utf-8")
    kept.write_text(
        text.replace("[words", '[table.units]\nminutes_on_job = "minutes"\n\n[words', 1), "utf-8"
    )
    assert load([path], folder).files[0].loaded == 1
    assert read_mapping(kept).own_numbering == "maple"
    assert main(["explain", "106", "--db", str(folder)]) == 0
