"""A load asks before it loses jobs, the ground of a measure, or the meaning of stored rows."""

from dataclasses import replace
from pathlib import Path

import pytest

from dashboard.cli.main import main
from etl.confirmations import Question
from etl.mapping.mapping import Mapping
from etl.mapping.toml_writer import mapping_text
from tests.etl.exports import jobs_table, loaded, mapping, write
from tests.etl.rows import rows

HEADER = "Job,In,Out,Unit,End,Acct,Total\n"
TWO = (
    HEADER
    + "1,03/04/2026,03/05/2026,fridge,repaired,a,10\n2,01/15/2026,01/16/2026,washer,repaired,b,20\n"
)


def by(order: str = "MDY", **columns: str) -> Mapping:
    """Return a mapping of one name that reads days in the given order."""
    return mapping(
        "our_shop", jobs_table(customer="Acct", charged="Total", **columns), date_order=order
    )


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Two jobs, read month first."""
    loaded(write(tmp_path / "jan.csv", TWO), tmp_path / "db", by())
    return tmp_path / "db"


def other(folder: Path) -> Path:
    """Return an export of another source."""
    return write(
        folder.parent / "feb.csv", HEADER + "3,2026-02-01,2026-02-02,washer,repaired,c,30\n"
    )


def opened(folder: Path) -> dict[str, str]:
    found = rows(folder, "SELECT job_id, opened_on::VARCHAR AS day FROM core.jobs")
    return dict(zip(found.job_id, found.day, strict=True))


def test_a_changed_mapping_shows_what_would_change_in_stored_rows_and_asks(folder: Path):
    with pytest.raises(
        Question, match=r"1 of 2 stored jobs would change.*2026-03-04 → 2026-04-03|2 of 2"
    ) as asked:
        loaded(other(folder), folder, by("DMY"))
    assert asked.value.option == "stored_rows"
    assert opened(folder) == {"1": "2026-03-04", "2": "2026-01-15"}


def test_stored_rows_keep_the_mapping_they_were_read_by(folder: Path):
    loaded(other(folder), folder, by("DMY"), stored_rows="keep")
    assert opened(folder) == {"1": "2026-03-04", "2": "2026-01-15", "3": "2026-02-01"}
    loaded(
        write(folder.parent / "mar.csv", HEADER + "4,05/03/2026,06/03/2026,washer,repaired,d,1\n"),
        folder,
        by("DMY"),
    )
    assert opened(folder)["4"] == "2026-03-05"
    assert opened(folder)["1"] == "2026-03-04"


def test_stored_rows_are_read_again_where_that_is_wanted(folder: Path):
    """Job 2 of the 15th month then waits, which leaves as many jobs as before with the new one."""
    loaded(other(folder), folder, by("DMY"), stored_rows="reread")
    assert opened(folder) == {"1": "2026-04-03", "3": "2026-02-01"}


def test_a_mapping_with_more_words_asks_nothing_where_no_row_changes(folder: Path):
    more = replace(by(), words={"disposition": {"vanished": "cancelled"}})
    assert loaded(other(folder), folder, more).files[0].loaded == 1


def test_fewer_jobs_are_asked_for(folder: Path):
    bad = folder.parent / "jan.csv"
    narrower = mapping("our_shop", jobs_table(customer="Acct", charged="Acct"), date_order="MDY")
    with pytest.raises(
        Question, match=r"0 jobs would be left where there are 2: 1, 2 would be gone"
    ):
        loaded(bad, folder, narrower)
    assert len(opened(folder)) == 2
    checked = loaded(bad, folder, narrower, is_check=True)
    assert [option for option, _ in checked.asked] == ["allows_fewer"]
    loaded(bad, folder, narrower, allows_fewer=True)
    assert opened(folder) == {}


def test_columns_that_a_later_export_lacks_are_named_and_asked_for(folder: Path, capsys):
    later = write(
        folder.parent / "apr.csv", "Job,In,Out,Unit,End\n5,2026-02-01,2026-02-02,washer,repaired\n"
    )
    own = write(folder.parent / "own.toml", mapping_text(by()))
    call = ["load", str(later), "--mapping", str(own), "--db", str(folder)]
    assert main(call) == 1
    message = capsys.readouterr().err
    assert "Acct, Total: not in this file" in message
    assert "callbacks" in message and "--allow-missing" in message
    assert main([*call, "--allow-missing"]) == 0
    assert "Acct, Total: not in this file" in capsys.readouterr().out
