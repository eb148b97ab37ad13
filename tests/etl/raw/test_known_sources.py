"""A clock that was behind at the first load: the same bytes free the rows once it is right."""

from datetime import date
from pathlib import Path

import pytest

from etl import incremental
from etl.load import LoadError, load
from tests.etl.test_load import HEADER, counts, job, write

BEHIND, RIGHT = date(2020, 1, 1), date(2026, 2, 1)


@pytest.mark.parametrize("least_bytes", [2**60, 0])  # everything is rebuilt; a copy is added to
def test_the_same_bytes_free_what_waited_for_its_day(least_bytes: int, tmp_path: Path, monkeypatch):
    monkeypatch.setattr(incremental, "LARGE_BYTES", least_bytes)
    old = write(tmp_path, "old.csv", HEADER, "O,2019-01-01,2019-01-02,washer,leaks,repaired,c,9")
    path, db = write(tmp_path, "jobs.csv", HEADER, job("A"), job("B")), tmp_path / "db"
    assert counts(load([path, old], db, today=BEHIND)) == (2, 0, 0, 0, 2)
    account = load([path], db, today=RIGHT)
    assert counts(account) == (2, 2, 0, 0, 0)
    assert counts(load([old], db, today=RIGHT), "old.csv") == (1, 0, 1, 0, 0)


def test_a_day_once_known_is_not_taken_back(tmp_path: Path):
    path, db = write(tmp_path, "jobs.csv", HEADER, job("A")), tmp_path / "db"
    load([path], db, today=RIGHT)
    with pytest.raises(LoadError, match="this computer's clock says 2020-01-01"):
        load([path], db, today=BEHIND)
    assert counts(load([path], db, today=RIGHT)) == (1, 0, 1, 0, 0)  # as known before


def test_a_clock_ahead_takes_dates_and_says_how_to_go_back(tmp_path: Path):
    ahead = write(tmp_path, "a.csv", HEADER, job("A"))
    db = tmp_path / "db"
    load([ahead], db, today=date(2031, 1, 1))
    with pytest.raises(LoadError, match="take that load back"):
        load([ahead], db, today=RIGHT)
