"""Fixtures shared by the tests: the sample shop, loaded once."""

from importlib.resources import files
from pathlib import Path

import pytest

from etl.load import load


@pytest.fixture(scope="session")
def sample_shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The database folder of the invented sample shop; read it only."""
    folder = tmp_path_factory.mktemp("sample") / "db"
    load([Path(str(files("sample_data")))], folder)
    return folder


@pytest.fixture(scope="session")
def open_data() -> Path:
    """The folder of the open repair records (Open Repair Data Standard)."""
    return Path(__file__).parent / "open_data"
