"""Flat rates: cured complaints drawn and counted by hand, the trade's worked price, planted repairs."""

from pathlib import Path

import pandas as pd
import pytest

from dashboard.database.connection import connection
from dashboard.database.snapshot import take
from dashboard.pricing.job_costs import with_costs
from dashboard.pricing.price import marked_up
from dashboard.pricing.rates import flat_rate, past_jobs
from dashboard.pricing.repair_records import repair_of
from dashboard.pricing.terms import terms_of
from dashboard.settings.file import SETTINGS
from sample_data import jobs as shop_jobs
from sample_data.shop import UNDER_COST
from tests.ask import measure, records, run
from tests.references import pricing as known
from tests.shop_builder import shop

DEFAULTS = {setting.key: setting.default for setting in SETTINGS}

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer | repair_code               | charged
A      | 2026-01-01 | 2026-01-08 | washer         | leaks   | repaired    | one      | replace_drain_pump_washer | 200
B      | 2026-01-20 | 2026-01-21 | washer         | leaks   | repaired    | one      | replace_inlet_valve_washer | 0
C      | 2026-02-01 | 2026-02-02 | washer         | leaks   | repaired    | one      | repair_wiring             | 15
D      | 2026-01-05 | 2026-01-06 | washer         | leaks   | repaired    | two      | replace_drain_pump_washer | 240
E      | 2026-01-05 | 2026-01-06 | washer         | leaks   | declined    | three    | replace_drain_pump_washer | 95
F      | 2026-09-01 | 2026-09-02 | washer         | leaks   | repaired    | two      | replace_drain_pump_washer | 240
G      | 2026-01-05 | 2026-01-06 | washer         | leaks   | repaired    | four     |                           | 240
H      | 2026-01-05 | 2026-01-06 | washer         | leaks   | repaired    | five     | no_repair_possible        | 95
"""
VISITS = """
job_id | visit_no | technician | outcome         | minutes_on_job | travel_minutes
A      | 1        | Ann        | part_not_on_van | 20             | 15
A      | 2        | Ann        | completed       | 40             | 25
B      | 1        | Bob        | completed       | 30             | 20
C      | 1        | Bob        | completed       | 10             | 5
D      | 1        | Ann        | completed       | 50             | 30
E      | 1        | Ann        | customer_decision | 25           | 30
F      | 1        | Ann        | completed       | 70             | 30
G      | 1        | Ann        | completed       | 70             | 30
"""
PARTS = """
job_id | part_no | quantity | unit_cost
A      | P1      | 1        | 50
B      | P2      | 2        | 10
F      | P1      | 1        |
"""


@pytest.fixture
def drawn(tmp_path: Path) -> Path:
    """A came back as B after 12 days, B as C after 11; D came back as F after 238; E was declined."""
    return shop(tmp_path, jobs=JOBS, visits=VISITS, part_lines=PARTS)


def rows_of(folder: Path, warranty_days: int = 90) -> pd.DataFrame:
    """Return the cured complaints by job."""
    return run(folder, "measures/flat_rate", warranty_days=warranty_days).set_index("job_id")


def test_a_complaint_counts_once_with_the_minutes_of_all_its_jobs(drawn: Path):
    rows = rows_of(drawn)
    assert list(rows.index) == ["D", "A", "F"]  # E and H were no cure, G has no repair code
    a = rows.loc["A"]
    assert (a.job_min, a.return_min) == (20 + 40, 30 + 10)
    assert (a.returns, a.return_trips, a.job_trips) == (2, 2, 2)
    assert (a.job_parts_cost, a.return_parts_cost) == (50, 2 * 10)


def test_travel_is_separate_from_the_minutes_on_the_job(drawn: Path):
    a = rows_of(drawn).loc["A"]
    assert (a.job_travel_min, a.return_travel_min) == (15 + 25, 20 + 5)


def test_a_free_return_charges_nothing_and_a_charged_one_is_in(drawn: Path):
    a = rows_of(drawn).loc["A"]
    assert (a.first_charged, a.charged) == (200, 200 + 0 + 15)


def test_a_return_after_the_warranty_is_a_complaint_of_its_own(drawn: Path):
    assert set(rows_of(drawn, 11).index) == {"A", "B", "D", "F"}  # C came 11 days after B, in it
    assert set(rows_of(drawn, 10).index) == {"A", "B", "C", "D", "F"}
    assert rows_of(drawn, 11).loc["B", "return_min"] == 10
    assert rows_of(drawn, 300).loc["D", "return_min"] == 70


def test_an_unpriced_part_makes_the_cost_unknown_and_no_part_makes_it_zero(drawn: Path):
    rows = rows_of(drawn)
    assert pd.isna(rows.loc["F", "job_parts_cost"])
    assert rows.loc["D", "job_parts_cost"] == 0


def test_a_shop_without_part_lines_has_minutes_but_no_price(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS, visits=VISITS)
    row = measure(folder, "flat_rate").iloc[0]
    assert row.jobs == 3
    assert row.p50_minutes == 60  # 50, 60, 70
    assert (
        row[["parts_cost", "cost_to_serve", "proposed_rate", "margin_now", "result_now"]]
        .isna()
        .all()
    )


def test_a_shop_without_charges_has_a_price_but_no_margin_today(tmp_path: Path):
    jobs = "\n".join(line.rsplit("|", 1)[0] for line in JOBS.strip().splitlines())
    row = measure(shop(tmp_path, jobs=jobs, visits=VISITS, part_lines=PARTS), "flat_rate").iloc[0]
    assert row.proposed_rate > 0
    assert row[["median_charged", "margin_now", "share_under_cost_now", "result_now"]].isna().all()


def test_the_columns_begin_as_the_interface_says(drawn: Path):
    wanted = [
        "repair_code",
        "appliance_kind",
        "jobs",
        "p50_minutes",
        "planned_minutes",
        "planned_low",
        "planned_high",
        "parts_cost",
        "travel_cost",
        "callback_reserve",
        "cost_to_serve",
        "proposed_rate",
        "median_charged",
        "margin_now",
        "margin_proposed",
        "share_under_cost_now",
    ]
    assert list(measure(drawn, "flat_rate").columns[: len(wanted)]) == wanted


def test_no_cured_complaint_gives_an_empty_table(tmp_path: Path):
    jobs = JOBS.strip().splitlines()
    table = measure(shop(tmp_path, jobs="\n".join([jobs[0], jobs[5]])), "flat_rate")
    assert table.empty
    assert "proposed_rate" in table


def test_past_jobs_are_counted_with_the_returns_they_had(drawn: Path):
    settings = DEFAULTS | known_labour() | {"parts_slabs": (), "price_step": 0.0}
    terms = terms_of(settings)
    costs = with_costs(rows_of(drawn).reset_index(), terms).set_index("job_id")["cost"]
    a_min, d_min = 60 + 40 + 40 + 25, 50 + 30  # job, its travel, returns, their travel
    assert costs["A"] == pytest.approx(a_min / 60 * known.LABOUR_PER_HOUR + 50 + 20, abs=0.01)
    assert costs["D"] == pytest.approx(d_min / 60 * known.LABOUR_PER_HOUR, abs=0.01)
    repair = repair_of(rows_of(drawn).reset_index(), terms, "washer", "replace_drain_pump_washer")
    past = past_jobs(repair.jobs)
    assert (past.under_cost, past.jobs) == (1, 2)  # A: 215 of 371; D: 240 of 146; F unknown
    assert past.result == pytest.approx(215 + 240 - costs["A"] - costs["D"])
    assert past_jobs(repair.jobs, 400).under_cost == 0


def known_labour() -> dict[str, float]:
    """Return the labour settings of the trade's worked example."""
    labour = known.LABOUR
    return {
        "wage_per_hour": float(labour["wage_per_hour"]),
        "burden_rate": labour["burden_rate"],
        "billable_share": labour["billable_share"],
        "paid_hours": float(labour["paid_hours"]),
        "overhead_per_technician": float(labour["overhead_per_technician"]),
    }


