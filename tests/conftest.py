"""Fixtures shared by the tests: the sample shop, loaded once for all workers; marks by folder."""

import hashlib
import shutil
from importlib.resources import files
from pathlib import Path

import pytest
from filelock import FileLock

from etl.incremental import program
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
def sample_shop(shared: Path, pytestconfig: pytest.Config) -> Path:
    """The database folder of the invented sample shop, loaded once for all workers; read only.

    A later run with the same program and records copies it from pytest's cache.
    """
    folder = shared / "sample"
    with FileLock(shared / "sample.lock"):
        if not folder.exists():
            cache = getattr(pytestconfig, "cache", None)  # missing under -p no:cacheprovider
            kept = cache.mkdir("sample_shop") if cache else shared
            shutil.copytree(_built_sample(kept), folder)
    return folder


def _built_sample(cache: Path) -> Path:
    records = Path(str(files("sample_data")))
    digest = hashlib.sha256(program().encode())
    for path in sorted(each for each in records.iterdir() if each.is_file()):
        digest.update(path.read_bytes())
    built = cache / f"sample-{digest.hexdigest()[:16]}"
    with FileLock(cache / "building.lock"):
        if not built.exists():
            for former in cache.glob("sample-*"):
                shutil.rmtree(former)
            draft = cache / "draft"
            load([records], draft)
            draft.rename(built)
    return built


@pytest.fixture(scope="session")
def open_data() -> Path:
    """The folder of the open repair records (Open Repair Data Standard)."""
    return Path(__file__).parent / "open_data"
