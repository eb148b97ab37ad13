"""The messy records of the bench are the same at every run and as bad as they say."""

from pathlib import Path

import pytest

from etl.load import load
from tests.bench.messy_jobs import BAD_JOBS, SLICE, make

JOBS = 4_000


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    return make(JOBS, tmp_path_factory.mktemp("messy"), seed=7)


@pytest.fixture(scope="module")
def account(files: list[Path]):
    return load(files, files[0].parent / "db")


def test_one_seed_gives_the_same_bytes_twice(files: list[Path], tmp_path: Path):
    again = make(JOBS, tmp_path, seed=7)
    assert [path.read_bytes() for path in again] == [path.read_bytes() for path in files]


def test_another_seed_gives_other_bytes(files: list[Path], tmp_path: Path):
    assert make(JOBS, tmp_path, seed=8)[0].read_bytes() != files[0].read_bytes()


def test_a_slice_holds_its_jobs_and_no_more(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr("tests.bench.messy_jobs.SLICE", 300)
    paths = make(700, tmp_path)
    jobs = [path for path in paths if path.name.startswith("jobs")]
    ids = [{line.split(",")[0] for line in path.read_text().splitlines()[1:]} for path in jobs]
    assert [len(found - {""}) for found in ids] == pytest.approx([300, 300, 100], abs=10)
    assert not ids[0] & ids[1] - {""}
    assert 9 * SLICE < 5_000_000, "at most nine readings a job, five million rows a file"


def shares(account, table: str) -> dict[str, float]:
    (file,) = (file for file in account.files if file.table == table)
    counts = {"duplicate": file.duplicate} | dict(file.reasons)
    return {reason: count / file.read for reason, count in counts.items()} | {"read": file.read}


def test_every_row_is_read_and_ends_in_one_place(account):
    assert {file.table for file in account.files} == {"jobs", "visits", "readings", "part_lines"}
    account.check_balance()


def test_two_in_a_hundred_jobs_are_bad_and_one_occurs_twice(account):
    found = shares(account, "jobs")
    assert found["duplicate"] == pytest.approx(0.01, abs=0.006)
    bad = sum(share for name, share in found.items() if name not in ("duplicate", "read"))
    assert bad == pytest.approx(BAD_JOBS, abs=0.008)  # ±3.5 standard errors of 4,000 jobs
    assert {"missing", "date_not_understood", "closed_before_opened"} < set(found)


def test_a_job_has_about_six_readings_of_which_three_in_two_hundred_are_bad(account):
    found = shares(account, "readings")
    assert found["read"] == pytest.approx(6 * 1.01 * JOBS, rel=0.02)
    own = sum(share for name, share in found.items() if name.startswith(("reading", "missing")))
    assert own == pytest.approx(0.015, abs=0.003)
    assert found["parent_quarantined"] + found["no_such_job"] == pytest.approx(0.02, abs=0.008)


def test_nothing_else_is_written_that_our_words_do_not_know(account):
    unknown = {(kind, text) for _, kind, text, _ in account.unknown_words}
    of_known_kinds = {text for kind, text in unknown if kind != "other_appliance"}
    assert of_known_kinds == {"widget", "see ticket"}
