"""Changes, targets and talks: written in one step, checked, for their roles, in backups."""

from concurrent.futures import ThreadPoolExecutor
from datetime import date
from pathlib import Path

import pytest

from dashboard.access.page_roles import LEAD, OWNER, TECHNICIAN
from dashboard.access.reader import Reader, Refused, read_as
from dashboard.cli.backup_commands import figures
from dashboard.notes.changes import (
    FILE,
    note_change,
    note_target,
    read_changes,
    read_targets,
    remove_change,
)
from dashboard.notes.file import NotesError
from dashboard.notes.sample import forget_sample, note_sample
from dashboard.notes.talks import last_talk, note_talk
from etl.backup import backup
from etl.restore import restore
from tests.shop_builder import shop

ONE_JOB = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition
A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired
"""
KIT = {
    "changed_on": date(2026, 4, 6),
    "what": 'a "kit" on the vans',
    "measure": "part_needed",
    "way": "down",
}


@pytest.fixture(autouse=True)
def no_reader_stays():
    yield
    read_as(None)


def test_what_was_noted_is_read_again(tmp_path: Path):
    note_change(tmp_path, **KIT, branch=["North"])
    note_change(tmp_path, **KIT | {"changed_on": date(2025, 1, 1)})
    note_target(tmp_path, measure="first_time_fix", value=0.7, by=date(2026, 12, 31))
    later, kit = read_changes(tmp_path)
    assert (later.id, kit.id) == (2, 1)
    assert kit.what == KIT["what"]
    assert kit.branch == ["North"]
    assert read_targets(tmp_path)[0].value == 0.7
    remove_change(tmp_path, 2)
    assert [each.id for each in read_changes(tmp_path)] == [1]
    assert len(read_targets(tmp_path)) == 1


def test_a_measure_has_one_target(tmp_path: Path):
    for value in (0.7, 0.8):
        note_target(tmp_path, measure="first_time_fix", value=value, by=date(2026, 12, 31))
    assert [each.value for each in read_targets(tmp_path)] == [0.8]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[[change]]\nid = 1\n", "[[change]] 1: changed_on"),
        ("change = 3\n", "must be at most"),
        ("[[change\n", "not a TOML file"),
        (
            '[[change]]\nid = 1\nchanged_on = 2026-01-01\nwhat = "x"\nmeasure = "luck"\nway = "up"\n',
            "measure",
        ),
        (
            '[[change]]\nid = 1\nchanged_on = 2026-01-01\nwhat = "a\\u0007b"\nmeasure = "wrong"\nway = "up"\n',
            "what",
        ),
    ],
)
def test_a_wrong_file_is_named_with_the_entry(tmp_path: Path, text: str, said: str):
    (tmp_path / FILE).write_text(text, encoding="utf-8")
    with pytest.raises(NotesError) as problem:
        read_changes(tmp_path)
    assert said in str(problem.value)
    assert "\n" not in str(problem.value)
    with pytest.raises(NotesError):
        note_change(tmp_path, **KIT)
    assert (tmp_path / FILE).read_text(encoding="utf-8") == text


def test_notes_of_many_at_once_are_all_kept(tmp_path: Path):
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda _: note_change(tmp_path, **KIT), range(12)))
    assert [each.id for each in read_changes(tmp_path)] == list(range(1, 13))


@pytest.mark.parametrize("role", [LEAD, TECHNICIAN])
def test_only_the_owner_notes_changes(tmp_path: Path, role: str):
    read_as(Reader(role, "x@example.org", "Ann"))
    for action in (
        lambda: note_change(tmp_path, **KIT),
        lambda: note_target(tmp_path, measure="wrong", value=0.1, by=date(2026, 1, 1)),
        lambda: remove_change(tmp_path, 1),
    ):
        with pytest.raises(Refused):
            action()
    assert not (tmp_path / FILE).exists()


def test_the_lead_notes_talks_and_a_technician_does_not(tmp_path: Path):
    read_as(Reader(LEAD, "x@example.org"))
    note_talk(tmp_path, "Ann", date(2026, 3, 1), "test before replacing", "not_tested")
    note_talk(tmp_path, "Ann", date(2026, 6, 1), "the same", "not_tested")
    note_talk(tmp_path, "Ann", date(2026, 6, 1), "write readings down", None)
    read_as(Reader(TECHNICIAN, "x@example.org", "Ann"))
    with pytest.raises(Refused):
        note_talk(tmp_path, "Ann", date(2026, 7, 1), "none", None)
    assert last_talk(tmp_path, "Ann").agreed == "write readings down"
    assert last_talk(tmp_path, "Bob") is None


def test_notes_are_in_a_backup_and_come_back(tmp_path: Path):
    folder = shop(tmp_path, jobs=ONE_JOB)
    read_as(Reader(OWNER))
    note_change(folder, **KIT)
    note_talk(folder, "Ann", date(2026, 3, 1), "test first", None)
    parts = backup(folder, tmp_path / "shop.zip", figures)
    assert {"changes.toml", "talks.toml"} <= {part.name for part in parts}
    restore(tmp_path / "shop.zip", tmp_path / "again")
    assert read_changes(tmp_path / "again") == read_changes(folder)
    assert last_talk(tmp_path / "again", "Ann").agreed == "test first"


def test_a_backup_with_notes_that_cannot_be_read_is_refused(tmp_path: Path):
    folder = shop(tmp_path, jobs=ONE_JOB)
    (folder / FILE).write_text("[[change]]\n", encoding="utf-8")
    with pytest.raises(Exception, match=r"changes.toml, \[\[change\]\] 1: id"):
        backup(folder, tmp_path / "shop.zip", figures)
    assert not (tmp_path / "shop.zip").exists()


def test_the_notes_of_the_sample_go_with_it_and_own_ones_stay(tmp_path: Path):
    note_sample(tmp_path)
    assert len(read_changes(tmp_path)) == 2
    forget_sample(tmp_path)
    assert not (tmp_path / FILE).exists()
    note_change(tmp_path, **KIT)
    note_sample(tmp_path)
    forget_sample(tmp_path)
    assert [each.what for each in read_changes(tmp_path)] == [KIT["what"]]
