"""Part numbers that come back early: counts by hand, and the planted number found."""

from pathlib import Path

import pytest
from scipy.stats import fisher_exact
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
    rows = measure(drawn, "early_parts", window_days=30).set_index("part_no")
    new = rows.loc["NEW"]
    assert (new.jobs, new.callbacks, new.other_jobs, new.other_callbacks) == (11, 6, 25, 1)
    assert new.reference == "component"
    assert new.expected == pytest.approx(11 * 1 / 25)
    assert new.p_value == pytest.approx(fisher_exact([[6, 5], [1, 24]], "greater").pvalue)
    assert new.flagged
    assert not rows.loc["OLD"].flagged


def test_few_alternatives_leave_the_shop_as_yardstick(drawn: Path):
    """OLD has only 11 jobs with other numbers of the pump, under the 20 of the setting."""
    rows = measure(drawn, "early_parts", window_days=30).set_index("part_no")
    assert rows.loc["OLD", "reference"] == "shop"
    narrow = measure(drawn, "early_parts", window_days=30, min_jobs=5).set_index("part_no")
    assert narrow.loc["OLD", "reference"] == "component"


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
    assert rows.loc["FEW", ["p_value", "q_value"]].isna().all()
    assert rows.loc["MANY", "p_value"] == 1  # no callback: nothing stands out
    assert not rows["flagged"].any()


def test_the_planted_number_and_no_other_is_flagged(sample_shop: Path):
    for window_days in (30, 60, 90):
        rows = measure(sample_shop, "early_parts", window_days=window_days)
        assert rows.loc[rows["flagged"], "part_no"].tolist() == ["RC2625-E"]


def test_q_values_are_those_of_statsmodels(sample_shop: Path):
    rows = measure(sample_shop, "early_parts", window_days=30).dropna(subset=["p_value"])
    other = multipletests(rows["p_value"], method="fdr_bh")[1]
    assert rows["q_value"].tolist() == pytest.approx(other.tolist(), rel=1e-9)


def test_the_curve_of_a_part_holds_every_counted_job_once(drawn: Path):
    rows = run(drawn, "pages/part_curve", part_no="NEW", kind="dishwasher", component="drain_pump")
    seen = (rows["callbacks"] + rows["censored"]).groupby(rows["group"]).sum()
    assert seen.to_dict() == {"NEW": 11, "other numbers": 24}  # J20 has both: it counts as NEW
