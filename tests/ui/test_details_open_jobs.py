"""A row under Details opens the list of its jobs, with as many jobs as the row counts."""

from pathlib import Path

import pandas as pd
import pytest
from streamlit.testing.v1 import AppTest

from dashboard.filters import Filters
from dashboard.ui import widgets
from tests.ask import measure
from tests.test_pages import opened

MILL_LANE = Filters(branch=("Mill Lane",))
LAST = -1


def clicked(
    page: str, table: str, row: int, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> tuple[AppTest, pd.Series]:
    """Open a page as if a row of a table was clicked; return what opens, and the row."""
    show, rows = widgets.clicked_row, []

    def click(frame: pd.DataFrame, columns: dict, key: str) -> int | None:
        show(frame, columns, key)
        if not key.startswith(table):
            return None
        rows.append(frame.iloc[row])
        return row

    monkeypatch.setattr(widgets, "clicked_row", click)
    app = opened(page, folder, monkeypatch, branch="Mill Lane")
    assert not app.exception
    assert app.title[0].value == "Jobs"
    return app, rows[0]


@pytest.mark.parametrize("row", [0, 1, LAST])
def test_a_mix_up_opens_its_jobs(row: int, sample_shop: Path, monkeypatch):
    app, pair = clicked("mix_ups", "pairs_details", row, sample_shop, monkeypatch)
    heading = app.subheader[0].value
    assert heading.startswith(f"{pair.jobs} job")
    assert f"{pair['first']} turned out to be {pair.final}" in heading
    assert len(app.dataframe[0].value) == pair.jobs
    key = ["appliance_kind", "symptom", "first_component", "final_component"]
    counted = measure(sample_shop, "mix_ups", MILL_LANE).set_index(key)["jobs"]
    assert counted[tuple(pair[key])] == pair.jobs  # the filter is kept


@pytest.mark.parametrize("row", [0, 1, LAST])
def test_a_test_opens_the_jobs_it_is_judged_by(row: int, sample_shop: Path, monkeypatch):
    app, test = clicked("power_of_tests", "details_", row, sample_shop, monkeypatch)
    heading = app.subheader[0].value
    assert heading.startswith(f"{test.counted} job")
    assert test.label in heading
    assert len(app.dataframe[0].value) == test.counted == test.tp + test.fp + test.fn + test.tn