def worked_rows() -> pd.DataFrame:
    """Fifty jobs of the worked example, three of which came back: 6 %, an hour and a part of 20."""
    return pd.DataFrame(
        {
            "job_id": [str(i) for i in range(50)],
            "closed_on": pd.Timestamp("2026-01-01"),
            "appliance_kind": "washer",
            "repair_code": "replace_drain_pump_washer",
            "teardown_class": "low",
            "job_min": 35.0 + 20,
            "job_travel_min": 25.0,
            "job_trips": 1,
            "job_parts_cost": known.PART_COST,
            "job_parts_price": known.SLAB_PRICES[0][1],
            "part_trips": 0,
            "returns": [1] * 3 + [0] * 47,
            "return_min": [35.0] * 3 + [0.0] * 47,
            "return_travel_min": [25.0] * 3 + [0.0] * 47,
            "return_trips": [1] * 3 + [0] * 47,
            "return_parts_cost": [20.0] * 3 + [0.0] * 47,
            "first_charged": 200.0,
            "charged": 200.0,
            "is_linked": True,
            "observed_days": [10] * 3 + [365] * 47,
            "callback_days": pd.array([10] * 3 + [None] * 47, dtype="Int32"),
        }
    )


def test_the_worked_price_of_the_trade_comes_out_to_the_cent():
    """Wage to price, step by step: common practice, no source; amounts rounded to the cent there."""
    settings = DEFAULTS | known_labour() | {"parts_slabs": (), "price_step": 0.0}
    row = flat_rate(worked_rows(), settings).iloc[0]
    assert row.planned_minutes == pytest.approx(55)
    assert row.callback_chance == pytest.approx(3 / 50)
    assert row.callback_reserve == pytest.approx(known.RESERVE, abs=0.005)
    assert row.cost_to_serve == pytest.approx(known.COST, abs=0.01)
    assert row.proposed_rate == pytest.approx(known.PRICE, abs=0.01)
    assert row.margin_proposed == pytest.approx(known.TARGET_MARGIN, abs=1e-9)
    assert row.margin_now == pytest.approx((200 - known.COST) / 200, abs=1e-4)
    assert row.share_under_cost_now == 3 / 50  # 190.78 without a return, 320 with one


