"""Whether a change worked: drawn cells, a twin in plain Python, and many drawn shops."""

import numpy as np
import pandas as pd
import pytest

from dashboard.changes.compute import EARLY, NOTHING, UNKNOWN, WORKED, WORSE, effect_of

MONTHS = [f"2025-{m:02d}" for m in range(1, 13)] + [f"2026-{m:02d}" for m in range(1, 13)]
COLUMNS = [
    "is_touched", "is_after", "month", "appliance_kind", "symptom", "jobs", "hits", "not_judged",
]  # fmt: skip


def drawn_cells(rows: list[tuple]) -> pd.DataFrame:
    """Cells of a share: an amount is 1 or 0."""
    table = pd.DataFrame(rows, columns=COLUMNS)
    return table.assign(amount=table["hits"], squares=table["hits"])


def cells(
    rate_before: float, rate_after: float, jobs: int = 100, touched=True, before=12, after=12
) -> pd.DataFrame:
    """Months of equal size at two rates, exactly; the change is at the start of 2026."""
    chosen = MONTHS[12 - before : 12 + after]
    rows = [
        (
            touched, m >= "2026", m, "washer", "leaks", jobs,
            round(jobs * (rate_after if m >= "2026" else rate_before)), 0,
        )
        for m in chosen
    ]  # fmt: skip
    return drawn_cells(rows)


def test_a_fall_that_was_wanted_worked():
    found = effect_of(cells(0.30, 0.20), wants_more=False, min_jobs=20)
    assert found.verdict == WORKED
    assert found.effect.value == pytest.approx(-0.10)
    assert found.rest is None


def test_the_same_fall_was_not_wanted():
    assert effect_of(cells(0.30, 0.20), wants_more=True, min_jobs=20).verdict == WORSE


def test_no_difference_in_many_jobs_is_none():
    assert effect_of(cells(0.30, 0.30), wants_more=False, min_jobs=20).verdict == NOTHING


def test_few_jobs_after_are_too_early_and_say_how_long():
    found = effect_of(cells(0.30, 0.29, after=1), wants_more=False, min_jobs=20)
    assert found.verdict == EARLY
    assert 3 < found.more_months < 60


def test_without_jobs_before_nothing_can_be_said():
    assert effect_of(cells(0.3, 0.2, before=0), wants_more=False, min_jobs=20).verdict == UNKNOWN


def test_what_moved_in_the_rest_of_the_shop_is_subtracted():
    both = pd.concat([cells(0.30, 0.20), cells(0.30, 0.20, touched=False)])
    found = effect_of(both, wants_more=False, min_jobs=20)
    assert found.rest is not None
    assert found.effect.value == pytest.approx(0)
    assert found.verdict == NOTHING


def test_other_work_after_than_before_is_no_effect():
    """Washers at 10%, dryers at 50%; after the change three times as many dryers."""
    rows = []
    for month in MONTHS:
        is_after = month >= "2026"
        for kind, rate, jobs in (("washer", 0.1, 100), ("dishwasher", 0.5, 90 if is_after else 30)):
            rows.append((True, is_after, month, kind, "leaks", jobs, round(jobs * rate), 0))
    found = effect_of(drawn_cells(rows), wants_more=False, min_jobs=20)
    assert found.effect.value == pytest.approx(0, abs=1e-9)
    assert found.touched.after.amount / found.touched.after.jobs > 0.28


def test_the_bad_month_before_a_change_is_left_out_and_named():
    drawn = cells(0.20, 0.20)
    drawn.loc[drawn["month"] == "2025-12", ["amount", "squares"]] = 45
    found = effect_of(drawn, wants_more=False, min_jobs=20)
    assert found.bad_months == ("2025-12",)
    assert found.verdict == NOTHING
    assert found.with_all.value < -0.01


def test_a_good_month_before_is_no_bad_one():
    drawn = cells(0.20, 0.20)
    drawn.loc[drawn["month"] == "2025-12", ["amount", "squares"]] = 5
    found = effect_of(drawn, wants_more=False, min_jobs=20)
    assert found.bad_months == ()
    assert found.special_months == ("2025-12",)


