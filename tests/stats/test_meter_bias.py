"""One meter against the others: recovery, false alarms, coverage; and the false-discovery rate."""

import numpy as np
import pytest
from scipy.stats import mannwhitneyu

from dashboard.stats.meter_bias import FEWEST, MeterShift, meter_shifts
from dashboard.stats.multiple_testing import q_values

# Benjamini & Hochberg, J R Stat Soc B 1995;57:289, their fifteen p-values
P_1995 = (
    0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262, 0.5719,
    0.6528, 0.7590, 1.000,
)  # fmt: skip


def meter_shift(own, others, **options) -> MeterShift | None:
    """Compare two technicians."""
    values, places = np.unique(np.concatenate([own, others]), return_inverse=True)
    sides = places[: len(own)], places[len(own) :]
    read = np.array([np.bincount(side, minlength=len(values)) for side in sides])
    return meter_shifts(values, read, **options)[0]


def test_the_example_of_benjamini_and_hochberg_1995():
    """They reject 4 at 5 %; adjusted values as R's p.adjust gives them (public test files)."""
    found = q_values(P_1995)
    assert sum(q <= 0.05 for q in found) == 4
    assert sum(q <= 0.10 for q in found) == 9
    assert found[:5] == pytest.approx([0.0015, 0.003, 0.0095, 0.035625, 0.0603], abs=5e-7)


def test_a_missing_p_value_stays_missing():
    assert q_values([None, 0.01, None, 0.04]) == [None, pytest.approx(0.02), None, 0.04]
    assert q_values([]) == []
    assert q_values([0.3]) == [0.3]


def test_the_shift_is_a_fraction_of_the_others_median():
    own, others = [11.0] * 8 + [12.0], [10.0] * 20
    found = meter_shift(own, others)
    assert found.shift == pytest.approx(0.1)
    assert (found.low, found.high) == pytest.approx((0.1, 0.1))  # 8 of 9 say just that
    assert found.p_value == pytest.approx(mannwhitneyu(own, others).pvalue)


@pytest.mark.parametrize("decimals", [0, 1, 9])
def test_the_p_value_is_scipy_s_with_and_without_ties(decimals):
    """Mann & Whitney 1947 as scipy counts it; 8 readings without ties are counted exactly."""
    generator = np.random.default_rng(decimals)
    for readings in (8, 9, 40):
        own = generator.normal(0.3, 1, readings).round(decimals) + 10
        others = generator.normal(0, 1, 30).round(decimals) + 10
        assert meter_shift(own, others).p_value == pytest.approx(
            mannwhitneyu(own, others, alternative="two-sided").pvalue, rel=1e-12
        )


def test_too_few_readings_say_nothing():
    assert meter_shift([1.0] * (FEWEST - 1), [1.0] * 50) is None
    assert meter_shift([1.0] * 50, [1.0] * (FEWEST - 1)) is None
    assert meter_shift([1.0] * FEWEST, [1.0] * FEWEST).p_value == 1


def test_the_interval_covers_the_true_shift():
    """A meter that reads 8 % high on parts of 10 ± 0.5 ohm; at least 88 of 100 intervals of 95 %."""
    held = 0
    for seed in range(100):
        generator = np.random.default_rng(seed)
        own = 1.08 * generator.normal(10, 0.5, 30)
        found = meter_shift(own, generator.normal(10, 0.5, 200), seed=seed, draws=500)
        held += found.low <= 0.08 <= found.high
    assert held >= 88


def test_each_of_many_is_compared_with_all_the_others_together():
    """Medians by numpy, p-values by scipy's mannwhitneyu; who read too little is left out."""
    generator = np.random.default_rng(4)
    people = [generator.normal(10 + shift, 1, n).round(1) for shift, n in ((0, 30), (2, 9), (0, 5))]
    values = np.unique(np.concatenate(people))
    read = np.array([[(each == value).sum() for value in values] for each in people])
    *told, silent = meter_shifts(values, read)
    assert silent is None
    for place, found in enumerate(told):
        own = people[place]
        others = np.concatenate([each for who, each in enumerate(people) if who != place])
        assert (found.n, found.others_n) == (len(own), len(others))
        assert found.median == pytest.approx(np.median(own))
        assert found.others_median == pytest.approx(np.median(others))
        assert found.shift == pytest.approx(np.median(own) / np.median(others) - 1)
        assert found.low <= found.shift <= found.high
        p_value = mannwhitneyu(own, others, alternative="two-sided").pvalue
        assert found.p_value == pytest.approx(p_value, rel=1e-12)


def test_a_reading_of_nought_is_refused():
    with pytest.raises(ValueError, match="above 0"):
        meter_shift([0.0] * 9, [1.0] * 9)
