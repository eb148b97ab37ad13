"""The page of the complaint sheet: a click on one of its last jobs opens that job."""

from pathlib import Path

import pytest

from tests.test_pages import opened


def test_a_click_on_a_last_job_opens_it(sample_shop: Path, monkeypatch: pytest.MonkeyPatch):
    app = opened("complaint_sheet", sample_shop, monkeypatch)
    jobs = [each for each in app.button if each.key.startswith("sheet_jobs_")]
    assert len(jobs) == 5
    number = jobs[1].key.removeprefix("sheet_jobs_")
    jobs[1].click().run()
    assert not app.exception
    assert app.title[0].value == "One job"
    assert app.text_input(key="job").value == number
