"""Every row of every file is accounted for, loading twice changes nothing, newer rows supersede."""

from itertools import permutations
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from etl.load import LoadError, load
from etl.load_report import Account, FileAccount
from tests.ask import run

HEADER = "job_id,opened_on,closed_on,appliance_kind,symptom,disposition,customer,charged"
VISIT_HEADER = "job_id,visit_no,technician,outcome,minutes_on_job"


def write(folder: Path, name: str, *lines: str) -> Path:
    """Write a CSV file and return its path."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / name
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def job(number: str, charged: str = "100", closed: str = "2026-01-02", kind: str = "washer") -> str:
    """Return one line of a jobs file."""
    return f"{number},2026-01-01,{closed},{kind},leaks,repaired,cust {number},{charged}"


def counts(account: Account, file: str = "jobs.csv") -> tuple[int, int, int, int, int]:
    """Return (read, loaded, duplicate, superseded, quarantined) of one file."""
    (found,) = [f for f in account.files if f.file == file]
    return found.read, found.loaded, found.duplicate, found.superseded, found.quarantined


def test_exact_copies_are_duplicates(tmp_path: Path):
    path = write(tmp_path, "jobs.csv", HEADER, job("A"), job("A"), job("B"))
    assert counts(load([path], tmp_path / "db")) == (3, 2, 1, 0, 0)


def test_a_second_row_of_a_job_in_one_file_waits_and_the_last_line_does_not_win(tmp_path: Path):
    path = write(tmp_path, "jobs.csv", HEADER, job("A", "100"), job("A", "120"), job("A", "100"))
    account = load([path], tmp_path / "db")
    assert counts(account) == (3, 1, 1, 0, 1)
    assert account.files[0].reasons == {"second_row_of_job": 1}
    assert run(tmp_path / "db", "pages/jobs").iloc[0].charged == 100


def test_a_bad_row_does_not_push_out_the_good_one_before_it(tmp_path: Path):
    path = write(tmp_path, "jobs.csv", HEADER, job("A", "100"), job("A", "see bill"))
    assert counts(load([path], tmp_path / "db")) == (2, 1, 0, 0, 1)


def test_a_good_row_after_a_bad_one_supersedes_it(tmp_path: Path):
    path = write(tmp_path, "jobs.csv", HEADER, job("A", "see bill"), job("A", "100"))
    assert counts(load([path], tmp_path / "db")) == (2, 1, 0, 1, 0)


def test_loading_the_same_file_twice_changes_nothing(tmp_path: Path):
    path = write(tmp_path, "jobs.csv", HEADER, job("A"), job("B"))
    load([path], tmp_path / "db")
    before = run(tmp_path / "db", "pages/jobs")
    assert counts(load([path], tmp_path / "db")) == (2, 0, 2, 0, 0)
    assert run(tmp_path / "db", "pages/jobs").equals(before)


def test_a_corrected_export_supersedes_the_one_before(tmp_path: Path):
    first = write(tmp_path / "1", "jobs.csv", HEADER, job("A", "100"), job("B"))
    second = write(tmp_path / "2", "jobs_new.csv", HEADER, job("A", "90"), job("B"))
    load([first], tmp_path / "db")
    account = load([second], tmp_path / "db")
    assert counts(account, "jobs_new.csv") == (2, 1, 1, 0, 0)
    assert set(run(tmp_path / "db", "pages/jobs").charged) == {90, 100}


def test_a_quarantined_job_takes_its_visits_along(tmp_path: Path):
    jobs = write(tmp_path, "jobs.csv", HEADER, job("A", closed="2025-12-24"))
    visits = write(tmp_path, "visits.csv", VISIT_HEADER, "A,1,Ann,completed,60")
    account = load([jobs, visits], tmp_path / "db")
    assert account.files[0].reasons == {"closed_before_opened": 1}
    assert account.files[1].reasons == {"parent_quarantined": 1}


def test_correcting_the_job_brings_its_visits_back(tmp_path: Path):
    jobs = write(tmp_path, "jobs.csv", HEADER, job("A", closed="2025-12-24"))
    visits = write(tmp_path, "visits.csv", VISIT_HEADER, "A,1,Ann,completed,60")
    load([jobs, visits], tmp_path / "db")
    load([write(tmp_path, "corrected.csv", HEADER, job("A"))], tmp_path / "db")
    accounts = run(tmp_path / "db", "pages/accounts").set_index("file")
    assert accounts.loc["visits.csv", "loaded"] == 1
    assert accounts.loc["jobs.csv", "superseded"] == 1


def test_a_visit_of_an_unknown_job_is_reported_as_such(tmp_path: Path):
    jobs = write(tmp_path, "jobs.csv", HEADER, job("A"))
    visits = write(tmp_path, "visits.csv", VISIT_HEADER, "X,1,Ann,completed,60")
    assert load([jobs, visits], tmp_path / "db").files[1].reasons == {"no_such_job": 1}


def test_a_row_with_two_problems_lists_both_and_counts_once(tmp_path: Path):
    path = write(tmp_path, "jobs.csv", HEADER, job("A", "see bill", closed="nonsense"))
    account = load([path], tmp_path / "db")
    assert counts(account) == (1, 0, 0, 0, 1)
    assert account.files[0].reasons == {"number_not_understood": 1, "date_not_understood": 1}


def test_a_bad_reading_does_not_sink_its_job(tmp_path: Path):
    jobs = write(tmp_path, "jobs.csv", HEADER, job("A"))
    readings = write(
        tmp_path, "readings.csv", "job_id,visit_no,test_point,value", "A,1,water level,10-Aug"
    )
    account = load([jobs, readings], tmp_path / "db")
    assert counts(account) == (1, 1, 0, 0, 0)
    assert account.files[1].quarantined == 1


def test_a_load_of_files_that_nothing_claims_changes_nothing(tmp_path: Path):
    path = write(tmp_path, "weather.csv", "station,rain", "north,3")
    with pytest.raises(LoadError, match=r"weather\.csv"):
        load([path], tmp_path / "db")
    assert not (tmp_path / "db" / "CURRENT").exists()


def test_check_publishes_nothing(tmp_path: Path):
    path = write(tmp_path, "jobs.csv", HEADER, job("A"))
    account = load([path], tmp_path / "db", is_check=True)
    assert counts(account) == (1, 1, 0, 0, 0)
    assert not account.published
    assert not (tmp_path / "db").exists()


def test_strict_refuses_a_load_with_quarantined_rows(tmp_path: Path):
    path = write(tmp_path, "jobs.csv", HEADER, job("A", "see bill"))
    with pytest.raises(LoadError, match="1 rows"):
        load([path], tmp_path / "db", is_strict=True)
    assert not (tmp_path / "db" / "CURRENT").exists()


def test_the_account_of_lost_rows_does_not_pass():
    from etl.load_report import AccountError

    lost = FileAccount("jobs.csv", None, "jobs", "canonical", 3, 1, 0, 0, 1)
    with pytest.raises(AccountError, match="3 rows read"):
        Account((lost,)).check_balance()


def test_the_order_of_the_arguments_changes_nothing(tmp_path: Path):
    paths = [
        write(tmp_path, "a.csv", HEADER, job("A", "100"), job("B", "50")),
        write(tmp_path, "b.csv", HEADER, job("A", "120")),
        write(tmp_path, "c.csv", VISIT_HEADER, "A,1,Ann,completed,60", "C,1,Ann,completed,10"),
    ]
    results = []
    for i, order in enumerate(permutations(paths)):
        load(order, tmp_path / f"db{i}")
        results.append(
            (
                run(tmp_path / f"db{i}", "pages/jobs").to_csv(),
                run(tmp_path / f"db{i}", "pages/accounts").to_csv(),
            )
        )
    assert len(set(results)) == 1


LINES = st.lists(
    st.tuples(
        st.sampled_from(["A", "B", "C", ""]),
        st.sampled_from(["100", "120", "see bill"]),
        st.sampled_from(["2026-01-02", "2025-12-24", "nonsense"]),
    ),
    max_size=8,
)


@settings(
    max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(parts=st.lists(LINES, min_size=1, max_size=3))
def test_any_rows_balance_and_one_load_equals_many(parts, tmp_path_factory):
    """read = loaded + duplicate + superseded + quarantined; one load of all = loads of the parts."""
    tmp_path = tmp_path_factory.mktemp("parts")
    paths = [
        write(tmp_path, f"part{i}.csv", HEADER, job("K"), *[job(n, c, d) for n, c, d in lines])
        for i, lines in enumerate(parts)
    ]
    account = load(paths, tmp_path / "one")
    assert all(file.is_balanced for file in account.files)
    for path in paths:
        load([path], tmp_path / "many")
    shown = [run(tmp_path / name, "pages/jobs").to_csv() for name in ("one", "many")]
    assert shown[0] == shown[1]
