"""Adding an export to a large version gives, table by table, what building everything gives."""

import random
import shutil
from contextlib import closing
from datetime import date
from pathlib import Path

import duckdb
import pytest

from etl import incremental as added
from etl.folder.publish import current
from etl.folder.schema import settings_of
from etl.load import load
from tests.bench.messy_jobs import make

LAST_DAY = date(2030, 1, 1)  # after every date of the drawn records
JOBS_HEADER = (
    "job_id,opened_on,closed_on,appliance_kind,symptom,disposition,customer,charged,corrects_row"
)


@pytest.fixture(scope="module")
def parts(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Messy records dealt into two folders; the second repeats some rows of the first."""
    folder = tmp_path_factory.mktemp("messy")
    make(1_200, folder / "all")
    draw = random.Random(20261125)
    for path in sorted((folder / "all").glob("*.csv")):
        header, *lines = path.read_text(encoding="utf-8").splitlines()
        late = set(draw.sample(range(len(lines)), len(lines) // 30))
        again = set(draw.sample(range(len(lines)), len(lines) // 60))
        deal = {
            "first": [line for i, line in enumerate(lines) if i not in late],
            "second": [line for i, line in enumerate(lines) if i in late | again],
        }
        for name, dealt in deal.items():
            (folder / name).mkdir(exist_ok=True)
            (folder / name / path.name).write_text("\n".join([header, *dealt]) + "\n", "utf-8")
    return folder / "first", folder / "second"


@pytest.fixture
def verdicts(monkeypatch: pytest.MonkeyPatch) -> list[bool]:
    """Treat every version as large; collect whether rows were added (True) or all was rebuilt."""
    found = []
    add_touched = added.add_touched

    def watched(*arguments: object) -> bool:
        found.append(add_touched(*arguments))
        return found[-1]

    monkeypatch.setattr(added, "LARGE_BYTES", 0)
    monkeypatch.setattr(added, "add_touched", watched)
    return found


def differing(one: Path, other: Path) -> list[str]:
    """Name the tables of two databases that differ in any row, but for the time of loading."""
    with closing(duckdb.connect()) as connection:
        for name, folder in (("one", one), ("other", other)):
            connection.execute(f"ATTACH '{current(folder)}' AS {name} (READ_ONLY)")
        tables = connection.execute(
            "SELECT schema_name || '.' || table_name FROM duckdb_tables() "
            "WHERE database_name = 'one' AND table_name <> 'loads' ORDER BY 1"
        ).fetchall()
        assert len(tables) > 25
        return [
            table
            for (table,) in tables
            if connection.execute(
                f"(FROM one.{table} EXCEPT ALL FROM other.{table}) UNION ALL "
                f"(FROM other.{table} EXCEPT ALL FROM one.{table})"
            ).fetchall()
        ]


def write(path: Path, *lines: str) -> Path:
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_added_rows_give_what_building_everything_gives(parts, verdicts, tmp_path, monkeypatch):
    first, second = parts
    load([first], tmp_path / "added", today=LAST_DAY)
    shutil.copytree(tmp_path / "added", tmp_path / "rebuilt")
    account = load([second], tmp_path / "added", today=LAST_DAY)
    monkeypatch.setattr(added, "LARGE_BYTES", 2**60)
    assert load([second], tmp_path / "rebuilt", today=LAST_DAY) == account
    assert verdicts == [True]
    assert differing(tmp_path / "added", tmp_path / "rebuilt") == []


def test_the_comparison_sees_one_changed_cell(parts, tmp_path):
    load([parts[0]], tmp_path / "one", today=LAST_DAY)
    shutil.copytree(tmp_path / "one", tmp_path / "other")
    with closing(duckdb.connect(str(current(tmp_path / "other")))) as connection:
        connection.execute(
            "UPDATE core.job_facts SET symptom = 'changed' "
            "WHERE job_id = (SELECT min(job_id) FROM core.job_facts)"
        )
    assert differing(tmp_path / "one", tmp_path / "other") == ["core.job_facts"]


def test_a_row_that_corrects_a_waiting_one_forces_a_full_rebuild(verdicts, tmp_path):
    """The waiting row may belong to any job, or to none."""
    waiting = write(
        tmp_path / "jobs.csv", JOBS_HEADER, ",2026-01-01,2026-01-02,washer,leaks,repaired,c,9,"
    )
    corrected = write(
        tmp_path / "corrected.csv",
        JOBS_HEADER,
        "A,2026-01-01,2026-01-02,washer,leaks,repaired,c,9,1-2",
    )
    load([waiting], tmp_path / "db", today=LAST_DAY)
    load([corrected], tmp_path / "db", today=LAST_DAY)
    assert verdicts == [False]
    with closing(duckdb.connect(str(current(tmp_path / "db")), read_only=True)) as connection:
        accounts = connection.execute("SELECT loaded, superseded FROM core.accounts").fetchall()
    assert accounts == [(0, 1), (1, 0)]


def test_readings_of_a_source_that_had_none_force_a_full_rebuild(verdicts, tmp_path):
    """Whether a job shows no evidence is asked only where its source records readings at all."""
    jobs = write(
        tmp_path / "jobs.csv",
        JOBS_HEADER,
        "A,2026-01-01,2026-01-02,dryer_electric,no heat,repaired,c,9,",
        "B,2026-01-01,2026-01-02,dryer_electric,no heat,repaired,d,9,",
    )
    readings = write(
        tmp_path / "readings.csv", "job_id,test_point,value,unit", "A,heating_element_ohm,10,ohm"
    )
    load([jobs], tmp_path / "db", today=LAST_DAY)
    load([readings], tmp_path / "db", today=LAST_DAY)
    assert verdicts == [False]
    with closing(duckdb.connect(str(current(tmp_path / "db")), read_only=True)) as connection:
        measured = connection.execute(
            "SELECT job_id, is_measured FROM core.job_patterns"
        ).fetchall()
    assert sorted(measured) == [("A", True), ("B", True)]


@pytest.mark.parametrize("what", ["settings", "limits", "program"])
def test_another_program_setting_or_limit_forces_a_full_rebuild(
    what, parts, verdicts, tmp_path, monkeypatch
):
    load([parts[0]], tmp_path / "db", today=LAST_DAY)
    settings = {"as_of": "2029-01-01"} if what == "settings" else None
    if what == "limits":
        write(tmp_path / "db" / "limits.csv", "test_point,kind,low,high", "supply_l1_l2_v,,200,260")
    if what == "program":
        monkeypatch.setattr(added, "program", lambda: "another")
    load([parts[1]], tmp_path / "db", today=LAST_DAY, settings=settings)
    assert True not in verdicts


def test_a_damaged_version_is_not_added_to(parts, verdicts, tmp_path):
    """A copy would carry the damage on; the ordinary load reports it."""
    load([parts[0]], tmp_path / "db", today=LAST_DAY)
    version = current(tmp_path / "db")
    with closing(duckdb.connect(str(version), read_only=True)) as connection:
        settings = dict(connection.execute("SELECT key, value FROM core.settings").fetchall())
    whole = version.read_bytes()
    faults = 0
    for start in range(3 * 4096, len(whole), 256 * 1024):  # block by block; some are unused
        version.write_bytes(whole[:start] + bytes(4096) + whole[start + 4096 :])
        if added.fault(version):
            faults += settings_of(version) == settings
            assert not added.begin_with(version, tmp_path / "target", settings)
            assert not (tmp_path / "target").exists()
    assert faults > 0, "no damage was one that only the check of all blocks finds"
