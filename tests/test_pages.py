"""Every page on no database, an empty one, one job, the sample shop and the open records."""

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest
from streamlit.util import calc_hash

from dashboard.settings.file import DATABASE
from dashboard.ui import widgets
from dashboard.ui.menu import OLD_ADDRESSES
from etl.load import load
from tests.shop_builder import shop

ROOT = Path(__file__).parent.parent
APP = ROOT / "dashboard" / "app.py"
PAGES = sorted(path.stem for path in (ROOT / "dashboard" / "views").glob("*.py"))
ALWAYS_OPEN = {
    "add_records",
    "settings",
    "one_reading",
    "what_to_test_next",
}  # work without records
WITHOUT_FILES = {"add_records", "job", "jobs", "one_reading", "one_repair", "settings"}
WRONG_WORDS = ("nan", "NaT", "None of", "inf %", "<NA>", "nan%")


def opened(page: str, folder: Path, monkeypatch: pytest.MonkeyPatch, **query: str) -> AppTest:
    """Run one page of the app on a database folder."""
    monkeypatch.setenv(DATABASE, str(folder))
    app = AppTest.from_file(str(APP), default_timeout=60)
    for key, value in query.items():
        app.query_params[key] = value
    app.run()
    app.switch_page(f"views/{page}.py").run()
    return app


def texts(app: AppTest) -> str:
    """Return everything that the page says in words."""
    parts = [*app.title, *app.markdown, *app.caption, *app.info, *app.warning, *app.error]
    return "\n".join(str(part.value) for part in parts)


def check(app: AppTest) -> None:
    """No exception, a title, and no word that is a missing number."""
    assert not app.exception, [e.value for e in app.exception]
    assert app.title
    shown = texts(app)
    for word in WRONG_WORDS:
        assert f" {word}" not in shown, shown


@pytest.mark.parametrize("page", PAGES)
def test_without_a_database_every_page_shows_the_first_step(page, tmp_path, monkeypatch):
    app = opened(page, tmp_path / "db", monkeypatch)
    check(app)
    if page not in ALWAYS_OPEN:
        assert "ohmhours load" in texts(app)


@pytest.fixture(scope="module")
def one_job(tmp_path_factory) -> Path:
    """A shop with a single job and nothing else."""
    jobs = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition
    A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired
    """
    return shop(tmp_path_factory.mktemp("one"), jobs=jobs)


@pytest.fixture(scope="module")
def open_records(tmp_path_factory) -> Path:
    """The open repair records: no visits, readings, parts, units."""
    folder = tmp_path_factory.mktemp("ords") / "db"
    load(sorted((ROOT / "tests" / "open_data").glob("*.csv")), folder)
    return folder


@pytest.mark.parametrize("page", PAGES)
def test_one_job_is_enough_for_every_page(page, one_job, monkeypatch):
    check(opened(page, one_job, monkeypatch))


@pytest.mark.parametrize("page", PAGES)
def test_every_page_answers_on_the_sample_shop(page, sample_shop, monkeypatch):
    check(opened(page, sample_shop, monkeypatch))


@pytest.mark.parametrize("page", PAGES)
def test_every_page_works_on_the_open_records(page, open_records, monkeypatch):
    check(opened(page, open_records, monkeypatch))


@pytest.mark.parametrize("page", PAGES)
def test_every_download_of_a_page_can_be_made(page, sample_shop, monkeypatch):
    """Files are made when they are asked for: an error there is on no page."""
    made, offer = [], widgets.offer

    def make_at_once(label, content, file_name, mime, **options):
        text = content() if callable(content) and mime == "text/csv" else content
        made.append(file_name)
        offer(label, text, file_name, mime, **options)

    monkeypatch.setattr(widgets, "offer", make_at_once)
    query = {"by": "technician"} if page in ("first_time_fix", "callbacks", "misdiagnosis") else {}
    check(opened(page, sample_shop, monkeypatch, **query))
    assert made or page in WITHOUT_FILES


def test_a_link_reproduces_the_view(sample_shop, monkeypatch):
    app = opened("first_time_fix", sample_shop, monkeypatch, branch="Mill Lane")
    check(app)
    assert "branch Mill Lane" in texts(app)


def test_a_filter_is_kept_from_page_to_page(sample_shop, monkeypatch):
    app = opened("first_time_fix", sample_shop, monkeypatch)
    app.sidebar.multiselect(key="branch").set_value(["Mill Lane"]).run()
    app.switch_page("views/callbacks.py").run()
    assert "branch Mill Lane" in texts(app)


def test_a_filter_that_holds_no_job_says_so(sample_shop, monkeypatch):
    import datetime as dt

    app = opened("first_time_fix", sample_shop, monkeypatch)
    app.sidebar.date_input(key="from").set_value(dt.date(2030, 1, 1)).run()
    check(app)


def test_a_broken_database_is_reported_with_the_remedy(tmp_path, monkeypatch):
    (tmp_path / "warehouse-x.duckdb").write_bytes(b"not a database")
    (tmp_path / "CURRENT").write_text("warehouse-x.duckdb\n", encoding="utf-8")
    app = opened("callbacks", tmp_path, monkeypatch)
    check(app)
    assert "ohmhours restore FILE" in texts(app)


@pytest.mark.parametrize("address", OLD_ADDRESSES)
def test_an_old_address_shows_the_page_with_its_new_name(address, sample_shop, monkeypatch):
    """AppTest opens a page by its address; a file of that name need not exist."""
    monkeypatch.setenv(DATABASE, str(sample_shop))
    app = AppTest.from_file(str(APP), default_timeout=60).run()
    app._page_hash = calc_hash(address)
    check(app.run())
    assert texts(app).splitlines()[0] == titles_of(OLD_ADDRESSES[address], sample_shop, monkeypatch)


def titles_of(page: str, folder: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """Return the title on a page."""
    return opened(page, folder, monkeypatch).title[0].value
