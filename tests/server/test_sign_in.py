"""Pages behind sign-in without a browser: who is named, what is drawn, what is refused."""

import time
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from dashboard.access.reader import SIGN_IN
from dashboard.settings.file import DATABASE
from tests.shop_builder import shop

APP = Path(__file__).parents[2] / "dashboard" / "app.py"
PEOPLE = """[people]
"ada@shop.example" = "owner"
"pia@shop.example" = "pricing"
"cole@shop.example" = { technician = "Cole" }
"""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch) -> Path:
    jobs = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | technician
    C1     | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | Cole
    D1     | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | Dana
    """
    found = shop(tmp_path, jobs=jobs)
    (found / "ohmhours.toml").write_text(PEOPLE, encoding="utf-8")
    monkeypatch.setenv(SIGN_IN, "1")
    monkeypatch.setenv(DATABASE, str(found))
    return found


def opened(email: str | None, page: str | None = None) -> AppTest:
    """Run a page for somebody; None has not signed in."""
    app = AppTest.from_file(str(APP), default_timeout=60)
    claims = {"email": email, "iat": int(time.time())} if email else {}
    app.user = {"is_logged_in": email is not None} | claims
    app.run()
    if page:
        app.switch_page(f"views/{page}.py").run()
    assert not app.exception
    return app


def buttons(app: AppTest) -> list[str]:
    return [button.label for button in app.button]


def test_who_has_not_signed_in_is_asked_to(folder: Path):
    for page in (None, "flat_rate", "settings"):
        app = opened(None, page)
        assert buttons(app) == ["Sign in"]
        assert not app.dataframe


def test_an_unlisted_person_is_shown_whom_to_ask(folder: Path):
    app = opened("eve@elsewhere.example", "flat_rate")
    assert "Ask the owner of the shop to list it" in app.warning[0].value
    assert buttons(app) == ["Sign out"]


def test_markup_in_an_address_is_shown_as_written(folder: Path):
    app = opened("[eve](https://x.example)@elsewhere.example")
    assert "\\[eve\\]" in app.warning[0].value


def test_who_is_taken_off_the_list_is_out_at_the_next_click(folder: Path):
    app = opened("pia@shop.example", "callbacks")
    assert app.title[0].value == "Callbacks"
    (folder / "ohmhours.toml").write_text(PEOPLE.replace("pia", "pat"), encoding="utf-8")
    app.run()
    assert "does not list" in app.warning[0].value
    assert not app.dataframe


def test_settings_that_cannot_be_read_let_no_one_in(folder: Path):
    (folder / "ohmhours.toml").write_text("[people]\nada = 1\n", encoding="utf-8")
    app = opened("ada@shop.example", "callbacks")
    assert "settings cannot be read" in app.warning[0].value


def test_a_refused_page_says_so_and_runs_nothing(folder: Path):
    app = opened("pia@shop.example", "settings")
    assert app.title[0].value == "Settings"
    assert "pricing does not open this page" in app.warning[0].value
    assert buttons(app) == ["Sign out"]


def test_a_technicians_page_says_whose_jobs_it_shows_and_offers_no_others(folder: Path):
    app = opened("cole@shop.example", "root_cause_mix")
    assert any("technician Cole" in caption.value for caption in app.caption)
    assert "Technician" not in [box.label for box in app.sidebar.multiselect]


def test_a_job_of_others_is_refused_on_its_page(folder: Path):
    app = opened("cole@shop.example", "job")
    app.text_input(key="job").set_value("C1").run()
    assert app.main.subheader[0].value.startswith("C1, ")
    app.text_input(key="job").set_value("D1").run()
    assert "not among those that you worked on" in app.warning[0].value
    assert not app.dataframe


def test_pricing_chooses_among_aliases(folder: Path):
    app = opened("pia@shop.example", "callbacks")
    (box,) = (box for box in app.sidebar.multiselect if box.label == "Technician")
    assert box.options == ["Technician A", "Technician B"]
