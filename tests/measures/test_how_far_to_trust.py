"""What each page can find in the sample shop: the plants are larger than that, and shops of few jobs."""

from pathlib import Path

from tests.ask import measure
from tests.shop_builder import shop


def test_every_page_says_what_it_finds_in_the_sample_shop(sample_shop: Path):
    rows = measure(sample_shop, "how_far_to_trust").set_index("page")
    assert rows.notna().all(axis=None)
    assert rows.loc["misdiagnosis", "found"] > rows.loc["misdiagnosis", "usual"]
    assert rows.loc["early_parts", "found"] > rows.loc["early_parts", "usual"]
    assert rows.loc["month_signals", "found"] < rows.loc["month_signals", "usual"]
    assert 0 < rows.loc["meter_check", "found"] < 0.12  # the planted meter is off by 12 %
    flags = rows["false_flags"].drop("flat_rate")
    assert flags.between(0, 0.08).all()


def test_of_a_few_jobs_it_cannot_be_said(tmp_path: Path):
    jobs = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
    A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | one
    """
    rows = measure(shop(tmp_path, jobs=jobs), "how_far_to_trust").set_index("page")
    assert rows["found"].isna().all()


def test_no_records_give_no_rows(tmp_path: Path):
    jobs = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
    A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | declined    | one
    """
    assert measure(shop(tmp_path, jobs=jobs), "how_far_to_trust").empty
