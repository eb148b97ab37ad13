"""Part numbers that come back early: counts by hand, and the planted number found."""

from pathlib import Path

import pandas as pd
import pytest
from lifelines.statistics import logrank_test
from scipy.stats import binomtest
from statsmodels.stats.multitest import multipletests

from tests.ask import measure, run
from tests.shop_builder import shop


def two_numbers() -> dict[str, str]:
    """Draw 10 repairs with NEW, 6 of them back, and 25 with OLD, 1 back; one job has both."""
    jobs, parts = [], []
    for i in range(35):
        part, is_back = ("NEW", i < 6) if i < 10 else ("OLD", i == 10)
        jobs.append(f"J{i} | 2026-01-01 | 2026-01-02 | dishwasher | leaks | repaired | c{i}")
        parts.append(f"J{i} | 1 | {part} | drain_pump | 1")
        if is_back:
            jobs.append(f"B{i} | 2026-01-12 | 2026-01-13 | dishwasher | leaks | declined | c{i}")
    jobs.append("END | 2026-06-01 | 2026-06-01 | dishwasher | leaks | cancelled | none")
    parts.append("J20 | 1 | NEW | drain_pump | 1")
    head = "job_id | opened_on | closed_on | appliance_kind | symptom | disposition | customer\n"
    return {
        "jobs": head + "\n".join(jobs),
        "part_lines": "job_id | visit_no | part_no | component | quantity\n" + "\n".join(parts),
    }


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The shop of two_numbers."""
    return shop(tmp_path_factory.mktemp("parts"), **two_numbers())


def test_a_number_is_held_against_the_other_numbers_of_its_component(drawn: Path):
    """Six of 11 and one of 25 on day 10: 7 returns among 36 at risk, 11 / 36 of them expected."""
    rows = measure(drawn, "early_parts", window_days=30).set_index("part_no")
    new = rows.loc["NEW"]
    assert (new.jobs, new.callbacks, new.other_jobs, new.other_callbacks) == (11, 6, 25, 1)
    assert new.expected == pytest.approx(7 * 11 / 36)
    assert new.p_value == pytest.approx(binomtest(6, 7, 11 / 36, "greater").pvalue)
    assert new.flagged
    assert not rows.loc["OLD"].flagged


def test_without_an_alternative_nothing_is_said(tmp_path: Path):
    """The heater has one number only: other components are no yardstick."""
    tables = two_numbers()
    tables["part_lines"] = tables["part_lines"].replace("OLD | drain_pump", "OLD | inlet_valve")
    tables["part_lines"] = tables["part_lines"].replace("inlet_valve", "water_inlet_valve")
    rows = measure(shop(tmp_path, **tables), "early_parts", window_days=30)
    assert len(rows) == 2
    assert rows[["p_value", "adjusted_p", "expected"]].isna().all(axis=None)
    assert not rows["flagged"].any()


def test_the_statistic_is_that_of_lifelines(sample_shop: Path):
    """Log-rank of each part against its alternatives; part numbers of one kind and component."""
    rows = measure(sample_shop, "early_parts", window_days=30).dropna(subset=["log_rank_z"])
    single = rows.groupby("part_no")["part_no"].transform("size") == 1
    checked = 0
    for row in rows[single & (rows["followed"] > 15)].head(12).itertuples():
        days = run(
            sample_shop,
            "measures/early_parts",
            window_days=30,
        )
        same = days[
            (days["appliance_kind"] == row.appliance_kind) & (days["component"] == row.component)
        ]
        sides = [
            spread_out(same[(same["part_no"] == row.part_no) == is_own]) for is_own in (True, False)
        ]
        other = logrank_test(sides[0][0], sides[1][0], sides[0][1], sides[1][1])
        assert row.log_rank_z**2 == pytest.approx(other.test_statistic, rel=1e-9)
        checked += 1
    assert checked == 12


def spread_out(days: pd.DataFrame) -> tuple[list[int], list[bool]]:
    """Return one duration and one event for each job."""
    durations, events = [], []
    for row in days.itertuples():
        durations += [row.day] * row.seen
        events += [True] * row.back + [False] * (row.seen - row.back)
    return durations, events


def test_a_return_after_the_window_is_none(drawn: Path):
    assert measure(drawn, "early_parts", window_days=9)["callbacks"].sum() == 0


def test_a_number_fitted_in_four_jobs_is_not_asked(tmp_path: Path):
    jobs = "job_id | opened_on | closed_on | appliance_kind | symptom | disposition | customer\n"
    jobs += "\n".join(
        f"J{i} | 2026-01-01 | 2026-01-02 | washer | leaks | repaired | c{i}" for i in range(9)
    )
    jobs += "\nEND | 2026-06-01 | 2026-06-01 | washer | leaks | cancelled | none"
    parts = "job_id | visit_no | part_no | component | quantity\n" + "\n".join(
        f"J{i} | 1 | {'FEW' if i < 4 else 'MANY'} | drain_pump | 1" for i in range(9)
    )
    rows = measure(shop(tmp_path, jobs=jobs, part_lines=parts), "early_parts", window_days=30)
    rows = rows.set_index("part_no")
    assert rows.loc["FEW", ["p_value", "adjusted_p"]].isna().all()
    assert rows.loc["MANY", "p_value"] == 1  # no callback: nothing stands out
    assert not rows["flagged"].any()


def test_the_planted_number_and_no_other_is_flagged(sample_shop: Path):
    for window_days in (30, 60, 90):
        rows = measure(sample_shop, "early_parts", window_days=window_days)
        assert rows.loc[rows["flagged"], "part_no"].tolist() == ["DZ8842-E"]


def test_a_part_is_judged_by_the_jobs_that_can_show_a_difference(sample_shop: Path):
    """statsmodels' Holm takes every part for one that could show as much, and reach any chance."""
    rows = measure(sample_shop, "early_parts", window_days=30).dropna(subset=["p_value"])
    rows = rows.drop_duplicates("part_no").set_index("part_no")
    holm = pd.Series(multipletests(rows["p_value"], method="holm")[1], rows.index)
    assert (rows["adjusted_p"] >= rows["p_value"] - 1e-12).all()
    assert rows.loc["DZ8842-E", "adjusted_p"] < holm["DZ8842-E"]


def test_the_curve_of_a_part_holds_every_counted_job_once(drawn: Path):
    rows = run(drawn, "pages/part_curve", part_no="NEW", kind="dishwasher", component="drain_pump")
    seen = (rows["callbacks"] + rows["censored"]).groupby(rows["group"]).sum()
    assert seen.to_dict() == {"NEW": 11, "other numbers": 24}  # J20 has both: it counts as NEW
