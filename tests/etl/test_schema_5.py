"""A database of schema 5, whose verdicts stood in every reading, is opened again by the next load."""

import shutil
from pathlib import Path

import pytest

from etl.folder.publish import current
from etl.load import load
from etl.restore import restore
from tests.etl.rows import rows
from tests.etl.test_schema_4 import AS_LANDED, FACTS, FIXTURES


@pytest.fixture(scope="module")
def restored(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The backup of the earlier version, brought back by this one."""
    folder = tmp_path_factory.mktemp("five") / "db"
    restore(FIXTURES / "schema_5.zip", folder)
    return folder


def test_its_next_load_rebuilds_every_record(restored: Path):
    assert (
        rows(restored, "SELECT value FROM core.settings WHERE key = 'schema_version'").value[0]
        == "5"
    )
    again = shutil.copy(FIXTURES / "schema_4_tickets_jan.csv", restored.parent / "tickets_jan.csv")
    account = load([again], restored)
    assert "schema 5 were carried over to schema 6" in account.carried
    found = rows(restored, FACTS)
    assert {row.job_id: float(row.charged) for row in found.itertuples()} == {
        job: values[-1] for job, values in AS_LANDED.items()
    }
    verdicts = rows(restored, "SELECT job_id, test_point, decision FROM core.reading_facts")
    assert verdicts["job_id"].tolist() == ["101"]
    assert verdicts["decision"].tolist() == ["outside"]
    (kept,) = restored.glob("schema-5-*.duckdb")
    assert kept != current(restored)
