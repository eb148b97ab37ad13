"""What is fair: paradoxes are seen, limits are drawn, chance and difference are distinguished."""

from itertools import permutations
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from dashboard.callbacks.curves import at_risk, compare_curves, free_curve
from dashboard.fairness import compute as fairness
from dashboard.fairness import sentences as fairness_words
from tests.ask import measure
from tests.references.chance import STONES
from tests.references.month_charts import FALSE_ALARMS
from tests.shop_builder import shop


def stones() -> pd.DataFrame:
    """Charig's kidney stones as jobs: treatment = group, size of the stone = appliance."""
    rows = pd.DataFrame(STONES, columns=["group", "appliance_kind", "fixed_first_time", "mature"])
    return rows.assign(rate=rows["fixed_first_time"] / rows["mature"])


def totals() -> pd.DataFrame:
    """Return the treatments' totals in the shape of the SQL, expected from the pooled strata."""
    rows = stones()
    pooled = rows.groupby("appliance_kind")[["fixed_first_time", "mature"]].sum()
    share = pooled["fixed_first_time"] / pooled["mature"]
    rows["expected"] = rows["mature"] * rows["appliance_kind"].map(share)
    table = rows.groupby("group", as_index=False)[["fixed_first_time", "mature", "expected"]].sum()
    shop_rate = table["fixed_first_time"].sum() / table["mature"].sum()
    return table.assign(
        rate=table["fixed_first_time"] / table["mature"], shop_rate=shop_rate, is_mix_apart=True
    )


def test_the_better_in_every_kind_and_worse_in_total_is_named():
    assert fairness.reversals(stones(), 20) == [("A", "B")]
    assert fairness.reversals(stones(), 100) == []  # small stones: A has 87 only


def test_every_pair_of_many_groups_is_found_as_by_its_definition():
    random = np.random.default_rng(8)
    rows = pd.DataFrame(
        [(group, kind) for group in range(40) for kind in range(4)],
        columns=["group", "appliance_kind"],
    )
    rows = rows[random.random(len(rows)) < 0.8]
    rows["mature"] = random.integers(10, 60, len(rows))
    rows["fixed_first_time"] = random.binomial(rows["mature"], 0.2 + 0.2 * rows["appliance_kind"])
    rows["rate"] = rows["fixed_first_time"] / rows["mature"]
    enough = rows[rows["mature"] >= 20]
    expected = []
    for one, other in permutations(range(40), 2):
        both = enough[enough["group"] == one].merge(
            enough[enough["group"] == other], on="appliance_kind"
        )
        wins = len(both) >= 2 and (both["rate_x"] > both["rate_y"]).all()
        sums = both.sum()
        if wins and sums["fixed_first_time_x"] / sums["mature_x"] < (
            sums["fixed_first_time_y"] / sums["mature_y"]
        ):
            expected.append((one, other))
    assert len(expected) > 1
    assert fairness.reversals(rows, 20) == expected


def test_adjusting_for_the_mix_turns_the_paradox_round():
    """Charig 1986: A wins in each stratum, B in total; O/E of successes A 1.0257, B .9769."""
    found = fairness.first_time_fix(totals(), None).set_index("group")
    assert found.loc["A", "rate"] < found.loc["B", "rate"]
    assert found.loc["A", "adjusted_rate"] > found.loc["B", "adjusted_rate"]
    for name, successes in (("A", 1.025717), ("B", 0.976864)):
        row = found.loc[name]
        assert row.fixed_first_time / row.expected == pytest.approx(successes, abs=5e-7)
        failed = (row.mature - row.fixed_first_time) / (row.mature - row.expected)
        assert row.ratio == pytest.approx(failed)
        assert row.ratio_low < row.ratio < row.ratio_high


def test_a_group_that_is_the_mix_itself_is_judged_as_counted():
    table = pd.DataFrame(
        {
            "group": ["washer", "microwave"],
            "mature": [200, 200],
            "fixed_first_time": [180, 60],
            "rate": [0.9, 0.3],
            "expected": [180.0, 60.0],
            "shop_rate": 0.6,
            "is_mix_apart": False,
        }
    )
    assert fairness.first_time_fix(table, None)["funnel"].tolist() == ["different", "different"]


def months(rates: list[float], n: int = 200, pending: int = 0) -> pd.DataFrame:
    """Draw months of n jobs each; the last one has pending jobs."""
    fixed = [round(rate * n) for rate in rates]
    return pd.DataFrame(
        {
            "month": [f"2025-{i:02}" for i in range(1, len(rates) + 1)],
            "mature": n,
            "fixed_first_time": fixed,
            "rate": [k / n for k in fixed],
            "low": 0.0,
            "high": 1.0,
            "pending": [0] * (len(rates) - 1) + [pending],
            "baseline_months": 12,
            "is_shown": True,
        }
    )


def test_one_bad_month_is_signalled_and_its_neighbours_are_not():
    found = fairness.month_signals(months([0.65, 0.66, 0.64, 0.66, 0.65, 0.45, 0.66, 0.65]), None)
    assert (found["signals"] != "").tolist() == [False] * 5 + [True] + [False] * 2
    assert found.loc[5, "signals"] == "a point beyond 3 sigma"


def test_a_pending_month_is_out_of_the_baseline():
    found = fairness.month_signals(months([0.6, 0.7, 0.2], pending=5), None)
    assert found["is_baseline"].tolist() == [True, True, False]
    assert found["centre"].tolist() == pytest.approx([0.7, 0.6, 0.65])  # without itself


