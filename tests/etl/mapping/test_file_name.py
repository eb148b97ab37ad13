"""A mapping's file has a name that every system takes, and that a backup brings back."""

from pathlib import Path

import pytest

from etl.backup import backup
from etl.mapping.file_name import mapping_file_name
from etl.mapping.mapping import mapping_from
from etl.mapping.toml_writer import mapping_text
from etl.restore import restore
from tests.etl.mapping.test_mapping import GOOD
from tests.shop_builder import shop

NAMES = (
    "Acme Inc.",
    "a/b",
    "..",
    "CON",
    "x" * 500,
    "Ünïcode & Söhne",
    "a\x1b[2J",
    "  ",
    "C:\\x",
    "n\n",
)
JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition
A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired
"""


@pytest.mark.parametrize("name", NAMES)
def test_the_name_is_plain_and_short(name: str):
    made = mapping_file_name(name)
    assert made.endswith(".toml")
    assert (
        made.removesuffix(".toml").replace("_", "").replace("-", "").isalnum() or "mapping" in made
    )
    assert len(made) < 90
    assert made.lower() != "con.toml"


def test_a_shop_with_mappings_of_any_name_is_backed_up_and_restored(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS)
    (folder / "mappings").mkdir()
    for name in NAMES:
        mapping = mapping_from(GOOD | {"name": name}, "x")
        (folder / "mappings" / mapping_file_name(name)).write_text(mapping_text(mapping))
    backup(folder, tmp_path / "shop.zip")
    restore(tmp_path / "shop.zip", tmp_path / "new")
    kept = sorted(path.name for path in (folder / "mappings").iterdir())
    assert sorted(path.name for path in (tmp_path / "new" / "mappings").iterdir()) == kept
    assert len(kept) >= len(NAMES) - 1
