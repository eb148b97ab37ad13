"""A folder, a backup and a mapping of every schema ever landed open in this version and go on."""

import zipfile
from pathlib import Path

import pytest

from dashboard.cli import main as cli
from etl.folder.publish import current
from etl.folder.schema import settings_of
from etl.folder.shop_key import FINGERPRINT
from etl.mapping.mapping import bundled_mappings, read_mapping
from tests.trust.attacks.calls import called

SCHEMAS = sorted(path.name for path in Path(__file__).parent.glob("schema_*"))
RETURN = (
    "Ticket,Taken,Closed,Machine,Says,We found,Ended,Customer,Serial,Tech,Freezer coil ohms\n"
    "106,03/29/2026,03/30/2026,refrigerator,freezer cold fridge warm,,fixed it,Client A,sa 1,Ben,\n"
)


def place(schema: str) -> Path:
    return Path(__file__).parent / schema


def opened(schema: str, kind: str, target: Path) -> Path:
    """Return a database folder that an older version wrote, or that its backup gives."""
    if kind == "backup":
        code, _, message = called("restore", place(schema) / "shop.zip", "--db", target)
        assert code == 0, message
        return target
    with zipfile.ZipFile(place(schema) / "folder.zip") as archive:
        archive.extractall(target)
    return target


def callbacks(folder: Path) -> tuple[int, int]:
    """Return the repairs and the callbacks that the command shows."""
    code, out, message = called("measure", "callbacks", "--format", "csv", "--db", folder)
    assert code == 0, message
    head, row = (line.split(",") for line in out.splitlines()[:2])
    found = dict(zip(head, row, strict=True))
    return int(found["repaired"]), int(found["callbacks_in_window"])


@pytest.mark.parametrize("kind", ["folder", "backup"])
@pytest.mark.parametrize("schema", SCHEMAS)
def test_it_opens_gives_the_same_figures_and_goes_on(schema: str, kind: str, tmp_path: Path):
    folder = opened(schema, kind, tmp_path / "db")
    code, _, message = called("load", place(schema) / "own_jobs.csv", "--db", folder)
    assert code == 0, message
    assert callbacks(folder) == (4, 1)
    assert FINGERPRINT in (settings_of(current(folder)) or {})
    later = tmp_path / "own_jobs_later.csv"
    later.write_text(RETURN, encoding="utf-8")
    code, _, message = called("load", later, "--db", folder)
    assert code == 0, message
    assert callbacks(folder) == (5, 2)  # its key knows the unit: 103 came back too
    assert cli.main(["explain", "104", "--db", str(folder)]) == 0  # "all soap" is still leaks
    assert called("quarantine", "--db", folder)[1].count("1 rows") == 1
    assert called("backup", tmp_path / "again.zip", "--db", folder)[0] == 0


@pytest.mark.parametrize("schema", SCHEMAS)
def test_its_mapping_is_read(schema: str, tmp_path: Path):
    folder = opened(schema, "folder", tmp_path / "db")
    own = bundled_mappings(folder / "mappings")[0]
    assert own == read_mapping(place(schema) / "own.toml")
    assert own.words["disposition"] == {"fixed it": "repaired"}
