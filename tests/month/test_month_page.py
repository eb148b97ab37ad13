"""The page: finding first, every part of the split opens its jobs, links and periods hold."""

from datetime import date
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from dashboard.database.snapshot import take
from dashboard.month.load import month_review
from dashboard.settings.file import DATABASE
from dashboard.text.escape_markdown import verbatim
from dashboard.ui.job_table import ALL
from tests.test_pages import APP, check, opened, texts

MARCH = "2026-03"


@pytest.fixture
def page(sample_shop: Path, monkeypatch: pytest.MonkeyPatch):
    """The page on the planted bad month."""
    app = opened("month", sample_shop, monkeypatch)
    return app.selectbox(key="month").select(MARCH).run()


def test_the_finding_comes_before_everything_else(page, sample_shop: Path):
    check(page)
    found = month_review(take(sample_shop), MARCH)
    plain = texts(page).replace("\\", "")
    assert f"#### {found.headline}" in plain
    assert plain.index(found.headline) < plain.index(found.departure)
    assert [metric.label for metric in page.metric] == [f.name for f in found.figures]
    assert [metric.value for metric in page.metric] == [verbatim(f.shown) for f in found.figures]


@pytest.mark.parametrize("view", ["reason", "technician", "appliance_kind", "part_no"])
def test_a_part_of_the_split_opens_as_many_jobs_as_it_counts(page, sample_shop: Path, view: str):
    table = month_review(take(sample_shop), MARCH).views[view]
    first = table[table["not_fixed"] > 0].iloc[0]
    page.segmented_control(key="split").set_value(view).run()
    page.selectbox(key=f"why_jobs_{view}").select(first.group).run()
    check(page)
    noun = "job" if first.not_fixed == 1 else "jobs"
    assert f"{first.not_fixed} {noun}. Click a job to open it." in texts(page)
    page.selectbox(key=f"why_jobs_{view}").select(ALL).run()
    assert f"{first.month_not_fixed} jobs. Click a job to open it." in texts(page)


def test_the_table_of_the_split_ends_with_its_sum(page):
    (table,) = [t.value for t in page.dataframe if "excess" in t.value]
    assert table["excess"].iloc[-1] == pytest.approx(table["excess"].iloc[:-1].sum())
    assert table["not_fixed"].iloc[-1] == table["not_fixed"].iloc[:-1].sum()


def test_any_two_periods_are_compared(page):
    page.date_input(key=f"first_{MARCH}").set_value((date(2026, 2, 1), date(2026, 2, 14))).run()
    check(page)
    titles = [t.value for t in page.dataframe if "verdict" in t.value and "first" in t.value]
    assert len(titles) == 1
    assert "(median of" in titles[0]["first"].str.cat()


def test_a_link_to_a_month_without_jobs_says_so(sample_shop: Path, monkeypatch):
    monkeypatch.setenv(DATABASE, str(sample_shop))
    app = AppTest.from_file(str(APP), default_timeout=60)
    app.query_params["month"] = "1999-01"
    app.run()
    assert "1999-01" in "\n".join(str(w.value) for w in app.warning)
    check(app)


def test_the_months_that_differ_are_named(page):
    assert "March 2026 differs by more than chance" in page.get("plotly_chart")[1].proto.alt
