"""Profit per hour: drawn jobs by hand, and the same money as on the page of flat rates."""

from pathlib import Path

import pytest

from dashboard.cli.main import main
from tests.ask import measure
from tests.measures.test_flat_rate import JOBS, PARTS, VISITS
from tests.shop_builder import shop
from tests.test_pages import check, opened, texts

LABOUR = (32 * 1.25 + 48_000 / 2080) / 0.577  # the default settings' hour


def test_money_and_hours_of_drawn_jobs_by_hand(tmp_path: Path):
    """A with its returns: 215 charged, 165 minutes, parts 70; D: 240, 80 minutes; F has no cost."""
    folder = shop(tmp_path, jobs=JOBS, visits=VISITS, part_lines=PARTS)
    row = measure(folder, "profit_per_hour").iloc[0]
    hours = (165 + 80) / 60
    assert (row.group, row.appliance_kind) == ("replace_drain_pump_washer", "washer")
    assert (row.jobs, row.unknown_jobs) == (2, 1)
    assert row.hours == pytest.approx(hours)
    assert row.profit == pytest.approx(215 + 240 - hours * LABOUR - 70, abs=0.01)
    assert row.profit_per_hour == pytest.approx(row.profit / hours)


@pytest.mark.parametrize("by", ["appliance_kind", "brand", "repair_code", None])
def test_every_grouping_adds_up_to_what_flat_rates_say(sample_shop: Path, by: str | None):
    table = measure(sample_shop, "profit_per_hour", group_by=by)
    rates = measure(sample_shop, "flat_rate")
    assert table["profit"].sum() == pytest.approx(rates["result_now"].sum())
    assert table["jobs"].sum() == rates["costed_jobs"].sum()
    assert (table["jobs"] + table["unknown_jobs"]).sum() == rates["jobs"].sum()


def test_the_page_names_the_work_and_its_jobs(sample_shop, monkeypatch):
    app = opened("profit_per_hour", sample_shop, monkeypatch)
    check(app)
    assert "An hour of a technician leaves" in texts(app)


def test_brand_is_a_group_of_this_measure_only(sample_shop, capsys):
    db = ["--db", str(sample_shop)]
    assert main(["measure", "profit_per_hour", "--by", "brand", *db]) == 0
    assert "Quillane" in capsys.readouterr().out
    assert main(["measure", "callbacks", "--by", "brand", *db]) == 1
    assert "only profit_per_hour" in capsys.readouterr().err
