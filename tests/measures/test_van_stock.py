"""Van stock: demand, kits and lost trips of drawn jobs, counted by hand."""

from itertools import combinations
from math import exp
from pathlib import Path

import pandas as pd
import pytest

from dashboard.filters import Filters
from dashboard.pricing.terms import terms_of
from dashboard.settings.file import SETTINGS
from dashboard.stats.inventory.demand import demand_of
from dashboard.stats.inventory.model import jobs_covered
from dashboard.van_stock.compute import need_of, proposed, stock_table
from dashboard.van_stock.trips import part_trips, saving, slow_parts
from tests.ask import measure, run
from tests.shop_builder import shop

DEFAULTS = {setting.key: setting.default for setting in SETTINGS}
WASHER = "washer | leaks | repaired"
JOBS = f"""
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | repair_code
A      | 2026-01-01 | 2026-01-08 | {WASHER} | replace_drain_pump_washer
B      | 2026-01-02 | 2026-01-02 | {WASHER} | replace_drain_pump_washer
C      | 2026-01-08 | 2026-01-08 | {WASHER} | replace_inlet_valve_washer
D      | 2026-01-15 | 2026-01-15 | {WASHER} | repair_wiring
E      | 2026-01-03 | 2026-01-03 | {WASHER} | replace_drain_pump_washer
F      | 2026-01-04 | 2026-01-04 | washer | leaks | cancelled |
"""
VISITS = """
job_id | visit_no | technician | outcome            | arrived_at       | minutes_on_job | travel_minutes
A      | 1        | Ann        | part_not_on_van    | 2026-01-01 09:00 | 30             | 20
A      | 2        | Bob        | completed          | 2026-01-08 09:00 | 50             | 25
B      | 1        | Ann        | completed          | 2026-01-02 09:00 | 60             | 20
C      | 1        | Ann        | completed          | 2026-01-08 09:00 | 40             | 20
D      | 1        | Ann        | completed          | 2026-01-15 09:00 | 40             | 20
E      | 1        | Bob        | completed          | 2026-01-03 09:00 | 50             | 20
F      | 1        | Bob        | customer_cancelled | 2026-01-04 09:00 | 0              | 0
"""
PARTS = """
job_id | part_no | quantity | unit_cost | component   | from_van
A      | P1      | 1        | 50        | drain_pump  | no
B      | P1      | 1        | 54        | drain_pump  | yes
B      | H1      | 2        | 3         | hose        | yes
C      | V1      | 1        | 30        | inlet_valve | yes
E      | P1      | 1        | 52        | drain_pump  | yes
"""


@pytest.fixture
def drawn(tmp_path: Path) -> Path:
    """A needed P1 on Ann's van on the 1st and lost a trip; Bob brought it. F was cancelled."""
    return shop(tmp_path, jobs=JOBS, visits=VISITS, part_lines=PARTS)


def rows_of(folder: Path, **options):
    """Return the base rows under weekly restocking."""
    return run(folder, "measures/van_stock", options.get("filters"), restock_days=7)


def test_a_part_is_needed_on_the_van_and_in_the_period_of_the_first_trip(drawn: Path):
    """A and B asked Ann's van for P1 in week 0, E Bob's; C came on the 8th, the first day of week 1.
    D of week 2 needed nothing; F had no visit.
    """
    parts = rows_of(drawn).drop_duplicates("part_no").set_index("part_no")
    assert parts.loc["P1", ["units", "units_squared"]].tolist() == [3, 2**2 + 1]
    assert parts.loc["P1", "last_needed_on"] == pd.Timestamp("2026-01-03")
    assert parts.loc["V1", "last_needed_on"] == pd.Timestamp("2026-01-08")
    assert (parts["periods"] == 3).all()


def test_demand_counts_van_periods_without_the_part(drawn: Path):
    need = need_of(rows_of(drawn))
    # van-periods at work: Ann 0, 1, 2 and Bob 0; P1 asked for: Ann 2, 0, 0, Bob 1
    assert (need.van_periods, need.vans, need.periods) == (4, 2, 3)
    assert need.demands["P1"] == demand_of(3, 5, 4)  # 2, 1, 0, 0
    assert need.demands["P1"].mean == 3 / 4
    assert need.costs == {"P1": 52, "H1": 3, "V1": 30}  # medians


def test_a_job_needs_all_of_its_parts_at_once(drawn: Path):
    kits = {tuple(sorted(kit.parts.items())): kit.jobs for kit in need_of(rows_of(drawn)).kits}
    assert kits == {(("P1", 1),): 2 / 4, (("H1", 2), ("P1", 1)): 1 / 4, (("V1", 1),): 1 / 4}


def test_one_technicians_filter_is_one_van(drawn: Path):
    need = need_of(rows_of(drawn, filters=Filters(technician=("Bob",))))
    assert (need.vans, need.van_periods) == (1, 1)  # E; A, finished by Bob, asked of Ann's van


def test_trips_lost_for_parts_are_shown_with_their_minutes(drawn: Path):
    today = part_trips(rows_of(drawn))
    assert (today.part_jobs, today.needed_jobs, today.ordered_jobs) == (4, 1, 0)  # A, B, C, E
    # A took 80 + 45; the same repair in one visit: B 60 + 20, E 50 + 20
    assert today.extra_min == (80 + 45) - (80 + 70) / 2
    assert today.compared_jobs == 1
    assert today.covered_share == 3 / 4


