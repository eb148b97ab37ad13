"""A backup holds a whole shop; brought back elsewhere it gives the same numbers and goes on."""

import json
import os
import random
import shutil
import stat
import subprocess
import sys
import threading
import zipfile
from pathlib import Path

import pandas as pd
import pytest

from dashboard.cli import main as cli
from dashboard.database.snapshot import take
from dashboard.measures import MEASURES
from dashboard.month.load import month_html
from etl.backup import BackupError, backup
from etl.folder.publish import Busy, PublishError, current, only_writer
from etl.load import load
from etl.mapping.accepted_words import AcceptedWord
from etl.rebuild import accept_words
from etl.restore import restore, undo
from tests import ask
from tests.ask import measure
from tests.database.test_version import damage
from tests.shop_builder import shop

JOBS = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom   | disposition | customer | serial
    A      | 2026-01-01 | 2026-01-02 | washer         | leaks     | repaired    | one      | S1
    B      | 2026-01-03 | 2026-01-04 | washer         | all wet   | repaired    | two      | S2
"""
RETURN = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer | serial
    C      | 2026-01-11 | 2026-01-12 | washer         | leaks   | repaired    | one      | S1
    D      | 2026-06-01 | 2026-06-02 | washer         | leaks   | repaired    | six      | S6
"""
MAPPING = """
name = "ours"
[[table]]
table = "jobs"
files = ["ours*.csv"]
columns = { job_id = "No", opened_on = "Taken", appliance_kind = "What", symptom = "Says", disposition = "Ended" }
"""
KILLS = 6


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A shop of two jobs with everything that can belong to one."""
    db = shop(tmp_path, jobs=JOBS)
    accept_words(db, [AcceptedWord("canonical", "symptom", "all wet", "leaks")])
    (db / "ohmhours.toml").write_text("callback_window_days = 45\n", encoding="utf-8")
    (db / "meters.csv").write_text(
        "meter,quantity,accuracy_pct,digits,resolution,counts\nM1,resistance,1,2,0.1,2000\n",
        encoding="utf-8",
    )
    (db / "mappings").mkdir()
    (db / "mappings" / "ours.toml").write_text(MAPPING, encoding="utf-8")
    return db


def jobs(folder: Path) -> int:
    return int(ask.run(folder, "pages/dataset").iloc[0].jobs)


def content(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder but the versions, whose names differ, and the lock."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and not path.name.startswith(("warehouse-", "writer.", "CURRENT"))
    }


def test_a_restored_shop_gives_the_same_numbers(sample_shop: Path, tmp_path: Path):
    backup(sample_shop, tmp_path / "shop.zip")
    elsewhere = tmp_path / "other machine" / "shop"
    restore(tmp_path / "shop.zip", elsewhere)
    for name in MEASURES:
        pd.testing.assert_frame_equal(
            measure(sample_shop, name), measure(elsewhere, name), check_exact=True
        )
    assert month_html(take(sample_shop), "2026-03") == month_html(take(elsewhere), "2026-03")


def test_everything_that_belongs_to_a_shop_comes_back(folder: Path, tmp_path: Path):
    backup(folder, tmp_path / "shop.zip")
    restore(tmp_path / "shop.zip", tmp_path / "new")
    assert content(tmp_path / "new") == content(folder)
    assert set(content(folder)) == {"unit.key", "ohmhours.toml", "meters.csv", "mappings/ours.toml"}
    assert current(tmp_path / "new").read_bytes() == current(folder).read_bytes()


def test_a_load_after_the_restore_knows_earlier_units_and_words(folder: Path, tmp_path: Path):
    """The key came back: the return of one's washer is linked to its first job."""
    backup(folder, tmp_path / "shop.zip")
    shutil.rmtree(folder)
    restore(tmp_path / "shop.zip", folder)
    shop(tmp_path, jobs=RETURN)
    assert jobs(folder) == 4
    assert measure(folder, "callbacks")["callbacks_in_window"].tolist() == [1]


def test_the_key_and_the_backup_are_readable_by_their_owner_only(folder: Path, tmp_path: Path):
    backup(folder, tmp_path / "shop.zip")
    restore(tmp_path / "shop.zip", tmp_path / "new")
    for path in (tmp_path / "shop.zip", tmp_path / "new" / "unit.key"):
        assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_the_same_state_gives_the_same_bytes(folder: Path, tmp_path: Path):
    for name in ("one.zip", "two.zip"):
        backup(folder, tmp_path / name)
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()


