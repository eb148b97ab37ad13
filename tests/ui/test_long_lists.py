"""A list of a large shop shows its first rows and says so; ids of one kind are looked up once."""

import pandas as pd
from streamlit.testing.v1 import AppTest

from dashboard.database.labels import Labels
from dashboard.ui import widgets


def listing() -> None:
    import pandas as pd

    from dashboard.ui import widgets

    widgets.table(widgets.listed(pd.DataFrame({"row": range(7)})))


def test_a_longer_list_shows_its_first_rows_and_says_so(monkeypatch):
    monkeypatch.setattr(widgets, "LISTED", 5)
    app = AppTest.from_function(listing).run()
    assert app.dataframe[0].value["row"].tolist() == [0, 1, 2, 3, 4]
    assert "first 5 of 7" in app.caption[0].value


def test_a_list_that_fits_says_nothing(monkeypatch):
    monkeypatch.setattr(widgets, "LISTED", 7)
    app = AppTest.from_function(listing).run()
    assert len(app.dataframe[0].value) == 7
    assert not app.caption


def test_a_column_of_labels_is_what_each_id_is_called_in_its_kind():
    table = pd.DataFrame(
        [("cause", "washer", "belt", "Drive belt"), ("cause", "dryer", "belt", "Drum belt")],
        columns=["field", "kind", "id", "label"],
    )
    labels = Labels(table)
    ids, kinds = ["belt", "belt", None, "odd_one"], ["washer", "dryer", "washer", "dryer"]
    assert labels.column("cause", ids, kinds) == ["Drive belt", "Drum belt", None, "odd one"]
