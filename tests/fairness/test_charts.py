"""Charts of fair comparisons: what is drawn and what is not."""

import pandas as pd

from dashboard.fairness import charts


def test_a_month_with_few_jobs_has_no_limits():
    """They would leave the chart as an upright line."""
    months = pd.DataFrame(
        {
            "month": ["2026-08", "2026-09", "2026-10"],
            "mature": [240, 250, 3],
            "rate": [0.66, 0.65, 0.67],
            "centre": [0.65] * 3,
            "upper_3s": [0.75, 0.75, 1.4],
            "lower_3s": [0.55, 0.55, -0.1],
            "signals": ["", "", ""],
        }
    )
    upper, lower = charts.month_signals(months, min_jobs=20).data[:2]
    assert list(upper.y[:2]) == [0.75, 0.75] and pd.isna(upper.y[2])
    assert list(lower.y[:2]) == [0.55, 0.55] and pd.isna(lower.y[2])
