"""The technician's card: planted findings, whose card it is, and its parts by hand."""

from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from dashboard.access.page_roles import LEAD, PRICING, TECHNICIAN
from dashboard.access.reader import Reader, read_as
from dashboard.card import compute
from dashboard.card.load import card_of, technicians
from dashboard.card.paper import as_text, html
from dashboard.card.sentences import METER_IS_ELSEWHERE
from dashboard.database.snapshot import take
from dashboard.database.version import NoData
from dashboard.evidence.chance import PartChance
from dashboard.filters import Filters
from dashboard.notes.talks import note_talk
from sample_data.shop import GUESSING_TECHNICIAN, METER_TECHNICIAN, TECHNICIANS
from tests.ask import measure
from tests.shop_builder import shop

EVER = Filters(from_date=date(2025, 1, 1), to_date=date(2026, 12, 31))


@pytest.fixture(autouse=True)
def no_reader_stays():
    yield
    read_as(None)


def count(pattern: str | None, shown: int, expected: float, verdict: str) -> compute.Counted:
    return compute.Counted(pattern, shown, 100, expected, verdict)


def test_three_patterns_at_most_and_none_within_the_normal_range():
    found = [
        count("not_tested", 30, 10.0, "different"),
        count("against", 20, 10.0, "look"),
        count("missed", 22, 10.0, "look"),
        count("several", 18, 10.0, "look"),
        count(None, 14, 10.0, "inside"),
    ]
    assert [each.pattern for each in compute.standing_out(found)] == [
        "not_tested", "missed", "against",
    ]  # fmt: skip
    assert compute.going_well(found) == []
    assert compute.going_well([count(None, 2, 10.0, "different")])[0].pattern is None


def test_few_jobs_have_no_verdict():
    row = pd.DataFrame(
        {"asked": [12], "with_pattern": [9], "expected": [2.0], "funnel": ["different"]}
    )
    assert compute.counted("missed", row, 20).verdict == "too few"
    assert compute.counted("missed", row, 10).verdict == "different"


def parts(**columns) -> pd.DataFrame:
    size = len(columns["job_id"])
    usual = {
        "closed_on": [pd.Timestamp(2026, 1, 1)] * size, "is_wrong": [False] * size,
        "evidence": ["not tested"] * size, "log_ratio": [0.0] * size,
        "log_odds": [0.0] * size, "is_second": [False] * size,
    }  # fmt: skip
    return pd.DataFrame(usual | columns)


def test_wrong_jobs_and_the_least_likely_parts_are_told_the_newest_first():
    """Bayes' rule with a prior of 1/2: odds of 1/3, 1 and 3 are 25, 50 and 75%."""
    even = PartChance(100, 50, 1.0, None)
    rows = parts(
        job_id=["A", "B", "C", "D", "E"],
        log_ratio=[np.log(3), 0.0, np.log(1 / 3), 0.0, -9.0],
        is_wrong=[True, None, False, False, True],
        evidence=["not tested", "not tested", "not tested", "not tested", "supported"],
        closed_on=[pd.Timestamp(2026, 1, day) for day in (2, 9, 4, 3, 1)],
    )
    found = compute.telling("not_tested", rows, even)
    assert found["job_id"].tolist() == ["B", "C", "A"]
    assert found["chance"].tolist() == pytest.approx([0.5, 0.25, 0.75])
    again = compute.telling("not_tested", rows, even, {"A", "C"})
    assert again["job_id"].tolist() == ["B", "D"]


def test_the_planted_guesser_is_asked_for_the_reading(sample_shop: Path):
    card = card_of(take(sample_shop), GUESSING_TECHNICIAN, EVER)
    first = card.patterns[0]
    assert first.name == "Replaced without testing"
    assert "Which reading condemned this part?" in first.question
    assert len(first.jobs) == 3
    whole = measure(
        sample_shop, "misdiagnosis", EVER, group_by="technician", pattern="not_tested"
    ).set_index("group")
    row = whole.loc[GUESSING_TECHNICIAN]
    assert f"{row.with_pattern:,.0f} of {row.asked:,.0f} jobs, {row.expected:.0f}" in first.finding


def test_the_meter_that_reads_high_is_on_its_card_only(sample_shop: Path):
    snapshot = take(sample_shop)
    named = {
        each.name
        for each in TECHNICIANS
        if any("to be checked" in line for line in card_of(snapshot, each.name, EVER).meter)
    }
    assert named == {METER_TECHNICIAN}


def test_no_job_is_listed_under_two_patterns(sample_shop: Path):
    card = card_of(take(sample_shop), GUESSING_TECHNICIAN, EVER)
    jobs = [job for each in card.patterns for job in each.jobs["job_id"]]
    assert len(jobs) == len(set(jobs))


def test_a_technician_gets_his_own_card_whoever_is_named(sample_shop: Path):
    read_as(Reader(TECHNICIAN, "q@example.org", "Quarles"))
    snapshot = take(sample_shop)
    assert technicians(snapshot) == ["Quarles"]
    card = card_of(snapshot, GUESSING_TECHNICIAN, EVER)
    assert card.technician == "Quarles"
    assert card.meter == (METER_IS_ELSEWHERE,)
    text = html(card) + as_text(card)
    assert not [t.name for t in TECHNICIANS if t.name != "Quarles" and t.name in text]


def test_his_own_card_says_the_same_as_the_lead_sees(sample_shop: Path):
    read_as(Reader(LEAD, "l@example.org"))
    seen = card_of(take(sample_shop), "Quarles", EVER)
    read_as(Reader(TECHNICIAN, "q@example.org", "Quarles"))
    own = card_of(take(sample_shop), "Quarles", EVER)
    assert (own.well, own.first_time_fix) == (seen.well, seen.first_time_fix)
    assert [each.finding for each in own.patterns] == [each.finding for each in seen.patterns]


def test_pricing_gets_no_card(sample_shop: Path):
    read_as(Reader(PRICING, "p@example.org"))
    with pytest.raises(Exception, match="does not open"):
        card_of(take(sample_shop), "Quarles", EVER)


def test_an_unknown_name_is_answered_with_the_known_ones(sample_shop: Path):
    with pytest.raises(NoData, match="Abara"):
        card_of(take(sample_shop), "Nobody", EVER)


def test_the_last_talk_and_what_moved_since_are_on_the_card(tmp_path: Path):
    days = [f"2026-0{m}-{d:02d}" for m in (1, 2, 3, 4) for d in range(1, 26)]
    jobs = ["job_id|opened_on|closed_on|appliance_kind|symptom|disposition|serial|root_cause"]
    visits = ["job_id|visit_no|technician|arrived_at|minutes_on_job|outcome"]
    for number, day in enumerate(days):
        jobs.append(f"{number}|{day}|{day}|washer|wont_drain|repaired|S{number}|drain_pump_worn")
        visits.append(f"{number}|1|{'Ann' if number % 2 else 'Bob'}|{day} 09:00|30|completed")
    folder = shop(tmp_path, jobs="\n".join(jobs), visits="\n".join(visits))
    note_talk(folder, "Ann", date(2026, 3, 1), "look twice", "wrong")
    card = card_of(take(folder), "Ann")
    assert "Last talk Mar 1, 2026: look twice" in card.since_talk
    assert "Wrong diagnosis: 0 of 25 jobs" in card.since_talk
    assert "No talk" in card_of(take(folder), "Bob").since_talk


def test_the_paper_has_no_rank_and_no_score(sample_shop: Path):
    text = html(card_of(take(sample_shop), GUESSING_TECHNICIAN, EVER))
    assert "Agreed today" in text
    assert "no rank" in text
    assert "<script" not in text
