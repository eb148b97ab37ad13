"""The page Add records starts at what the values say, asks only what they do not, and locks."""

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from etl.mapping.toml_writer import mapping_text
from tests.etl.exports import jobs_table, loaded, mapping, write
from tests.etl.mapping.lines import shops
from tests.test_pages import check, opened, texts


def page_with(folder: Path, monkeypatch: pytest.MonkeyPatch, *paths: Path) -> AppTest:
    """Open the page and upload files."""
    app = opened("add_records", folder, monkeypatch)
    sent = [(path.name, path.read_bytes(), "text/csv") for path in paths]
    app = app.file_uploader(key="uploads").set_value(sent).run()
    check(app)
    return app


def load_button(app: AppTest):
    return next(button for button in app.button if button.label == "Load")


@pytest.mark.parametrize(("name", "order", "sign"), [("us", "MDY", "."), ("de", "DMY", ",")])
def test_dates_and_decimals_start_at_what_the_values_say(tmp_path, monkeypatch, name, order, sign):
    path = shops.write(shops.SHOPS[name], tmp_path / f"{name}.csv")
    app = page_with(tmp_path / "db", monkeypatch, path)
    assert app.selectbox(key="new_order").value == order
    assert app.selectbox(key="new_decimal").value == sign
    assert "lines of invoices; 16 of 16 columns used" in app.expander[0].label
    assert not load_button(app).disabled
    assert "One name, written twice?" in [heading.value for heading in app.subheader]


def test_what_no_column_has_is_asked_once_for_all_rows(tmp_path, monkeypatch):
    text = "Job No,Opened,Appliance\n" + "".join(
        f"{n},2026-01-{n - 5000:02d},washer\n" for n in range(5001, 5012)
    )
    app = page_with(tmp_path / "db", monkeypatch, write(tmp_path / "export.csv", text))
    assert load_button(app).disabled
    assert "Still needed" in texts(app)
    ended = next(box for box in app.selectbox if "how the job closed" in box.label)
    app = ended.set_value("repaired").run()
    assert not load_button(app).disabled


def test_two_sources_with_the_same_numbers_are_not_taken_for_one(tmp_path, monkeypatch):
    paths = []
    for month, name in ((1, "east"), (2, "west")):
        rows = "".join(f"{n},2026-0{month}-1{n % 9},washer,fixed\n" for n in range(5001, 5020))
        paths.append(write(tmp_path / f"{name}.csv", f"Job No,Opened,Appliance,Status\n{rows}"))
    app = page_with(tmp_path / "db", monkeypatch, *paths)
    assert "use the same job numbers for different jobs" in texts(app)
    assert load_button(app).disabled


def test_a_second_source_gets_a_name_of_its_own(tmp_path, monkeypatch):
    kept = tmp_path / "db" / "mappings" / "our_shop.toml"
    write(kept, shops_mapping())
    path = shops.write(shops.FR, tmp_path / "fr.csv")
    app = page_with(tmp_path / "db", monkeypatch, path)
    assert "is kept as our_shop_2" in texts(app).replace("\\", "")


def shops_mapping() -> str:
    """Return the text of another source's mapping."""
    return mapping_text(mapping("our_shop", jobs_table()))


def test_kept_sources_are_listed_and_tried_on_the_stored_rows(tmp_path, monkeypatch):
    by = mapping("elm", jobs_table(), date_order="MDY")
    text = "Job,In,Out,Unit,End\n1,03/04/2026,03/05/2026,washer,fixed\n"
    loaded(write(tmp_path / "jobs.csv", text), tmp_path / "db", by)
    kept = write(tmp_path / "db" / "mappings" / "elm.toml", "# mine\n" + mapping_text(by))
    app = opened("add_records", tmp_path / "db", monkeypatch)
    app = app.selectbox(key="kept_mapping").set_value(kept).run()
    app = app.selectbox(key="kept_elm_order").set_value("DMY").run()
    app = app.button(key="kept_elm_try").click().run()
    assert "1 of 1 stored jobs would change" in texts(app)
    app = app.button(key="kept_elm_save").click().run()
    check(app)
    assert 'date_order = "DMY"' in kept.read_text(encoding="utf-8")
    assert "# mine" in kept.read_text(encoding="utf-8")


def test_the_row_of_the_header_is_given_where_the_titles_are_as_wide(tmp_path, monkeypatch):
    text = "Report,Branch,Printed by,Valid for,Sorted by\nList,Elm,office,a week,unit\n"
    text += "Job No,Opened,Closed,Appliance,Status\n" + "".join(
        f"{n},2026-01-{n - 5000:02d},2026-01-{n - 5000:02d},washer,repaired\n"
        for n in range(5001, 5012)
    )
    app = page_with(tmp_path / "db", monkeypatch, write(tmp_path / "export.csv", text))
    assert load_button(app).disabled
    app = app.number_input(key="t0_export.csv_header_row").set_value(3).run()
    check(app)
    assert "5 of 5 columns used" in app.expander[0].label
    assert not load_button(app).disabled
    app = app.number_input(key="t0_export.csv_header_row").set_value(40).run()
    assert "no header in line 40" in texts(app)
