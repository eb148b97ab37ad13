"""Tables show numbers as text/format.py writes them, and sort them as numbers."""

import pandas as pd
from streamlit.testing.v1 import AppTest

from dashboard.ui import columns

FRAME = pd.DataFrame({"part_no": ["P1", "P2"], "cost": [13913.4, None], "share": [0.125, 0.5]})
SHOWN = {
    "part_no": columns.text("Part number"),
    "cost": columns.money("Cost", "USD"),
    "share": columns.percent("Share"),
}


def test_the_shown_table_is_written_by_format():
    table = columns.written(FRAME, SHOWN)
    assert table.columns.tolist() == ["Part number", "Cost", "Share"]
    assert table.iloc[0].tolist() == ["P1", "$13,913", "12%"]
    assert table.iloc[1].tolist() == ["P2", "–", "50%"]


def test_what_is_drawn_keeps_its_numbers_for_sorting():
    data, config = columns.shown(FRAME, SHOWN)
    assert data.data["cost"].iloc[0] == 13913.4
    assert "$13,913" in data.to_html()
    assert config["cost"]["label"] == "Cost"


def test_a_long_list_is_not_written_cell_by_cell():
    long = pd.concat([FRAME] * (columns.MOST_WRITTEN // 2 + 1))
    data, _ = columns.shown(long, SHOWN)
    assert isinstance(data, pd.DataFrame)


def downloads() -> None:
    import pandas as pd

    from dashboard.ui import columns, widgets

    frame = pd.DataFrame({"id": ["a_b"], "cost": [13913.4]})
    widgets.download(frame, "costs", {"cost": columns.money("Cost", "USD")})


def test_a_table_is_offered_as_shown_and_for_machines():
    app = AppTest.from_function(downloads).run()
    assert [each.label for each in app.download_button] == [
        "Download table",
        "Download raw data",
    ]