@pytest.mark.parametrize("budget", [0, 30, 55, 60, 90, 150])
def test_the_stock_covers_most_jobs_of_all_that_the_budget_buys(drawn: Path, budget: int):
    """Every stock of up to four pumps and valves and eleven hoses is tried."""
    need = need_of(rows_of(drawn))
    found = proposed(need, budget, is_budget=True)
    buys = [
        {"P1": p, "H1": h, "V1": v}
        for p in range(5)
        for h in range(12)
        for v in range(5)
        if 52 * p + 3 * h + 30 * v <= budget
    ]
    best = max(jobs_covered(need.kits, need.demands, units) for units in buys)
    assert found.covered == pytest.approx(best, abs=1e-3)  # beyond them hardly any demand
    assert found.covered >= best - 1e-9


def test_slots_count_every_unit_once(drawn: Path):
    need = need_of(rows_of(drawn))
    found = proposed(need, 2, is_budget=False)
    tried = [dict(zip(pair, (1, 1), strict=True)) for pair in combinations(need.demands, 2)]
    tried += [{part: 2} for part in need.demands]
    best = max(jobs_covered(need.kits, need.demands, units) for units in tried)
    assert sum(found.units.values()) <= 2
    assert found.covered == pytest.approx(best)


def test_a_parts_gain_is_the_jobs_that_are_lost_without_it(drawn: Path):
    need = need_of(rows_of(drawn))
    stock = proposed(need, 150, is_budget=True)
    table = stock_table(need, stock).set_index("part_no")
    without = stock.units | {"P1": 0}
    lost = stock.covered - jobs_covered(need.kits, need.demands, without)
    assert table.loc["P1", "jobs_completed_gain"] == pytest.approx(lost)
    assert table["jobs_completed_gain"].is_monotonic_decreasing


def test_the_saving_of_a_year_is_jobs_times_a_lost_trip(drawn: Path):
    need, today = need_of(rows_of(drawn)), part_trips(rows_of(drawn))
    stock = proposed(need, 500, is_budget=True)
    found = saving(need, stock, today, DEFAULTS)
    vans_at_work = 4 / 3
    expected = (stock.covered - 3 / 4 * need.jobs) * vans_at_work * 365 / 7
    assert found.jobs == pytest.approx(expected)
    assert found.minutes == pytest.approx(expected * 50)
    assert found.money == pytest.approx(terms_of(DEFAULTS).labour(expected * 50))


def test_a_part_hardly_ever_used_is_slow_and_only_what_came_from_a_van_is_named(drawn: Path):
    rows = rows_of(drawn)
    slow = slow_parts(rows, need_of(rows), restock_days=90)  # one period a quarter
    chances = dict(zip(slow["part_no"], slow["chance_unused"], strict=True))
    size = 0.75**2 / (11 / 12 - 0.75)  # P1: 2, 1, 0, 0 comes in clumps, variance 11/12
    assert chances == pytest.approx(
        {"V1": exp(-1 / 4), "H1": 0.5**0.5, "P1": (size / (size + 0.75)) ** size}
    )
    assert list(chances) == ["V1", "H1", "P1"]  # slowest first
    assert slow_parts(rows, need_of(rows), restock_days=30).empty  # three periods: all below half
    unseen = rows.assign(is_from_van=False)
    assert slow_parts(unseen, need_of(unseen), restock_days=90).empty


def test_parts_without_a_price_are_limited_by_slots_not_by_a_budget(tmp_path: Path):
    parts = "\n".join(" | ".join(line.split("|")[:3]) for line in PARTS.strip().splitlines())
    folder = shop(tmp_path, jobs=JOBS, visits=VISITS, part_lines=parts)
    need = need_of(rows_of(folder))
    assert need.costs == {}
    assert proposed(need, 1000, is_budget=True).units == {}
    table = measure(folder, "van_stock")
    assert table["cost"].isna().all()
    assert (table["carry"] > 0).all()  # 120 slots hold them all


def test_the_columns_are_those_of_the_interface_and_no_part_is_an_empty_table(tmp_path: Path):
    wanted = "part_no component demand_per_period carry chance_enough cost jobs_completed_gain"
    table = measure(shop(tmp_path, jobs=JOBS), "van_stock")
    assert list(table.columns) == wanted.split()
    assert table.empty


def test_the_sample_shops_stock_keeps_its_budget_and_states_its_gap(sample_shop: Path):
    need = need_of(run(sample_shop, "measures/van_stock", restock_days=7))
    stock = proposed(need, 5000, is_budget=True)
    assert sum(need.costs[part] * units for part, units in stock.units.items()) <= 5000
    assert 0 <= stock.gap < 0.01 * stock.jobs
    table = measure(sample_shop, "van_stock")
    assert dict(zip(table["part_no"], table["carry"], strict=True)) == {
        part: stock.units.get(part, 0) for part in need.demands
    }


def test_a_part_is_dated_by_the_first_trip_that_reached_the_appliance(tmp_path: Path):
    folder = shop(
        tmp_path,
        jobs="""
        job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
        1      | 2026-01-02 | 2026-02-03 | washer         | leaks   | repaired    | one
        """,
        visits="""
        job_id | visit_no | technician | outcome   | arrived_at
        1      | 1        | Ann        | no_access | 2026-01-05 09:00
        1      | 2        | Ann        | completed | 2026-02-03 09:00
        """,
        part_lines="""
        job_id | visit_no | part_no | component  | quantity
        1      | 2        | P1      | drain_pump | 1
        """,
    )
    (row,) = run(folder, "measures/van_stock", restock_days=14).itertuples()
    assert str(row.last_needed_on)[:10] == "2026-02-03"
