"""Fixtures shared by the tests: the sample shop, loaded once for all workers; marks by folder."""

from importlib.resources import files
from pathlib import Path

import pytest
from filelock import FileLock

from etl.load import load

MARKED_FOLDERS = ("bench", "browser", "spark")  # every test in tests/<folder> bears that mark
HERE = Path(__file__).parent


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark the tests of the folders that need a browser, Spark or much time."""
    for item in items:
        folder = item.path.relative_to(HERE).parts[0]
        if folder in MARKED_FOLDERS:
            item.add_marker(folder)


@pytest.fixture(scope="session")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that all workers of this run share."""
    own = tmp_path_factory.getbasetemp()
    is_worker = own.name.startswith("popen-")
    folder = (own.parent if is_worker else own) / "shared"
    folder.mkdir(exist_ok=True)
    return folder


@pytest.fixture(scope="session")
def sample_shop(shared: Path) -> Path:
    """The database folder of the invented sample shop, loaded once for all workers; read only."""
    folder = shared / "sample"
    with FileLock(shared / "sample.lock"):
        if not folder.exists():
            load([Path(str(files("sample_data")))], folder)
    return folder


@pytest.fixture(scope="session")
def open_data() -> Path:
    """The folder of the open repair records (Open Repair Data Standard)."""
    return Path(__file__).parent / "open_data"
