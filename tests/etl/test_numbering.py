"""A job number belongs to its numbering: east's job 1 and west's job 1 are two jobs."""

from pathlib import Path

import pytest

from dashboard.cli.main import main
from tests.etl.exports import jobs_table, loaded, mapping, write
from tests.etl.rows import rows

HEADER = "Job,In,Out,Unit,End,Acct,Back\n"
EAST = (
    HEADER
    + "1,2026-01-05,2026-01-06,fridge,repaired,a,\n2,2026-01-09,2026-01-10,washer,repaired,b,1\n"
)
WEST = (
    HEADER
    + "1,2026-02-05,2026-02-06,dishwasher,repaired,c,\n3,2026-02-09,2026-02-10,washer,repaired,d,2\n"
)
VISITS = "job_id,technician,outcome,visit_no,minutes_on_job\n1,Kim,completed,1,45\n"
BY = {
    name: mapping(
        name,
        jobs_table(customer="Acct", callback_of="Back") | {"files": [f"{name}.csv"]},
        {
            "table": "visits",
            "files": [f"{name}_visits.csv"],
            "columns": {n: n for n in VISITS.splitlines()[0].split(",")},
        },
    )
    for name in ("east", "west")
}


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two branches with a book of job numbers each, east loaded first."""
    folder = tmp_path_factory.mktemp("two")
    loaded(write(folder / "east.csv", EAST), folder / "db", BY["east"])
    west = [write(folder / "west.csv", WEST), write(folder / "west_visits.csv", VISITS)]
    loaded(west, folder / "db", BY["west"])
    return folder / "db"


def test_the_same_number_of_two_numberings_is_two_jobs_shown_by_both_names(shop: Path):
    jobs = rows(shop, "SELECT job_id, job_number, numbering FROM core.jobs ORDER BY job_id")
    assert list(jobs.itertuples(index=False, name=None)) == [
        ("2", "2", "east"),
        ("3", "3", "west"),
        ("east 1", "1", "east"),
        ("west 1", "1", "west"),
    ]


def test_a_visit_belongs_to_the_job_of_its_own_numbering(shop: Path):
    assert list(rows(shop, "SELECT job_id FROM core.visits").job_id) == ["west 1"]


def test_a_recorded_callback_means_a_job_of_the_same_numbering(shop: Path):
    """West's job 3 names a job 2 that only east has."""
    found = rows(shop, "SELECT job_id, callback_of FROM core.jobs WHERE callback_of IS NOT NULL")
    assert dict(zip(found.job_id, found.callback_of, strict=True)) == {"2": "east 1", "3": "west 2"}


@pytest.mark.parametrize(("asked", "kind"), [("east 1", "refrigerator"), ("west 1", "dishwasher")])
def test_explain_works_for_both(shop: Path, asked: str, kind: str, capsys):
    assert main(["explain", asked, "--db", str(shop)]) == 0
    assert kind in capsys.readouterr().out.lower()


def test_a_number_of_two_jobs_names_both(shop: Path, capsys):
    assert main(["explain", "1", "--db", str(shop)]) == 1
    message = capsys.readouterr().err
    assert "east 1" in message and "west 1" in message


def test_a_job_of_one_numbering_opens_by_the_long_name_too(shop: Path, capsys):
    assert main(["explain", "west 3", "--db", str(shop)]) == 0
    assert "3" in capsys.readouterr().out


def test_two_mappings_may_share_a_numbering_on_purpose(tmp_path: Path):
    first = mapping("old", jobs_table(), numbering="book")
    second = mapping("new", jobs_table(), numbering="book")
    loaded(write(tmp_path / "old.csv", EAST), tmp_path / "db", first)
    fixed = EAST.replace("2026-01-06", "2026-01-07")
    loaded(write(tmp_path / "new.csv", fixed), tmp_path / "db", second)
    jobs = rows(tmp_path / "db", "SELECT job_id, closed_on FROM core.jobs ORDER BY job_id")
    assert list(jobs.job_id) == ["1", "2"]
    assert str(jobs.closed_on[0])[:10] == "2026-01-07"
