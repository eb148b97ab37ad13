"""Months as days: ISO 8601 calendar."""

import pytest

from dashboard.month.periods import month_before, month_days, months_before


@pytest.mark.parametrize(
    ("month", "last"),
    [("2026-02", "2026-02-28"), ("2024-02", "2024-02-29"), ("2026-12", "2026-12-31")],
)
def test_a_month_ends_on_its_last_day(month: str, last: str):
    """ISO 8601: 2024 is a leap year."""
    assert str(month_days(month)[1]) == last


def test_the_twelve_months_before_end_the_day_before():
    assert [str(day) for day in months_before("2026-03", 12)] == ["2025-03-01", "2026-02-28"]
    assert month_before("2026-01") == "2025-12"


@pytest.mark.parametrize("text", ["2026-13", "March", "2026", ""])
def test_a_text_that_is_not_a_month_is_refused(text: str):
    with pytest.raises(ValueError, match=r".*"):
        month_days(text)
