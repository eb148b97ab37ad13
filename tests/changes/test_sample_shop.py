"""The two noted changes of the sample shop: what was drawn is what is said of them."""

import csv
from datetime import date
from pathlib import Path

import pytest

from dashboard.access.page_roles import PRICING
from dashboard.access.reader import Reader, Refused, read_as
from dashboard.changes.compute import WORKED, WORSE
from dashboard.changes.load import Judged, asked, judged_changes, may_meet
from dashboard.changes.sheet import as_text, html, sheet_of
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot, take
from dashboard.month.load import month_html, month_review
from dashboard.notes.changes import Change, note_change, note_target, read_changes
from dashboard.notes.file import NotesError
from dashboard.notes.sample import note_sample
from dashboard.text import format as words
from tests.test_pages import check, opened, texts

TRUTH = Path(__file__).parents[2] / "sample_data" / "truth.csv"


@pytest.fixture
def snapshot(sample_shop: Path, tmp_path: Path) -> Snapshot:
    """The sample shop as the pages see it after `ohmhours demo`, in a folder of its own."""
    for path in sample_shop.iterdir():
        (tmp_path / path.name).symlink_to(path)
    note_sample(tmp_path)
    return take(tmp_path)


def by_day(snapshot: Snapshot) -> dict[str, Judged]:
    return {str(each.change.changed_on): each for each in judged_changes(snapshot)}


def test_what_is_noted_is_what_was_drawn(snapshot: Snapshot):
    with TRUTH.open(encoding="utf-8") as file:
        drawn = [row["changed_on"] for row in csv.DictReader(file) if row["record"] == "change"]
    assert sorted(drawn) == [str(each.changed_on) for each in read_changes(snapshot.folder)]


def test_the_kit_worked_and_the_bad_month_before_it_is_left_out(snapshot: Snapshot):
    kit = by_day(snapshot)["2026-04-06"]
    assert kit.effect.verdict == WORKED
    assert "2026-03" in kit.effect.bad_months
    assert kit.effect.rest is None


def test_the_question_on_the_phone_is_compared_with_the_other_branch(snapshot: Snapshot):
    asked = by_day(snapshot)["2025-11-03"]
    assert asked.effect.rest is not None
    assert asked.effect.verdict not in (WORKED, WORSE)
    assert asked.effect.effect.low < 0 < asked.effect.effect.high
    assert [each.changed_on.isoformat() for each in asked.cut_by] == ["2026-04-06"]


def test_page_paper_and_command_say_the_same(snapshot: Snapshot):
    sheet = sheet_of(snapshot)
    for text in (html(sheet), as_text(sheet)):
        assert "It worked." in text
        assert "Target: first-time fix 75% in December 2026." in text


def test_the_month_shows_target_marks_and_what_is_missing(snapshot: Snapshot):
    found = month_review(snapshot, "2026-05")
    assert len(found.marks) == 2
    assert "Write down first" in found.not_written
    paper = month_html(snapshot, "2026-05")
    assert "A kit of the parts" in paper
    assert "Target: first-time fix" in paper
    assert len(month_review(snapshot, "2026-02").marks) == 1


def test_pricing_sees_no_changes(sample_shop: Path):
    read_as(Reader(PRICING, "p@example.org"))
    try:
        with pytest.raises(Refused):
            run(take(sample_shop), "pages/change_jobs")
    finally:
        read_as(None)


def change(**touched: list[str]) -> Change:
    usual = {
        "id": 1,
        "changed_on": date(2026, 1, 1),
        "what": "x",
        "measure": "wrong",
        "way": "down",
    }
    return Change(**usual, **touched)


def test_changes_of_two_branches_do_not_meet():
    assert not may_meet(change(branch=["A"]), change(branch=["B"]))
    assert may_meet(change(branch=["A"]), change(technician=["Ann"]))
    assert may_meet(change(branch=["A"]), change())


def test_a_change_of_minutes_is_judged_by_its_mean(snapshot: Snapshot, monkeypatch):
    """The page, the sheet and the list agree on jobs and minutes after the change."""
    note_change(
        snapshot.folder, changed_on=date(2026, 6, 1), what="heater kits sorted", way="down",
        measure="minutes", appliance_kind=["refrigerator"],
    )  # fmt: skip
    (judged,) = [each for each in judged_changes(snapshot) if each.change.measure == "minutes"]
    after = judged.effect.touched.after
    jobs = run(
        snapshot, "pages/change_jobs", is_after=True, is_touched=True, hits=False,
        **asked(judged.change, judged.first, judged.last),
    )  # fmt: skip
    left = jobs[~jobs["closed_on"].astype(str).str[:7].isin(judged.effect.special_months)]
    assert (after.jobs, after.amount) == (len(left), left["labour_min"].sum())
    text = as_text(sheet_of(snapshot))
    assert f"({words.counted(after.jobs, 'job')}" not in text
    assert f", {words.counted(after.jobs, 'job')}" in text
    assert "Minutes per job should go down." in text
    app = opened("changes", snapshot.folder, monkeypatch, change="Jun 1, 2026: heater kits sorted")
    check(app)
    assert "Minutes per job" in texts(app)
    assert words.counted(len(jobs), "job") in texts(app)


def test_a_target_is_a_share(snapshot: Snapshot):
    with pytest.raises(NotesError, match="measure"):
        note_target(snapshot.folder, measure="minutes", value=0.5, by=date(2026, 12, 31))
