"""One meter against the others: recovery, false alarms, coverage; and the false-discovery rate."""

import numpy as np
import pytest
from scipy.stats import mannwhitneyu

from dashboard.stats.meter_bias import Readings
from dashboard.stats.meter_rounds import MeterShift, meter_shifts
from dashboard.stats.multiple_testing import q_values

# Benjamini & Hochberg, J R Stat Soc B 1995;57:289, their fifteen p-values
P_1995 = (
    0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262, 0.5719,
    0.6528, 0.7590, 1.000,
)  # fmt: skip


def point(*people, accuracy: float = 0.0) -> Readings:
    """Return the readings of one test point, one array for each technician."""
    values = np.unique(np.concatenate(people))
    read = np.array([[(np.asarray(each) == value).sum() for value in values] for each in people])
    who = np.arange(len(people))
    return Readings(who, values, read, np.full(len(people), accuracy))


def shifts(*people, **options) -> list[MeterShift]:
    """Compare technicians at one test point."""
    return meter_shifts([point(*people, **options)])[0]


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


def test_the_shift_is_a_fraction_of_the_median_of_the_others_medians():
    """Medians 11, 10, 10, 14: the others' median of the first is 10, not that of all readings."""
    people = [11.0] * 9, [10.0] * 20, [10.0] * 20, [14.0] * 90
    found = shifts(*people, accuracy=9.9)
    assert [one.others_median for one in found] == [10.0, 11.0, 11.0, 10.0]
    assert found[0].shift == pytest.approx(0.1)
    assert (found[0].low, found[0].high) == pytest.approx((0.1, 0.1))


@pytest.mark.parametrize("decimals", [0, 1, 9])
def test_the_p_value_is_scipy_s_with_and_without_ties(decimals):
    """Mann & Whitney 1947 as scipy counts it; 8 readings without ties are counted exactly."""
    generator = np.random.default_rng(decimals)
    for readings in (8, 9, 40):
        own = generator.normal(0.3, 1, readings).round(decimals) + 10
        others = generator.normal(0, 1, 30).round(decimals) + 10
        found = shifts(own, others[:12], others[12:], accuracy=9.9)
        assert found[0].p_value == pytest.approx(
            mannwhitneyu(own, others, alternative="two-sided").pvalue, rel=1e-12
        )


def test_two_technicians_alone_are_not_compared():
    """Nothing shows which of two is right."""
    assert shifts([1.0] * 50, [2.0] * 50) == []


def test_a_shift_within_the_meter_s_own_accuracy_is_not_flagged():
    people = [10.1] * 30, [10.0] * 30, [10.0] * 30
    assert [one.is_flagged for one in shifts(*people, accuracy=0.005)] == [True, False, False]
    assert not any(one.is_flagged for one in shifts(*people, accuracy=0.02))


def test_one_bad_meter_does_not_flag_the_good_ones():
    """Four read 10 ± 0.3, one reads 12 % high: he alone is flagged, the others stand at 0."""
    generator = np.random.default_rng(7)
    people = [generator.normal(10, 0.3, 25).round(2) for _ in range(5)]
    people[2] = (people[2] * 1.12).round(2)
    found = shifts(*people, accuracy=0.01)
    assert [one.is_flagged for one in found] == [False, False, True, False, False]
    assert found[2].low < 0.125 < found[2].high
    assert max(abs(one.shift) for one in found if one.who != 2) < 0.02


def test_the_interval_covers_the_true_shift():
    """A meter that reads 8 % high on parts of 10 ± 0.5 ohm; at least 88 of 100 intervals of 95 %."""
    held = 0
    for seed in range(100):
        generator = np.random.default_rng(seed)
        own = 1.08 * generator.normal(10, 0.5, 30)
        others = generator.normal(10, 0.5, (3, 70))
        found = shifts(own, *others)[0]
        held += found.low <= 0.08 <= found.high
    assert held >= 88


def test_a_reading_of_zero_is_refused():
    with pytest.raises(ValueError, match="above 0"):
        point([0.0] * 9, [1.0] * 9)
