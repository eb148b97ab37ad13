"""The same records and settings give the same numbers, to the byte, wherever and whenever."""

import json
import os
import shutil
import subprocess
import sys
from importlib.resources import files
from pathlib import Path

import pytest

FILES = sorted(
    path
    for path in Path(str(files("sample_data"))).iterdir()
    if path.suffix in (".csv", ".parquet", ".jsonl", ".xlsx") and path.name != "truth.csv"
)
KEY = "5a" * 32
HERE = {"TZ": "UTC", "LC_ALL": "C.UTF-8", "PYTHONHASHSEED": "0"}
ELSEWHERE = {
    "TZ": "Pacific/Kiritimati",
    "LC_ALL": "C",
    "PYTHONHASHSEED": "4711",
    "PYTHONUTF8": "0",
    "PYTHONCOERCECLOCALE": "0",  # with LC_ALL=C: files are ASCII unless the program says otherwise
}


def numbers(
    folder: Path, key: str, environment: dict[str, str], *options: str, paths: list[Path] = FILES
) -> dict[str, str]:
    """Load the sample shop in a process of its own, and return the hash of each number."""
    folder.mkdir()
    (folder / "unit.key").write_text(key, encoding="ascii")
    command = [sys.executable, "-m", "tests.trust.numbers", str(folder), *map(str, paths)]
    done = subprocess.run(
        [*command, *options],
        env=os.environ | environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def german(place: Path) -> dict[str, str]:
    """Return the environment of a language with decimal commas, where one can be made."""
    if shutil.which("localedef"):
        place = place / "de_DE.UTF-8"
        subprocess.run(["localedef", "-i", "de_DE", "-f", "UTF-8", place], check=False)
    return {"LOCPATH": str(place.parent), "LC_ALL": "de_DE.UTF-8"}


@pytest.fixture(scope="module")
def here(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """The hashes that the others are compared with."""
    return numbers(tmp_path_factory.mktemp("here") / "db", KEY, HERE, "--threads", "1")


@pytest.mark.slow
def test_no_number_depends_on_clock_place_language_threads_or_order(here, tmp_path: Path):
    """All variations at once: where nothing differs, none of them matters."""
    elsewhere = numbers(
        tmp_path / "elsewhere",
        KEY,
        ELSEWHERE,
        *("--threads", "7", "--days-later", "400"),
        paths=FILES[::-1],
    )
    abroad = HERE | german(tmp_path) | {"TZ": "America/New_York"}
    again = numbers(tmp_path / "again", KEY, abroad, "--threads", "2")
    assert len(here) > 100
    assert {name for name in here if here[name] != elsewhere[name]} == set()
    assert {name for name in here if here[name] != again[name]} == set()


@pytest.mark.slow
def test_another_key_or_record_changes_the_hashes(here, tmp_path: Path):
    """The test above could see a difference if there were one."""
    fewer = numbers(tmp_path / "fewer", "5b" * 32, HERE, "--threads", "1", paths=FILES[:-1])
    differ = {name for name in here if here[name] != fewer[name]}
    assert {'old."raw"."jobs"', 'old."core"."job_facts"', "2026-03", "first_time_fix"} <= differ
