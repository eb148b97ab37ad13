"""The month on paper: it stands alone, text stays text, two pages at most."""

import re
from pathlib import Path

import pytest

from dashboard.database.snapshot import take
from dashboard.month.html import MOST_JOBS
from dashboard.month.load import month_html, month_review
from dashboard.settings.file import read_settings
from dashboard.text import pdf
from tests.measures.test_month_review import JOBS, PARTS
from tests.shop_builder import shop

MARCH = "2026-03"


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three jobs in January, one in February."""
    return shop(tmp_path_factory.mktemp("month"), jobs=JOBS, part_lines=PARTS)


def test_the_file_is_self_contained(sample_shop: Path):
    """No address, no script, no picture from elsewhere; text and numbers inside."""
    html = month_html(take(sample_shop), MARCH)
    assert not re.findall(r"(?:src|href)=", html)
    assert "<script" not in html
    assert "url(" not in html
    assert html.count("<svg") >= 2
    assert "<h1>March 2026</h1>" in html
    assert "Local codes, licenses" in html


def test_paper_and_page_say_the_same(sample_shop: Path):
    found = month_review(take(sample_shop), MARCH)
    html = month_html(take(sample_shop), MARCH)
    for text in (found.headline, found.departure, found.standing_out, found.counted):
        assert text in html
    for figure in found.figures:
        assert f"{figure.name}<br><b>{figure.shown}</b>" in html
        assert figure.range_shown in html
    for action in found.actions:
        assert action.title in html
        assert f"{len(action.jobs)} jobs: " in html
        left = len(action.jobs) - MOST_JOBS
        assert left <= 0 or f"and {left} more" in html


def test_the_shops_name_period_and_currency_are_at_the_top(sample_shop: Path):
    named = read_settings(sample_shop) | {"shop_name": "Harbor & Sons"}
    html = month_html(take(sample_shop, named), MARCH)
    top = html[html.index("<h1>") : html.index('class="finding"')]
    assert "Harbor &amp; Sons" in top
    assert "Mar 1, 2026 to Mar 31, 2026" in top
    assert "USD" in top


def test_the_file_is_the_same_each_time(sample_shop: Path):
    assert month_html(take(sample_shop), MARCH) == month_html(take(sample_shop), MARCH)


def test_what_people_wrote_is_shown_as_text(tmp_path: Path):
    jobs = """
    job_id                    | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer | branch
    <script>alert(1)</script> | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | one      | <b>x</b>
    B                         | 2026-02-10 | 2026-02-12 | washer         | leaks   | repaired    | one      | <b>x</b>
    Z                         | 2026-06-01 | 2026-06-02 | washer         | leaks   | repaired    | two      | <b>x</b>
    """
    visits = """
    job_id                    | visit_no | technician | outcome         | minutes_on_job | travel_minutes
    <script>alert(1)</script> | 1        | Ann        | part_not_on_van | 30             | 20
    <script>alert(1)</script> | 2        | Ann        | completed       | 30             | 20
    B                         | 1        | Ann        | completed       | 30             | 20
    """
    html = month_html(take(shop(tmp_path, jobs=jobs, visits=visits)), "2026-01")
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in html
    assert "<script" not in html


def test_a_month_without_jobs_says_so(drawn: Path):
    html = month_html(take(drawn), "2024-01")
    assert "no repair was closed" in html
    assert "nan" not in html.lower()


@pytest.mark.browser
@pytest.mark.skipif(pdf.browser() is None, reason="no browser")
@pytest.mark.parametrize("month", ["2025-06", MARCH, "2026-10"])
def test_the_month_fits_on_two_pages(sample_shop: Path, month: str):
    printed = pdf.pdf_of(month_html(take(sample_shop), month))
    pages = re.findall(rb"/Type\s*/Page\b(?!s)", printed)  # ISO 32000-1, 7.7.3.3: page objects
    assert 1 <= len(pages) <= 2