def test_limits_are_centre_and_three_sigma_of_the_months_own_jobs():
    table = months([0.6, 0.7, 0.6, 0.7])
    found = fairness.month_signals(table, None)
    centre = 2 / 3  # of the other three
    assert found["upper_3s"].iloc[0] == pytest.approx(centre + 3 * (2 / 9 / 200) ** 0.5)
    assert found["sigma_z"].isna().all()  # four months give no spread


def test_every_signal_has_its_words():
    assert set(fairness_words.SIGNALS) == set(FALSE_ALARMS)


def test_months_words():
    found = fairness.month_signals(months([0.65] * 5 + [0.45, 0.65]), None)
    calm, bad = list(found.itertuples(index=False))[4:6]
    assert fairness_words.month_verdict(calm) == "within normal range"
    assert "well outside normal" in fairness_words.month_verdict(bad)


def test_a_month_without_a_mature_job_is_not_yet_known():
    table = months([0.6, 0.7])
    table.loc[1, ["mature", "fixed_first_time", "pending"]] = [0, 0, 9]
    table.loc[1, "rate"] = np.nan
    row = list(fairness.month_signals(table, None).itertuples(index=False))[1]
    assert fairness_words.month_verdict(row) == "closed too recently"


def test_the_sentence_on_groups_names_those_outside_and_counts_the_rest():
    table = pd.DataFrame(
        {
            "label": ["Ann", "Bob", "Cid"],
            "funnel": ["inside", "different", "inside"],
            "judged_rate": [0.7, 0.561, 0.7],
        }
    )
    assert fairness_words.groups(table, "technician") == (
        "Different from the rest: Bob 56%. The other 2 are within the normal range."
    )


def test_curves_at_risk_and_their_test_come_from_the_same_counts():
    days = pd.DataFrame(
        {
            "group": ["a", "a", "b"],
            "day": [3, 10, 5],
            "callbacks": [1, 0, 1],
            "censored": [0, 1, 1],
        }
    )
    curve = free_curve(days)
    assert curve["free"].tolist() == [1 / 2, 1 / 2, 1 / 2]  # 1 of 2; then none; 1 of 2
    assert at_risk(curve, (0, 5, 10)).values.tolist() == [["a", 2, 1, 1], ["b", 2, 2, 0]]
    assert compare_curves(curve).observed == {"a": 1, "b": 1}


def test_empty_tables_stay_empty():
    empty = pd.DataFrame({"group": [], "day": [], "callbacks": [], "censored": []})
    assert free_curve(empty).empty
    assert at_risk(empty, (0,)).empty
    assert compare_curves(empty) is None


def test_the_expected_fixes_leave_the_judged_group_out(tmp_path: Path):
    """By hand: washers 9 of 10 for Ann, 5 of 10 for Bob, 8 of 10 for Cy; dryers only by Bob.

    Ann: 10 * 13/20 = 6.5 expected, 1 failure against 3.5. Bob: 10 * 17/20 + 4 dryers at the rate of
    all others' jobs, 17/20.
    """
    drawn = {"Ann": ("washer", 10, 9), "Bob": ("washer", 10, 5), "Cy": ("washer", 10, 8)}
    rows = [(name, kind, n, k) for name, (kind, n, k) in drawn.items()] + [("Bob", "dryer", 4, 2)]
    table = measure(fixes(tmp_path, rows), "first_time_fix", window_days=30, group_by="technician")
    found = table.set_index("group")
    assert found["expected"].to_dict() == pytest.approx(
        {"Ann": 6.5, "Bob": 14 * 17 / 20, "Cy": 10 * 14 / 20}
    )
    assert found.loc["Ann", "ratio"] == pytest.approx(1 / 3.5)


def fixes(folder: Path, rows: list[tuple[str, str, int, int]]) -> Path:
    """Load a shop in which each technician fixes k of n jobs on a kind at the first visit."""
    jobs, visits = [], []
    for technician, kind, n, k in rows:
        for i in range(n):
            name = f"{technician}{kind}{i}"
            jobs.append(f"{name} | 2026-01-01 | 2026-01-02 | {kind} | noisy | repaired | {name}")
            for visit in range(1 if i < k else 2):
                visits.append(f"{name} | {visit + 1} | {technician} | completed")
    jobs.append("END | 2026-06-01 | 2026-06-01 | washer | noisy | cancelled | nobody")
    head = "job_id | opened_on | closed_on | appliance_kind | symptom | disposition | customer"
    return shop(
        folder,
        jobs="\n".join([head, *jobs]),
        visits="\n".join(["job_id | visit_no | technician | outcome", *visits]),
    )


def test_a_bad_technician_does_not_make_the_good_ones_special(tmp_path: Path):
    """Five at 70%, one at 35%, 120 jobs each: he is different, and no one else is even worth a look."""
    people = [(f"T{i}", "washer", 120, 84) for i in range(5)] + [("Bad", "washer", 120, 42)]
    table = measure(
        fixes(tmp_path, people), "first_time_fix", window_days=30, group_by="technician"
    ).set_index("group")
    assert table.loc["Bad", "funnel"] == "different"
    assert set(table.drop("Bad")["funnel"]) == {"inside"}
    good = table.drop("Bad")["judged_rate"].tolist()
    assert good == pytest.approx([0.7] * 5)  # against the others without him
    assert (table["judged_jobs"] < table["mature"]).all()
