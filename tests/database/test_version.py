"""While the published version cannot be read, the last good one is shown, with a notice."""

import shutil
from pathlib import Path

import duckdb
import pytest

from dashboard.cli import main as cli
from dashboard.database import version as versions
from dashboard.database.version import NoData
from etl.folder.publish import PublishError, current
from etl.folder.shop_key import KeyFileError
from etl.load import load
from etl.raw.store import LoadError
from tests import ask
from tests.shop_builder import shop

FIRST_BLOCK, BLOCK = 3 * 4096, 262_144  # bytes, of a DuckDB file
JOBS = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
    A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | one
"""
MORE = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
    B      | 2026-01-03 | 2026-01-04 | washer         | leaks   | repaired    | two
"""


@pytest.fixture(scope="module")
def loaded_twice(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop of one job in its first version and of two in its second, the published one."""
    folder = tmp_path_factory.mktemp("twice")
    shop(folder, jobs=JOBS)
    return shop(folder, jobs=MORE)


@pytest.fixture
def twice(loaded_twice: Path, tmp_path: Path) -> Path:
    """A copy of the shop loaded twice and of its files, to be damaged."""
    shutil.copytree(loaded_twice.parent, tmp_path, dirs_exist_ok=True)
    return tmp_path / "db"


def jobs(folder: Path) -> int:
    return int(ask.run(folder, "pages/dataset").iloc[0].jobs)


def damage(path: Path, start: int = FIRST_BLOCK) -> None:
    """Turn every bit of a hundred bytes of a file."""
    content = bytearray(path.read_bytes())
    content[start : start + 100] = bytes(255 - byte for byte in content[start : start + 100])
    path.write_bytes(content)


def test_a_deleted_pointer_changes_nothing_for_reader_and_load(twice: Path, tmp_path: Path):
    (twice / "CURRENT").unlink()
    assert jobs(twice) == 2
    assert versions.find(twice).notice is None
    load([tmp_path / "in"], twice)
    assert jobs(twice) == 2
    assert (twice / "CURRENT").exists()


@pytest.mark.parametrize("content", [b"", b"SQLite format 3\0" + b"x" * 9000])
def test_a_file_that_does_not_open_is_passed_over(twice: Path, content: bytes):
    current(twice).write_bytes(content)
    assert jobs(twice) == 1
    assert "ohmhours undo" in versions.find(twice).notice


def test_a_database_of_another_program_is_passed_over(twice: Path):
    path = current(twice)
    path.unlink()
    with duckdb.connect(str(path)) as connection:
        connection.execute("CREATE TABLE numbers (number INTEGER)")
    assert jobs(twice) == 1
    assert "no database of this program" in versions.find(twice).notice


def test_a_missing_version_is_reported_and_the_one_before_it_read(twice: Path):
    current(twice).unlink()
    assert jobs(twice) == 1
    assert "which is not there" in versions.find(twice).notice


def damage_inside(path: Path) -> None:
    """Damage one block such that the file still opens, and its jobs cannot be read."""
    whole = path.read_bytes()
    for start in range(FIRST_BLOCK, len(whole), BLOCK):
        path.write_bytes(whole)
        damage(path, start)
        try:
            with duckdb.connect(str(path), read_only=True) as connection:
                connection.execute("SELECT sum(hash(columns(*))) FROM core.job_facts").fetchall()
        except duckdb.Error:
            if _opens(path):
                return
    pytest.fail("no block holds jobs alone")


def _opens(path: Path) -> bool:
    try:
        with duckdb.connect(str(path), read_only=True) as connection:
            return bool(connection.execute("SELECT value FROM core.settings").fetchall())
    except duckdb.Error:
        return False


def test_damage_inside_the_file_is_found_by_the_query_that_meets_it(sample_shop: Path, tmp_path):
    """Asked again, the version before it answers: a page is drawn again, a command run again."""
    folder = tmp_path / "db"
    folder.mkdir()
    for number in (1, 2):
        shutil.copyfile(current(sample_shop), folder / f"warehouse-{number:06d}-x.duckdb")
    damage_inside(current(folder))
    with pytest.raises(versions.Damaged, match="it is damaged"):
        ask.run(folder, "pages/jobs")
    assert versions.version(folder).name == "warehouse-000001-x.duckdb"
    assert len(ask.run(folder, "pages/jobs")) == len(ask.run(sample_shop, "pages/jobs"))


def test_a_command_says_of_which_version_its_numbers_are(twice: Path, capsys):
    damage(current(twice), 0)
    assert cli.main(["measure", "callbacks", "--db", str(twice)]) == 0
    message = capsys.readouterr()
    assert "these numbers are of the version before it, warehouse-000001-" in message.err
    assert message.err.count("\n") == 1


def test_no_version_left_is_an_error_with_the_remedy(twice: Path):
    for path in twice.glob("warehouse-*"):
        damage(path, 0)
    with pytest.raises(NoData, match="ohmhours restore FILE"):
        jobs(twice)


def test_a_load_never_goes_on_from_a_damaged_version_by_itself(twice: Path, tmp_path: Path):
    """Its rows would be lost without a word."""
    damage(current(twice))
    before = sorted(path.name for path in twice.iterdir())
    with pytest.raises(LoadError, match="damaged, nothing was changed; bring a backup back"):
        load([tmp_path / "in"], twice)
    assert sorted(path.name for path in twice.iterdir()) == before


def test_a_newer_schema_is_distinguished_from_an_older_one(twice: Path, tmp_path: Path):
    path = current(twice)
    with duckdb.connect(str(path)) as connection:
        connection.execute("UPDATE core.settings SET value = '999' WHERE key = 'schema_version'")
    with pytest.raises(LoadError, match="newer version of this program; update the program"):
        load([tmp_path / "in"], twice)
    assert jobs(twice) == 1
    assert "update the program" in versions.find(twice).notice


def test_a_load_rebuilds_a_version_of_an_older_schema(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS)
    with duckdb.connect(str(current(folder))) as connection:
        connection.execute("UPDATE core.settings SET value = '2' WHERE key = 'schema_version'")
        connection.execute("ALTER TABLE raw.readings DROP COLUMN nameplate")
    with pytest.raises(NoData, match="older version of this program; run ohmhours load"):
        jobs(folder)
    load([tmp_path / "in"], folder)
    assert jobs(folder) == 1


def test_a_schema_too_old_to_migrate_is_reported(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS)
    with duckdb.connect(str(current(folder))) as connection:
        connection.execute("UPDATE core.settings SET value = '1' WHERE key = 'schema_version'")
        connection.execute("DROP TABLE raw.accepted_words")
    with pytest.raises(LoadError, match=r"too old .* load all files again into a new --db"):
        load([tmp_path / "in"], folder)


def test_a_pointer_that_is_no_text_says_so(twice: Path):
    (twice / "CURRENT").write_bytes(b"\xff\xfe\x00")
    assert jobs(twice) == 2
    with pytest.raises(PublishError, match="ohmhours undo"):
        current(twice)


def test_a_load_without_the_key_of_earlier_loads_is_refused(twice: Path, tmp_path: Path):
    """A new key would be made without a word, and no appliance recognised any more."""
    (twice / "unit.key").unlink()
    with pytest.raises(KeyFileError, match="the key is gone; bring it back from a backup"):
        load([tmp_path / "in"], twice)
    assert not (twice / "unit.key").exists()