def test_slabs_price_the_part_and_the_margin_the_rest():
    settings = DEFAULTS | known_labour() | {"price_step": 5.0}
    row = flat_rate(worked_rows(), settings).iloc[0]
    part_cost, part_price = known.SLAB_PRICES[0]
    exact = (known.COST - part_cost) / (1 - known.TARGET_MARGIN) + part_price  # 280.6
    assert row.proposed_rate == pytest.approx(285)
    assert 0 <= row.proposed_rate - exact < 5


def test_each_part_is_marked_up_on_its_own_not_the_sum_of_the_job(tmp_path: Path):
    """Two parts of 40 cost by the slabs 40: 10 at 3 and 30 at 2, each 90; a sum of 80 gives 158."""
    parts = PARTS.replace(
        "A      | P1      | 1        | 50",
        """A      | P1      | 2        | 40
    A      | P3      | 1        | 60""",
    )
    rows = rows_of(shop(tmp_path, jobs=JOBS, visits=VISITS, part_lines=parts))
    assert rows.loc["A", "job_parts_cost"] == 2 * 40 + 60
    assert rows.loc["A", "job_parts_price"] == 2 * (10 * 3 + 30 * 2) + (10 * 3 + 40 * 2 + 10 * 1.6)
    assert pd.isna(rows.loc["F", "job_parts_price"])
    assert rows.loc["D", "job_parts_price"] == 0


def test_the_marked_up_parts_of_every_job_are_those_of_python(sample_shop: Path):
    """The twin: each line by marked_up, added up in plain Python."""
    terms, lines = terms_of(DEFAULTS), {}
    for line in records(sample_shop, "measures/flat_rate", warranty_days=90):
        lines[line["job_id"]] = line["job_parts_price"]
    found: dict[str, float] = {}
    cursor = connection(take(sample_shop).version).cursor()
    for job, quantity, cost in cursor.execute(
        "SELECT job_id, quantity, unit_cost::DOUBLE FROM core.part_lines ORDER BY row_id, item_no"
    ).fetchall():
        price = None if cost is None else round(quantity * marked_up(cost, terms.slabs), 2)
        found[job] = found.get(job, 0.0) + (float("nan") if price is None else price)
    checked = {job: price for job, price in lines.items() if price is not None}
    assert len(checked) > 4_000
    assert checked == pytest.approx({job: found.get(job, 0.0) for job in checked}, abs=0.02)


def test_trips_for_a_missing_part_are_counted_and_a_last_one_that_ended_so_is_none(drawn: Path):
    rows = rows_of(drawn)
    assert (rows.loc["A", "part_trips"], rows.loc["D", "part_trips"]) == (1, 0)


def test_without_missing_parts_a_repair_is_priced_from_the_jobs_that_had_their_part():
    """Half of the jobs took 40 minutes and a trip more: the price without them knows none of it."""
    direct = worked_rows()
    sent_away = direct.assign(
        job_id=[f"s{i}" for i in range(50)],
        job_min=direct["job_min"] + 40,
        job_travel_min=50.0,
        job_trips=2,
        part_trips=1,
    )
    settings = DEFAULTS | known_labour() | {"price_step": 0.0}
    mixed = flat_rate(pd.concat([direct, sent_away], ignore_index=True), settings).iloc[0]
    alone = flat_rate(direct, settings).iloc[0]
    assert (mixed.jobs, mixed.jobs_at_hand) == (100, 50)
    assert mixed.rate_at_hand == pytest.approx(alone.proposed_rate, abs=1)  # the reserve is shared
    assert mixed.proposed_rate > mixed.rate_at_hand + 50