def shops(seed: int, effect: float, spread: float) -> pd.DataFrame:
    """A drawn shop: three kinds, months that also differ by `spread`."""
    rng = np.random.default_rng(seed)
    rows = []
    for month in MONTHS[2:20]:
        is_after, shift = month >= "2026", rng.normal(0, spread)
        for kind, rate in (("washer", 0.15), ("dishwasher", 0.3), ("refrigerator", 0.45)):
            jobs = int(rng.poisson(40))
            chance = np.clip(rate + shift + effect * is_after, 0.01, 0.99)
            rows.append((True, is_after, month, kind, "leaks", jobs, rng.binomial(jobs, chance), 0))
    return drawn_cells(rows)


@pytest.mark.slow
@pytest.mark.parametrize(("effect", "spread"), [(0.0, 0.0), (-0.06, 0.0), (0.0, 0.03)])
def test_the_whole_rule_covers_the_true_effect(effect: float, spread: float):
    """300 drawn shops each, months left out and the interval widened as the program does."""
    covered = [
        found.low <= effect <= found.high
        for seed in range(300)
        for found in [effect_of(shops(seed, effect, spread), False, 20).effect]
    ]
    assert np.mean(covered) >= 0.91


@pytest.mark.slow
def test_without_an_effect_few_shops_are_named():
    named = [
        effect_of(shops(5000 + seed, 0.0, 0.0), False, 20).verdict in (WORKED, WORSE)
        for seed in range(300)
    ]
    assert np.mean(named) <= 0.08


def jobs_with_minutes(
    seed: int, effect: float, spread: float, *, touched: bool = True, jobs: int = 40
) -> pd.DataFrame:
    """Cells of a drawn shop of three kinds whose months also differ by `spread` minutes."""
    rng = np.random.default_rng(seed)
    rows = []
    for month in MONTHS[2:20]:
        is_after, shift = month >= "2026", rng.normal(0, spread)
        for kind, usual in (("refrigerator", 70), ("washer", 50), ("dishwasher", 40)):
            minutes = usual * rng.lognormal(-0.125, 0.5, rng.poisson(jobs))
            minutes += shift + effect * is_after
            sums = minutes.sum(), (minutes**2).sum()
            rows.append((touched, is_after, month, kind, "leaks", len(minutes), 0, 0, *sums))
    return pd.DataFrame(rows, columns=[*COLUMNS, "amount", "squares"])


def test_fewer_minutes_on_the_same_work_are_found_with_their_interval():
    cells = jobs_with_minutes(1, -10.0, 0.0)
    found = effect_of(cells, False, 20, is_share=False)
    assert found.verdict == WORKED
    assert -12 < found.effect.value < -6
    assert found.effect.high < 0
    own = cells.groupby("is_after")[["amount", "jobs"]].sum()
    assert found.touched.before.amount == pytest.approx(own.loc[False, "amount"])
    assert found.matters == pytest.approx(0.1 * own.loc[False, "amount"] / own.loc[False, "jobs"])


def test_minutes_that_fell_everywhere_are_no_effect():
    cells = [jobs_with_minutes(s, -10.0, 0.0, touched=s == 1, jobs=160) for s in (1, 2)]
    found = effect_of(pd.concat(cells), False, 20, is_share=False)
    assert found.rest is not None
    assert found.verdict == NOTHING
    assert found.effect.low < 0 < found.effect.high


def test_a_few_jobs_are_too_early_for_minutes_too():
    cells = jobs_with_minutes(3, 0.0, 0.0, jobs=20)
    found = effect_of(cells[cells["month"] <= "2026-01"], False, 20, is_share=False)
    assert found.verdict == EARLY
    assert 1 < found.more_months < 60


@pytest.mark.slow
@pytest.mark.parametrize(("effect", "spread"), [(0.0, 0.0), (-5.0, 0.0), (0.0, 4.0)])
def test_the_whole_rule_covers_the_true_effect_on_minutes(effect: float, spread: float):
    """150 drawn shops each; of 200 it was 96, 96 and 90%, with months that differ by 4 min more."""
    covered = [
        found.low <= effect <= found.high
        for seed in range(150)
        for found in [
            effect_of(jobs_with_minutes(seed, effect, spread), False, 20, is_share=False).effect
        ]
    ]
    assert np.mean(covered) >= 0.85
