"""The two noted changes of the sample shop: what was drawn is what is said of them."""

import csv
from datetime import date
from pathlib import Path

import pytest

from dashboard.access.reader import Reader, Refused, read_as
from dashboard.access.roles import PRICING
from dashboard.changes.compute import WORKED, WORSE
from dashboard.changes.load import Judged, judged_changes, may_meet
from dashboard.changes.sheet import as_text, html, sheet_of
from dashboard.database.query import run
from dashboard.database.snapshot import Snapshot, take
from dashboard.month.load import month_html, month_review
from dashboard.notes.changes import Change, read_changes
from dashboard.notes.sample import note_sample

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
