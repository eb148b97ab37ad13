"""The season in words, on paper and as a chart: what is clear is named, with its range."""

import random

import pandas as pd

from dashboard.database.labels import Labels
from dashboard.fairness.season import season
from dashboard.filters import Filters
from dashboard.month.season_charts import by_month
from dashboard.month.season_sentences import MONTHS, peaks, season_paper, season_words
from dashboard.text.paper import paper_html
from tests.measures.test_season import months, rows

LABELS = Labels(pd.DataFrame(columns=["field", "kind", "id", "label"]))


def table(count: int) -> pd.DataFrame:
    """Return a season of so many months: warm calls come in summer, noisy ones all year."""
    generator, calls = random.Random(3), {}
    for month in months(1, count):
        is_summer = month[5:] in ("06", "07", "08")
        calls["warm", month] = generator.randint(25, 35) if is_summer else generator.randint(6, 12)
        calls["noisy", month] = generator.randint(8, 14)
    last = months(1, count)[-1]
    return season(rows("2024-01-01", f"{last}-30" if last[5:] != "12" else f"{last}-31", calls))


def test_what_is_clear_is_named_with_month_times_and_range():
    found = table(36)
    text = season_words(found, LABELS)
    assert "1 complaint of 2 with enough calls has a season**, over 3 years" in text
    assert "freezer: warm: most in " in text and "noisy" not in text
    top = peaks(found, LABELS).iloc[0]
    assert (top.symptom, bool(top.seasonal), top.peak in MONTHS[5:8]) == ("warm", True, True)
    assert 1.8 < top["index"] < 2.6


def test_paper_has_a_row_for_each_complaint_and_says_when_it_is_filtered():
    sheet = paper_html(season_paper(table(36), Filters(branch=("Harbour",)), LABELS))
    assert sheet.count("<tr>") == 1 + 4  # heads; all, freezer, warm, noisy
    assert "FILTERED: branch Harbour" in sheet
    assert "1 = an average month" in sheet


def test_a_young_shop_gets_mean_calls_and_no_index():
    found = table(18)
    assert "cannot show a season yet" in season_words(found, LABELS)
    own = found[found["symptom"] == "noisy"].sort_values("month")
    bars = by_month(own, list(MONTHS)).data[0]
    assert bars.y[0] == own.iloc[0].calls / 2  # January was seen twice
    assert bars.y[11] == own.iloc[11].calls
    assert bars.error_y.array is None
    assert "Mean calls by month" in paper_html(season_paper(found, Filters(), LABELS))