def test_any_zip_program_can_look_inside(folder: Path, tmp_path: Path):
    backup(folder, tmp_path / "shop.zip")
    with zipfile.ZipFile(tmp_path / "shop.zip") as archive:
        assert archive.testzip() is None
        assert archive.read("unit.key") == (folder / "unit.key").read_bytes()


def test_a_backup_never_overwrites(folder: Path, tmp_path: Path):
    (tmp_path / "shop.zip").write_text("of last week")
    with pytest.raises(BackupError, match="already exists"):
        backup(folder, tmp_path / "shop.zip")
    assert (tmp_path / "shop.zip").read_text() == "of last week"


def test_a_backup_that_cannot_be_written_leaves_no_trace(folder: Path, tmp_path: Path):
    with pytest.raises(BackupError, match=r"no/shop\.zip.* cannot be read or written"):
        backup(folder, tmp_path / "no" / "shop.zip")
    with pytest.raises(BackupError, match="nothing was loaded yet"):
        backup(tmp_path / "empty", tmp_path / "shop.zip")
    assert not list(tmp_path.glob("*.zip*"))


def test_the_next_backup_removes_what_a_killed_one_left(folder: Path, tmp_path: Path):
    """Whatever its name was; one that may still be written, and others' files, stay."""
    place = tmp_path / "kept"
    left = ["a.zip.unfinished-0a1b2c3d", "a.zip.unfinished-0a1b2c3d.trial-x_1/shop/unit.key"]
    stays = ["a.zip.unfinished-mine", "b.zip.unfinished-0a1b2c3e", "c.zip"]
    for name in (*left, *stays):
        (place / name).parent.mkdir(parents=True, exist_ok=True)
        (place / name).write_text("x", encoding="utf-8")
    for path in place.iterdir():
        if path.name != "b.zip.unfinished-0a1b2c3e":
            os.utime(path, (0, 0))
    backup(folder, place / "new.zip")
    assert sorted(path.name for path in place.iterdir()) == sorted([*stays, "new.zip"])


def test_no_backup_is_made_of_a_damaged_version(folder: Path, tmp_path: Path):
    damage(current(folder))
    with pytest.raises(BackupError, match="it is damaged; no backup was made of it"):
        backup(folder, tmp_path / "shop.zip")
    assert not (tmp_path / "shop.zip").exists()


def test_a_backup_while_loads_run_holds_one_whole_version(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS)
    made, loads, enough = [], [], threading.Event()

    def keep_loading() -> None:
        while not enough.is_set():
            accept_words(folder, [])
            loads.append(1)

    loader = threading.Thread(target=keep_loading)
    loader.start()
    while loader.is_alive() and (len(made) < 4 or len(loads) < 2):
        made.append(tmp_path / f"{len(made)}.zip")
        backup(folder, made[-1])
    enough.set()
    loader.join()
    assert len(made) > 3 and len(loads) > 1, "a load failed"
    for file in (*made[:3], *made[-3:]):
        restore(file, tmp_path / f"restored {file.name}", replaces=True)
        assert jobs(tmp_path / f"restored {file.name}") == 2


def test_a_changed_backup_is_refused_and_nothing_is_left(folder: Path, tmp_path: Path):
    """Any byte: refused, or, where the byte is none of the content, the same shop."""
    backup(folder, tmp_path / "shop.zip")
    whole = (tmp_path / "shop.zip").read_bytes()
    refused, places = 0, random.Random(7)
    for _ in range(60):
        changed = bytearray(whole)
        changed[places.randrange(len(whole))] ^= 1 << places.randrange(5)
        (tmp_path / "changed.zip").write_bytes(changed)
        try:
            restore(tmp_path / "changed.zip", tmp_path / "new")
            assert content(tmp_path / "new") == content(folder)
            assert current(tmp_path / "new").read_bytes() == current(folder).read_bytes()
            shutil.rmtree(tmp_path / "new")
        except BackupError as message:
            refused += 1
            assert "\n" not in str(message)
            assert not list(tmp_path.glob("new*"))
    assert refused > 50


@pytest.mark.parametrize("content", [b"", b"job_id,opened_on\n", b"PK\x03\x04" + b"\0" * 90])
def test_a_file_that_is_not_a_backup_is_reported(content: bytes, tmp_path: Path):
    (tmp_path / "shop.zip").write_bytes(content)
    with pytest.raises(BackupError, match="is no whole backup"):
        restore(tmp_path / "shop.zip", tmp_path / "new")
    assert not list(tmp_path.glob("new*"))


def test_a_missing_backup_is_named(tmp_path: Path):
    with pytest.raises(BackupError, match=r"gone\.zip: cannot be read .*No such file"):
        restore(tmp_path / "gone.zip", tmp_path / "new")


