"""The reading pages: what they say of the sample shop, of one reading, and of a clicked bar."""

import json
import re
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from streamlit.testing.v1 import AppTest

import sql
from dashboard.readings import sentences as reading_words
from dashboard.readings.charts import BAR_DATA
from dashboard.readings.compute import limit_curve
from tests.ask import measure, run
from tests.test_pages import check, opened, texts


def test_the_readings_page_goes_from_a_part_to_its_test_points(sample_shop: Path, monkeypatch):
    app = opened("reading_distribution", sample_shop, monkeypatch)
    app.selectbox(key="component").set_value("thermal_fuse").run()
    check(app)
    options = app.selectbox(key="point").options
    assert sorted(options) == ["Thermal fuse (dishwasher)", "Thermal fuse (dryer)"]
    assert "at most 2 Ω" in texts(app) or "0–2 Ω" in texts(app)


def test_no_two_test_points_of_a_choice_read_the_same(sample_shop: Path, monkeypatch):
    """A choice, and a link to it, is found by its label."""
    options = opened("one_reading", sample_shop, monkeypatch).selectbox(key="point").options
    assert len(set(options)) == len(options) > 100


def test_one_reading_opens_on_the_test_point_most_often_measured(sample_shop: Path, monkeypatch):
    """Counted apart from the page: the readings that the measure counts at each test point."""
    box = opened("one_reading", sample_shop, monkeypatch).selectbox(key="point")
    counted = measure(sample_shop, "reading_distribution").set_index("test_point")["readings"]
    looks = {
        row["test_point"] for row in sql.lookup("test_points") if row["quantity"] == "observation"
    }
    assert box.value == counted[[point not in looks for point in counted.index]].idxmax()


def test_a_complaint_narrows_the_readings(sample_shop: Path, monkeypatch):
    app = opened("reading_distribution", sample_shop, monkeypatch)
    app.selectbox(key="complaint").set_value("dryer_electric/no_heat").run()
    check(app)
    assert all("washer" not in option for option in app.selectbox(key="point").options)


def test_open_readings_are_in_a_panel_of_their_own(sample_shop: Path, monkeypatch):
    app = opened("reading_distribution", sample_shop, monkeypatch)
    app.selectbox(key="point").set_value("dryer_element_ohm").run()
    figure = json.loads(app.get("plotly_chart")[0].proto.spec)
    panels = [trace.get("xaxis") for trace in figure["data"]]
    assert panels.count("x2") == 2  # parts replaced and parts that stayed
    band = [s for s in figure["layout"]["shapes"] if s["type"] == "rect"]
    row = measure(sample_shop, "reading_distribution").set_index("test_point")
    limits = row.loc["dryer_element_ohm"]
    assert [(s["x0"], s["x1"]) for s in band] == [(limits.tol_low, limits.tol_high)]
    assert (band[0]["line"]["dash"] == "dash") == (limits.confidence == "weak")


def test_a_live_test_point_shows_its_caution(sample_shop: Path, monkeypatch):
    app = opened("reading_distribution", sample_shop, monkeypatch)
    app.selectbox(key="point").set_value("supply_l1_l2_v").run()
    assert any(box.value.startswith("Live test") for box in app.error)


def calculated(folder: Path, monkeypatch, point: str, value: float | None, **fields) -> AppTest:
    """Open the calculator and fill it in."""
    app = opened("one_reading", folder, monkeypatch)
    app.selectbox(key="point").set_value(point).run()
    if value is not None:
        app.number_input(key="value").set_value(value).run()
    for key, content in fields.items():
        getattr(app, "selectbox" if isinstance(content, str) else "number_input")(
            key=key
        ).set_value(content).run()
    check(app)
    return app


def test_one_reading_is_judged_with_its_arithmetic(sample_shop: Path, monkeypatch):
    """10.4 kOhm at 71.96 °F, 22.2 °C: beta 3435 to 3977, factors 1.1154 and 1.1348 (by hand)."""
    app = calculated(sample_shop, monkeypatch, "dryer_thermistor_ohm", 10400.0, ambient=71.96)
    assert [box.value[:18] for box in app.success] == ["Inside the limits."]
    assert "reads 10.4 kΩ, spec" in app.success[0].value
    assert "× 1.1154 below, × 1.1348 above" in texts(app)
    assert "u = a / √3" in texts(app)


def test_a_208_volt_supply_is_no_fault_where_it_is_known(sample_shop: Path, monkeypatch):
    app = calculated(sample_shop, monkeypatch, "supply_l1_l2_v", 208.0, service="208")
    assert [box.value[:18] for box in app.success] == ["Inside the limits."]


@pytest.mark.parametrize(
    ("point", "word"),
    [
        ("supply_l1_l2_v", "Live test"),
        ("gas_supply_pressure", "GAS OPENED: close the valve"),
        ("ac_run_capacitor_uf", "Capacitors keep a charge"),
    ],
)
def test_live_gas_and_capacitor_tests_show_cautions(sample_shop, monkeypatch, point, word):
    app = calculated(sample_shop, monkeypatch, point, 5.0)
    assert any(box.value.startswith(word) for box in app.error)


