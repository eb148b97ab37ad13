"""A changed mapping is tried on the stored rows, and applied to them, without their files."""

from dataclasses import replace
from pathlib import Path

from etl.folder.versions import current
from etl.rebuild import reread_stored, would_change
from tests.etl.exports import jobs_table, loaded, mapping, write
from tests.etl.rows import rows

TEXT = "Job,In,Out,Unit,End,Total\n1,03/04/2026,03/05/2026,washer,fixed,80\n2,04/05/2026,04/06/2026,washer,weg,90\n"


def test_what_would_change_is_said_and_nothing_is_published(tmp_path: Path):
    by = mapping("elm", jobs_table(charged="Total"), date_order="MDY")
    loaded(write(tmp_path / "jobs.csv", TEXT), tmp_path / "db", by)
    before = current(tmp_path / "db")
    assert would_change(tmp_path / "db", by) == ""
    assert "1 of 1 stored jobs would change" in would_change(
        tmp_path / "db", replace(by, date_order="DMY")
    )
    assert current(tmp_path / "db") == before


def test_a_word_added_later_frees_the_jobs_that_waited_for_it(tmp_path: Path):
    by = mapping("elm", jobs_table(charged="Total"), date_order="MDY")
    account = loaded(write(tmp_path / "jobs.csv", TEXT), tmp_path / "db", by)
    assert account.unknown_words == (("disposition", "", "weg", 1),)
    assert account.jobs_held == (1,)
    reread_stored(tmp_path / "db", replace(by, words={"disposition": {"weg": "declined"}}))
    found = rows(tmp_path / "db", "SELECT job_id, disposition FROM core.jobs ORDER BY job_id")
    assert list(found["disposition"]) == ["repaired", "declined"]
    assert rows(tmp_path / "db", "SELECT * FROM core.unknown_words").empty