@pytest.mark.parametrize(
    "name", ["../evil", "/etc/passwd", "mappings/../../evil.toml", "mappings/a/b.toml", "CURRENT"]
)
def test_a_part_that_does_not_belong_is_never_written(name: str, folder: Path, tmp_path: Path):
    backup(folder, tmp_path / "shop.zip")
    with zipfile.ZipFile(tmp_path / "shop.zip") as archive:
        parts = {entry: archive.read(entry) for entry in archive.namelist()}
    contents = json.loads(parts["contents.json"])
    contents["parts"].append(contents["parts"][1] | {"name": name})
    with zipfile.ZipFile(tmp_path / "evil.zip", "w") as archive:
        for entry, value in parts.items():
            archive.writestr(entry, json.dumps(contents) if entry == "contents.json" else value)
        archive.writestr(name, parts["unit.key"])
    with pytest.raises(BackupError, match="does not belong in it"):
        restore(tmp_path / "evil.zip", tmp_path / "new")
    assert not list(tmp_path.rglob("*evil"))


def test_a_folder_with_data_is_replaced_only_on_request(folder: Path, tmp_path: Path):
    backup(folder, tmp_path / "shop.zip")
    before, version = content(folder), current(folder)
    with pytest.raises(BackupError, match="holds a shop's data already"):
        restore(tmp_path / "shop.zip", folder)
    assert (content(folder), current(folder)) == (before, version)
    (folder / "ohmhours.toml").write_text("min_jobs = 5\n", encoding="utf-8")
    kept = restore(tmp_path / "shop.zip", folder, replaces=True)
    assert content(folder) == before
    assert (kept / "ohmhours.toml").read_text(encoding="utf-8") == "min_jobs = 5\n"
    assert (kept / version.name).exists()


def test_a_folder_that_is_being_loaded_is_not_replaced(folder: Path, tmp_path: Path):
    backup(folder, tmp_path / "shop.zip")
    with only_writer(folder), pytest.raises(Busy):
        restore(tmp_path / "shop.zip", folder, replaces=True)
    assert jobs(folder) == 2


@pytest.mark.slow
def test_a_restore_killed_at_any_moment_loses_nothing(folder: Path, tmp_path: Path):
    """What was there is unchanged, or kept next to it; the next restore makes the folder whole."""
    backup(folder, tmp_path / "shop.zip")
    command = [sys.executable, "-m", "dashboard.cli.main", "restore", str(tmp_path / "shop.zip")]
    command += ["--replace", "--db", str(folder)]
    for kill in range(KILLS):
        with subprocess.Popen(command, stdout=subprocess.DEVNULL) as run:
            try:
                run.wait(1.0 + 0.15 * kill)
            except subprocess.TimeoutExpired:
                run.kill()
        places = [folder, *tmp_path.glob("db.replaced-*")]
        assert any(jobs(place) == 2 for place in places if place.exists())
    restore(tmp_path / "shop.zip", folder, replaces=True)
    assert jobs(folder) == 2
    assert not list(tmp_path.glob("db.restoring-*"))


def test_undo_goes_back_one_load_and_the_next_load_goes_on(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS)
    shop(tmp_path, jobs=RETURN)
    assert jobs(folder) == 4
    undone = current(folder).name
    undo(folder)
    assert jobs(folder) == 2
    assert (folder / f"undone-{undone}").exists()
    load([tmp_path / "in"], folder)
    assert jobs(folder) == 4


def test_undo_passes_over_damaged_versions(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS)
    for _ in range(2):
        accept_words(folder, [])
    for path in sorted(folder.glob("warehouse-*"))[1:]:
        damage(path)
    assert undo(folder).name.startswith("warehouse-000001-")
    assert jobs(folder) == 2


def test_undo_without_an_earlier_version_says_what_helps(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS)
    with pytest.raises(PublishError, match="bring a backup back"):
        undo(folder)
    assert jobs(folder) == 2


def test_the_commands_report_what_they_did(folder: Path, tmp_path: Path, capsys):
    place = ["--db", str(folder)]
    assert cli.main(["backup", str(tmp_path / "shop.zip"), *place]) == 0
    assert "mappings/ours.toml" in capsys.readouterr().out
    assert cli.main(["restore", str(tmp_path / "shop.zip"), *place]) == 1
    assert "add --replace" in capsys.readouterr().err
    assert cli.main(["restore", str(tmp_path / "shop.zip"), "--replace", *place]) == 0
    assert "is kept in" in capsys.readouterr().out