def test_explaining_and_leveling_cost_the_call_and_no_flat_rate():
    rows = worked_rows().assign(repair_code="instruct_user")
    row = flat_rate(rows, DEFAULTS | {"diagnosis_fee": 110.0}).iloc[0]
    assert (row.proposed_rate, row.rate_at_hand, row.is_call_fee) == (110, 110, True)
    assert not flat_rate(worked_rows(), DEFAULTS).iloc[0].is_call_fee


def test_travel_without_recorded_minutes_takes_the_setting_for_each_trip():
    rows = worked_rows().assign(job_travel_min=None, job_trips=2).astype({"job_travel_min": float})
    settings = DEFAULTS | known_labour() | {"travel_minutes": 30.0, "trip_cost": 4.0}
    row = flat_rate(rows, settings).iloc[0]
    assert row.travel_cost == pytest.approx(2 * 30 / 60 * known.LABOUR_PER_HOUR + 2 * 4, abs=0.01)


def test_a_repair_of_few_jobs_borrows_its_return_chance_from_the_shop():
    few = worked_rows().iloc[3:13].assign(repair_code="repair_wiring")
    rows = pd.concat([worked_rows(), few], ignore_index=True)
    table = flat_rate(rows, DEFAULTS).set_index("repair_code")
    shop_chance = 3 / 60  # Kaplan-Meier: all 60 seen for a year but the three that came back
    assert table.loc["repair_wiring", "callback_chance"] == pytest.approx(30 / 40 * shop_chance)


def test_a_return_is_reserved_for_with_those_that_followed_it(drawn: Path):
    terms = terms_of(DEFAULTS | known_labour())
    repair = repair_of(rows_of(drawn).reset_index(), terms, "washer", "replace_drain_pump_washer")
    # B and C: 30 + 10 minutes, 20 + 5 of travel, parts of 20; A is the shop's only one that returned
    assert repair.return_cost == pytest.approx(
        (40 + 25) / 60 * known.LABOUR_PER_HOUR + 20, abs=0.01
    )


def simulated(folder: Path, seed: int, jobs: int, plants: frozenset) -> Path:
    """Load a simulated shop: its jobs, trips and parts, clean."""
    made = shop_jobs.simulate(seed, jobs, plants)
    fields = (
        "job_id opened_on closed_on appliance_kind symptom disposition serial repair_code charged"
    )
    trips = "job_id visit_no technician outcome minutes travel"
    return shop(
        folder,
        jobs=drawing(made.jobs, fields.split()),
        visits=drawing(
            made.visits, trips.split(), {"minutes": "minutes_on_job", "travel": "travel_minutes"}
        ),
        part_lines=drawing(made.part_lines, ["job_id", "part_no", "quantity", "unit_cost"]),
    )


def drawing(rows: list[dict], fields: list[str], names: dict[str, str] | None = None) -> str:
    """Return rows as a drawn table."""
    head = [(names or {}).get(field, field) for field in fields]
    cells = [["" if row[f] is None else str(row[f]) for f in fields] for row in rows]
    return "\n".join(" | ".join(line) for line in [head, *cells])


def check_planted(table: pd.DataFrame) -> None:
    """The two planted repairs lost most money, and no other has so thin a margin."""
    worst = table.head(2)
    assert set(zip(worst["appliance_kind"], worst["repair_code"], strict=True)) == set(UNDER_COST)
    assert (worst["share_under_cost_now"] > 0.9).all()
    assert (worst["share_under_cost_proposed"] < 0.35).all()
    others = table[(table["jobs"] >= 20) & ~table.index.isin(worst.index)]
    assert worst["margin_now"].max() < others["margin_now"].min() - 0.1


def test_the_sample_shops_two_repairs_under_cost_are_found(sample_shop: Path):
    check_planted(measure(sample_shop, "flat_rate"))


@pytest.mark.slow
def test_two_repairs_under_cost_are_found_in_another_shop_too(tmp_path: Path):
    folder = simulated(tmp_path, 11, 5000, frozenset({"under_cost"}))
    check_planted(measure(folder, "flat_rate"))


@pytest.mark.slow
def test_a_shop_that_prices_all_alike_has_no_repair_that_nearly_always_loses(tmp_path: Path):
    table = measure(simulated(tmp_path, 11, 2500, frozenset()), "flat_rate")
    many = table[table["jobs"] >= 20]
    assert len(many) > 20
    assert many["share_under_cost_now"].max() < 0.8
