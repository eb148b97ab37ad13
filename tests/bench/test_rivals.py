"""The rivals of the bench make the same tables as the loader, so that times can be compared."""

from collections.abc import Callable
from importlib import import_module
from pathlib import Path

import duckdb
import pandas as pd
import pytest

from etl.load import load
from tests.bench.messy_jobs import make
from tests.bench.rivals import floor
from tests.bench.same_tables import COLUMNS, differences, row_counts

JOBS = 3_000
SAME = dict.fromkeys(COLUMNS, (0, 0))


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("rivals")
    make(JOBS, folder)
    return folder


@pytest.fixture(scope="module")
def database(files: Path) -> Path:
    load([files], files / "db")
    return files / "db"


@pytest.fixture
def rival(files: Path, database: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[str], Path]:
    """Run one rival with the shop's key and return the folder of its tables."""
    monkeypatch.setenv("OHMHOURS_BENCH_KEY", str(database))

    def run(name: str) -> Path:
        import_module(f"tests.bench.rivals.{name}").main(files, files / name)
        return files / name

    return run


def test_the_notebook_makes_the_same_tables(database: Path, rival: Callable[[str], Path]):
    assert differences(database, rival("pandas_notebook")) == SAME
    assert row_counts(database)["readings"] > 5 * JOBS, "nothing was compared"


def test_the_notebook_of_distinct_texts_makes_the_tables_of_the_notebook(
    rival: Callable[[str], Path],
):
    plain, distinct = rival("pandas_notebook"), rival("pandas_distinct")
    for name in COLUMNS:
        one, other = (pd.read_parquet(folder / f"{name}.parquet") for folder in (plain, distinct))
        pd.testing.assert_frame_equal(one, other, check_dtype=False)


def test_the_pipeline_makes_the_same_tables(database: Path, rival: Callable[[str], Path]):
    pytest.importorskip("polars", reason="polars is not installed: pip install -e '.[bench]'")
    assert differences(database, rival("polars_pipeline")) == SAME


def test_one_changed_cell_is_a_difference_both_ways(database: Path, rival: Callable[[str], Path]):
    folder = rival("pandas_notebook")
    table = pd.read_parquet(folder / "readings.parquet")
    table.loc[table["base_value"].first_valid_index(), "base_value"] *= 1.001
    table.to_parquet(folder / "readings.parquet")
    assert differences(database, folder) == SAME | {"readings": (1, 1)}


def test_the_floor_holds_every_row(files: Path, tmp_path: Path):
    floor.main(files, tmp_path)
    lines = len((files / "readings_01.csv").read_text(encoding="utf-8").splitlines())
    with duckdb.connect(tmp_path / "floor.duckdb") as connection:
        assert connection.execute("SELECT count(*) + 1 FROM readings").fetchall() == [(lines,)]
