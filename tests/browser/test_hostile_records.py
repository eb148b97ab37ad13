"""The hostile shop in a real browser: nothing runs, nothing is fetched, nothing becomes an element."""

from pathlib import Path
from urllib.parse import urlencode

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.ask import run
from tests.browser.conftest import AS_SERVED, Served, downloaded, settled
from tests.test_pages import PAGES
from tests.trust.hostile_shop import ELSEWHERE, FILES, MARKUP, PAYLOADS, PEOPLE, RAN, hostile_shop

pytestmark = [pytest.mark.browser, pytest.mark.slow]
# what a payload would have become, in the page or in a chart's own drawing
FOREIGN = (
    f"a[href*='{ELSEWHERE}'], a[href^='javascript'], a[href^='mailto'], svg a, .katex, "
    f"img[src='x'], img[src*='{ELSEWHERE}'], svg[onload], b[onclick], [data-testid='stMarkdown'] h1 i"
)
VIEWS = {
    "callbacks": [{"by": "Technician", "window": "60 days"}, {"by": "Branch"}],
    "first_time_fix": [{"by": "Branch"}, {"technician": PEOPLE[0]}],
    "misdiagnosis": [{"by": "Technician"}],
    "job": [{"job": payload} for payload in MARKUP[:2]],
}


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The database folder of the hostile shop."""
    return hostile_shop(tmp_path_factory.mktemp("hostile"))


def check(page: Page, served: Served) -> None:
    """Nothing of the records ran, became an element, or left this machine."""
    settled(page)
    assert page.evaluate("window.ran") is None
    assert page.evaluate("window.MathJax") is None
    found = page.locator(FOREIGN)
    assert found.count() == 0, found.first.evaluate("each => each.outerHTML")
    assert page.get_by_role("button", name="Download as CSV").count() == 0  # it guards no formula
    served.check()


def test_every_page_shows_payloads_as_text(browser: Browser, serve, hostile: Path):
    served = serve(hostile, AS_SERVED)
    page = served.watch(browser.new_page(viewport={"width": 1400, "height": 1000}))
    for name in PAGES:
        for query in [{}, *VIEWS.get(name, [])]:
            page.goto(f"{served.url}/{'' if name == 'month' else name}?{urlencode(query)}")
            expect(page.get_by_role("heading", level=1)).to_be_visible(timeout=30_000)
            check(page, served)
    page.close()


def test_jobs_and_the_hover_of_charts_show_payloads_as_text(browser: Browser, serve, hostile: Path):
    served = serve(hostile, AS_SERVED)
    page = served.watch(browser.new_page(viewport={"width": 1400, "height": 1000}))
    for number in run(hostile, "pages/jobs")["job_id"].head(6):
        page.goto(f"{served.url}/job?{urlencode({'job': number})}")
        digits = number.rpartition(" ")[2]
        expect(page.get_by_role("heading", name=digits)).to_be_visible(timeout=30_000)
        check(page, served)
    page.goto(f"{served.url}/callbacks?by=Technician")
    settled(page)
    drawn = page.locator(".js-plotly-plot").filter(has_text=PEOPLE[0]).first
    expect(drawn.get_by_text(PEOPLE[0]).first).to_be_visible(timeout=30_000)
    for point in drawn.locator(".points path").all()[:4]:
        point.hover(force=True)
        check(page, served)
    table = downloaded(page, "Download table").read_text(encoding="utf-8")
    assert "\n'=1+1," in table  # a technician, made plain
    page.close()


def opened_alone(browser: Browser, drawing: Path) -> Page:
    """A saved drawing opened by its path, where no policy of the server holds."""
    page = browser.new_page()
    page.goto(drawing.as_uri())
    page.wait_for_timeout(500)
    return page


def test_a_saved_chart_opened_alone_runs_nothing(
    browser: Browser, serve, hostile: Path, tmp_path: Path
):
    served = serve(hostile, AS_SERVED)
    page = served.watch(browser.new_page(viewport={"width": 1400, "height": 1000}))
    page.goto(f"{served.url}/callbacks?by=Technician")
    settled(page)
    page.get_by_role("radio", name="SVG").or_(page.get_by_role("button", name="SVG")).click()
    settled(page)
    drawn = page.locator(".js-plotly-plot").filter(has_text=PEOPLE[0]).first
    expect(drawn.get_by_text(PEOPLE[0]).first).to_be_visible(timeout=30_000)
    drawn.hover()
    with page.expect_download() as download:
        drawn.locator(".modebar-btn").click()
    text = Path(download.value.path()).read_text(encoding="utf-8")
    page.close()
    assert "img src=x onerror" in text and "<img" not in text and text.startswith("<svg")
    for body, ran in (
        (text, False),
        (text.replace("</svg>", f"<script>{RAN}=1</script></svg>"), True),
    ):
        (drawing := tmp_path / "chart.svg").write_text(body, encoding="utf-8")
        alone = opened_alone(browser, drawing)
        assert (alone.evaluate(RAN) is not None) is ran
        assert alone.locator("[onload], [onerror], [onclick], foreignObject, iframe").count() == 0
        assert alone.locator(f"a, [href*='{ELSEWHERE}'], image").count() == 0
        alone.close()


def test_an_upload_of_payloads_is_shown_and_loaded_as_text(browser: Browser, serve, tmp_path: Path):
    served = serve(tmp_path / "db", AS_SERVED)
    page = served.watch(browser.new_page(viewport={"width": 1400, "height": 1000}))
    page.goto(f"{served.url}/add_records")
    settled(page)
    heads = [
        "Ticket no",
        "Received",
        "Finished",
        "Appliance",
        "Complaint",
        "Status",
        *PAYLOADS[:12],
    ]
    quoted = ",".join(f'"{head.replace(chr(34), chr(34) * 2)}"' for head in heads)
    rows = "\n".join(
        f'{i},2026-03-14,2026-03-15,washer,"{text.replace(chr(34), chr(34) * 2)}",repaired{",x" * 12}'
        for i, text in enumerate(PAYLOADS)
    )
    export = {
        "name": FILES["jobs"],
        "mimeType": "text/csv",
        "buffer": f"{quoted}\n{rows}\n".encode(),
    }
    page.locator("input[type=file]").set_input_files([export])
    button = page.get_by_role("button", name="See what would happen")
    expect(button).to_be_enabled(timeout=30_000)
    for folded in page.locator("[data-testid='stExpander'] summary").all():
        folded.click()
    check(page, served)
    expect(page.get_by_text(PAYLOADS[0]).first).to_be_visible()
    button.click()
    expect(page.get_by_role("heading", name="What would become")).to_be_visible(timeout=30_000)
    check(page, served)
    page.get_by_role("button", name="Load", exact=True).click()
    expect(page.get_by_text("Loaded: the pages show it now.")).to_be_visible(timeout=30_000)
    check(page, served)
    page.goto(f"{served.url}/records")
    expect(page.get_by_text("Words we do not know").first).to_be_visible(timeout=30_000)
    check(page, served)
    page.close()
