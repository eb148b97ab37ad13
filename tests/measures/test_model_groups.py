"""Two prices for one repair: planted models are found, and a shop without any names none."""

from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from dashboard.database.snapshot import take
from dashboard.pricing.model_groups import model_groups
from dashboard.pricing.read_price_list import read_price_list
from dashboard.settings.file import SETTINGS
from tests.ask import measure, run
from tests.shop_builder import shop

DEFAULTS = {setting.key: setting.default for setting in SETTINGS}


def minutes(seed: int, repairs: int, models: int, jobs: int, factor: float = 1.0) -> pd.DataFrame:
    """Return minutes by model; the last model of the first repair takes `factor` times as long."""
    generator = np.random.default_rng(seed)
    rows = [
        (
            "washer",
            f"repair_{r:02d}",
            f"Model {m}",
            float(round(generator.lognormal(np.log(50), 0.3)))
            * (factor if r == 0 and m == models - 1 else 1),
            1,
        )
        for r in range(repairs)
        for m in range(models)
        for _ in range(jobs)
    ]
    names = ["appliance_kind", "repair_code", "model", "labour_min", "jobs"]
    return pd.DataFrame(rows, columns=names)


def test_a_slow_model_is_found_among_many_repairs():
    table = model_groups(minutes(1, 20, 4, 15, 1.8), DEFAULTS)
    flagged = table[table["flagged"]]
    assert flagged["repair_code"].unique().tolist() == ["repair_00"]
    assert flagged.set_index("side").loc["slow", "models"] == "Model 3"
    assert flagged["ratio_low"].iloc[0] > 1.2


def test_nothing_to_compare_gives_an_empty_table():
    assert model_groups(minutes(1, 2, 1, 30), DEFAULTS).empty
    assert model_groups(minutes(1, 2, 4, 3), DEFAULTS).empty


@pytest.mark.slow
def test_shops_whose_models_are_alike_are_flagged_in_at_most_one_of_twenty():
    flagged = sum(
        model_groups(minutes(seed, 15, 4, 10), DEFAULTS)["flagged"].any() for seed in range(120)
    )
    assert flagged <= 11  # 6 expected at most; 11 is two standard errors above


def test_minutes_are_those_of_flat_rate_with_a_model(sample_shop: Path):
    ours = run(sample_shop, "measures/model_groups", warranty_days=90)
    rates = run(sample_shop, "measures/flat_rate", warranty_days=90)
    timed = rates[(rates["job_min"] > 0) & rates["model"].notna()]
    assert ours["jobs"].sum() == len(timed)
    assert (ours["labour_min"] * ours["jobs"]).sum() == pytest.approx(timed["job_min"].sum())


def test_two_models_give_two_prices_on_the_list(tmp_path: Path):
    generator = np.random.default_rng(5)
    jobs, visits = [], []
    for n in range(60):
        model, typical = (("A1", 40), ("B2", 100))[n % 2]
        jobs.append(
            f"J{n}|2026-01-01|2026-01-02|washer|leaks|repaired|c{n}|replace_hose_washer|200|Vey|{model}"
        )
        visits.append(f"J{n}|1|Ann|completed|{generator.lognormal(np.log(typical), 0.2):.0f}|20")
    head = "job_id|opened_on|closed_on|appliance_kind|symptom|disposition|customer|repair_code|charged|brand|model"
    folder = shop(
        tmp_path,
        jobs="\n".join([head, *jobs]),
        visits="\n".join(
            ["job_id|visit_no|technician|outcome|minutes_on_job|travel_minutes", *visits]
        ),
        part_lines="job_id|part_no|quantity|unit_cost\nJ0|P1|1|10",
    )
    assert measure(folder, "model_groups")["flagged"].all()
    rows = read_price_list(take(folder)).rows.set_index("side")
    assert rows.loc["slow", "models"] == "Vey B2"
    assert rows.loc["slow", "proposed_rate"] > rows.loc["quick", "proposed_rate"] + 50
    assert rows["jobs"].tolist() == [30, 30]
