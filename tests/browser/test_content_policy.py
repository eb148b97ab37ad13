"""The policy in a real browser: every page works under it, and markup put in raw runs nothing."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from dashboard.database.snapshot import take
from dashboard.month.load import month_html
from tests.browser.conftest import AS_SERVED, Served, settled
from tests.test_pages import PAGES
from tests.trust.hostile_shop import RAN

pytestmark = pytest.mark.browser
RAW = (  # as if a text of a record had not been escaped
    f"<img src=x onerror='{RAN}=1'>",
    f"<svg onload='{RAN}=2'></svg>",
    f"<a id='bad' href='javascript:{RAN}=3'>t</a>",
    f"<iframe srcdoc='<script>top.{RAN}=4</script>'></iframe>",
    f"<object data='data:text/html,<script>top.{RAN}=5</script>'></object>",
    f"<form id='form' action='javascript:{RAN}=6'></form>",
    f"<details open ontoggle='{RAN}=7'>x</details>",
)
INSERT = """markup => {
  const place = document.createElement('div');
  document.body.append(place);
  place.append(document.createRange().createContextualFragment(markup));
  place.querySelector('#bad')?.click();
  place.querySelector('#form')?.requestSubmit();
}"""


@pytest.fixture
def opened(browser: Browser, serve, sample_shop: Path) -> tuple[Page, Served]:
    served = serve(sample_shop, AS_SERVED)
    return served.watch(browser.new_page(viewport={"width": 1400, "height": 1000})), served


@pytest.mark.slow
def test_every_page_is_drawn_under_the_policy(opened: tuple[Page, Served]):
    page, served = opened
    for name in PAGES:
        answer = page.goto(f"{served.url}/{'' if name == 'month' else name}")
        assert "script-src 'self' 'sha256-" in answer.headers["content-security-policy"]
        expect(page.get_by_role("heading", level=1)).to_be_visible(timeout=30_000)
        settled(page)
        assert page.evaluate("window.ohmsMenuCloses && window.ohmsLinesHidden") is True
        served.check()  # a refused script or style is a complaint of the console


def test_raw_markup_in_a_page_runs_nothing(opened: tuple[Page, Served]):
    page, served = opened
    page.goto(f"{served.url}/records")
    expect(page.get_by_role("heading", level=1)).to_be_visible(timeout=30_000)
    for markup in (*RAW, f"<script>{RAN}=8</script>"):
        page.evaluate(INSERT, markup)
    page.wait_for_timeout(500)
    assert page.evaluate(RAN) is None
    assert len(served.complaints) >= len(RAW) - 1  # the browser refused them, it did not miss them


def test_raw_markup_in_a_report_runs_nothing(browser: Browser, sample_shop: Path, tmp_path: Path):
    report = month_html(take(sample_shop), "2026-03")
    bad = "".join((*RAW, f"<script>{RAN}=8</script>"))
    head, tail = report.split("</main>")
    without = report.replace('http-equiv="Content-Security-Policy"', 'name="none"')
    for text, ran in (
        (f"{head}{bad}</main>{tail}", False),
        (without.replace("</main>", bad), True),
    ):
        (path := tmp_path / "report.html").write_text(text, encoding="utf-8")
        page = browser.new_page()
        page.goto(path.as_uri())
        page.wait_for_timeout(300)
        assert (page.evaluate(RAN) is not None) is ran
        page.close()