def test_a_capacitor_asks_for_its_nameplate(sample_shop: Path, monkeypatch):
    app = calculated(sample_shop, monkeypatch, "ac_run_capacitor_uf", 45.0)
    assert any("enter it" in box.value for box in app.info)
    app.number_input(key="nameplate").set_value(45.0).run()
    check(app)
    assert [box.value[:18] for box in app.success] == ["Inside the limits."]
    app.number_input(key="value").set_value(43.0).run()  # inside 42.3, but the meter is at ±3 %
    assert [box.value for box in app.warning if "Doubtful" in box.value]


def test_the_meter_check_names_the_planted_meter(sample_shop: Path, monkeypatch):
    app = opened("meter_check", sample_shop, monkeypatch)
    said = app.markdown[1].value.splitlines()
    assert re.match(r"- \*\*Osei: reads [789]% high at ", said[0])  # planted: 8%
    compared = measure(sample_shop, "meter_check")
    assert len(said) == compared["technician"].nunique()
    assert "agrees with the other meters at all of" in said[1]


def test_a_test_point_of_a_meter_leads_to_the_readings_behind_it(sample_shop, monkeypatch):
    app = opened("reading_distribution", sample_shop, monkeypatch, technician="Osei")
    app.selectbox(key="point").set_value("dryer_element_ohm").run()
    row = measure(sample_shop, "meter_check").set_index(["technician", "test_point"])
    listed = next(table.value for table in app.dataframe if "job_id" in table.value)
    assert len(listed) >= row.loc[("Osei", "dryer_element_ohm"), "n"]  # good parts and others


def test_a_suggested_limit_is_shown_next_to_the_one_in_use(sample_shop: Path, monkeypatch):
    review = measure(sample_shop, "limit_review")
    app = opened("limit_review", sample_shop, monkeypatch)
    check(app)
    assert f"suggested at {review['is_suggested'].sum()} of {len(review)} test points" in texts(app)
    first = review.sort_values(["is_suggested", "auc"], ascending=False).iloc[0]
    assert app.selectbox(key="point").value == first.test_point
    said = "The limit in use:" if first.is_suggested else "no limit is suggested"
    assert said in app.markdown[1].value


def test_the_line_of_the_limit_review_counts_each_side(sample_shop: Path, monkeypatch):
    point = "dryer_total_current_a"
    app = opened("limit_review", sample_shop, monkeypatch)
    app.selectbox(key="point").set_value(point).run()
    readings = run(sample_shop, "pages/limit_readings", test_point=point)
    line = app.select_slider(key=f"line_{point}").value
    for place in (line, max(readings["value"].dropna())):
        app.select_slider(key=f"line_{point}").set_value(place).run()
        check(app)
        above = readings["value"].isna() | (readings["value"] > place)
        failed = readings["is_failed"]
        counted = f"{(~above & failed).sum():,} failed and {(~above & ~failed).sum():,} good parts"
        assert counted in texts(app)
        wrong = next(table.value for table in app.dataframe if "job_id" in table.value)
        is_above = "above" in measure_row(sample_shop, point).condemns
        assert len(wrong) == ((above == is_above) != failed).sum()


def measure_row(folder: Path, point: str) -> pd.Series:
    return measure(folder, "limit_review").set_index("test_point").loc[point]


def test_the_limit_readings_are_those_of_the_review(sample_shop: Path):
    review = measure(sample_shop, "limit_review").sort_values("n_good").tail(3)
    for row in review.itertuples():
        readings = run(sample_shop, "pages/limit_readings", test_point=row.test_point)
        assert readings["is_failed"].sum() == row.n_condemned
        assert len(readings) == row.n_condemned + row.n_good
        curve = limit_curve(readings)
        found, blamed = curve["found_above"], curve["blamed_above"]
        area = np.trapezoid([0, *found], [0, *blamed])  # Mann-Whitney's area is that of the curve
        assert max(area, 1 - area) == pytest.approx(row.auc)


def test_a_clicked_bar_names_its_readings():
    bar = {"selection": {"points": [{"customdata": [False, 8.1, 8.9, True, 8.0, 9.0]}]}}
    assert reading_words.picked_bar(bar) == {
        "is_open": False,
        "is_replaced": True,
        "smallest": 8.1,
        "largest": 8.9,
    }
    opened_bar = {"selection": {"points": [{"customdata": [True, None, None, False, None, None]}]}}
    assert reading_words.picked_bar(opened_bar) == {"is_open": True, "is_replaced": False}
    assert reading_words.picked_bar({"selection": {"points": []}}) is None
    assert reading_words.picked_bar(None) is None


@pytest.mark.parametrize("point", ["block_l1_l2_v", "dryer_element_ohm", "fz_temp"])
def test_every_bar_opens_just_its_readings(sample_shop: Path, point: str):
    bins = run(sample_shop, "pages/reading_bins", test_point=point)
    bins = bins.assign(first=bins["smallest"], last=bins["largest"])
    for bar in bins.itertuples():
        event = {"selection": {"points": [{"customdata": [getattr(bar, n) for n in BAR_DATA]}]}}
        picked = reading_words.picked_bar(event)
        behind = run(sample_shop, "pages/reading_jobs", test_point=point, **picked)
        assert len(behind) == bar.readings


def test_weak_limits_give_no_share():
    row = pd.Series(
        {"tol_low": 8, "tol_high": 10, "ucum": "Ohm", "judged": 0, "readings": 5, "over_limit": 1}
        | {"label": "dryer element"}
    )
    assert "No share outside limits is given" in reading_words.answer(row)
