"""Ways from page to page: filters stay, links that name nothing say so, jobs open in this tab."""

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from dashboard.settings.file import DATABASE
from dashboard.ui.menu import IN_MENU, SECTIONS, TABS, TITLES, home_of, section_of
from tests.ask import run
from tests.test_pages import APP, opened, texts


def test_the_menu_fits():
    assert len(IN_MENU) <= 16
    assert all(home_of(tab) == home for home, tabs in TABS.items() for tab in tabs)
    assert {section_of(name) for name in IN_MENU} == set(SECTIONS)


@pytest.mark.parametrize("name", ["first_time_fix", "mix_ups", "settings"])
def test_title_and_menu_are_the_same_words(name: str, sample_shop: Path, monkeypatch):
    assert opened(name, sample_shop, monkeypatch).title[0].value == TITLES[name]


def test_a_filter_is_a_chip_that_removes_it(sample_shop: Path, monkeypatch):
    app = opened("first_time_fix", sample_shop, monkeypatch)
    app.multiselect(key="branch").set_value(["Mill Lane"]).run()
    assert app.button(key="chip_branch").label == "Branch: Mill Lane"
    app.button(key="chip_branch").click().run()
    assert app.multiselect(key="branch").value == []


def test_filters_stay_across_a_page_that_has_none(sample_shop: Path, monkeypatch):
    app = opened("first_time_fix", sample_shop, monkeypatch)
    app.multiselect(key="branch").set_value(["Mill Lane"]).run()
    app.switch_page("views/settings.py").run()
    assert not [box for box in app.multiselect if box.key == "branch"]
    app.switch_page("views/callbacks.py").run()
    assert app.multiselect(key="branch").value == ["Mill Lane"]


def test_a_link_to_what_is_not_there_says_so(sample_shop: Path, monkeypatch):
    monkeypatch.setenv(DATABASE, str(sample_shop))
    app = AppTest.from_file(str(APP), default_timeout=60)
    app.query_params["technician"] = "Nobody"
    app.run()
    assert "“Nobody”, which these records do not hold" in texts(app)


def test_a_job_number_opens_the_job_from_any_page(sample_shop: Path, monkeypatch):
    job = str(run(sample_shop, "pages/jobs")["job_id"].iloc[0])
    app = opened("callbacks", sample_shop, monkeypatch)
    app.text_input(key="find_job").set_value(job).run()
    assert app.title[0].value == TITLES["job"]
    assert app.text_input(key="job").value == job
