"""The page of the complaint sheet: a click on one of its last jobs opens that job."""

from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from dashboard.ui import widgets
from tests.test_pages import opened


def test_a_click_on_a_last_job_opens_it(sample_shop: Path, monkeypatch: pytest.MonkeyPatch):
    """AppTest cannot click a row of a table: the row that a click names is given as the second."""
    show, listed = widgets.clicked_row, []

    def second(frame: pd.DataFrame, columns: dict[str, Any], key: str) -> int | None:
        row = show(frame, columns, key)
        if key != "sheet_jobs":
            return row
        listed.extend(frame["job_id"])
        return 1

    monkeypatch.setattr(widgets, "clicked_row", second)
    app = opened("complaint_sheet", sample_shop, monkeypatch)
    assert not app.exception
    assert len(listed) == 5
    assert app.title[0].value == "One job"
    assert app.text_input(key="job").value == listed[1]
