"""What a test is worth: against a printed table, by arithmetic and by trying every truth."""

from itertools import product
from math import inf

import pytest
from pytest import approx

from dashboard.stats.accuracy import (
    VerifiedTable,
    begg_greenes,
    power_of_test,
    sensitivity_bounds,
    specificity_bounds,
    update_mix,
)
from tests.references.diagnosis import BAYES, LIVER_SCAN


def test_printed_power():
    found = power_of_test(**LIVER_SCAN["cells"])
    assert found.sensitivity.value == approx(LIVER_SCAN["sensitivity"], abs=0.005)
    assert found.specificity.value == approx(LIVER_SCAN["specificity"], abs=0.005)
    assert (found.sensitivity.n, found.specificity.n) == (231 + 27, 32 + 54)
    for estimate, wanted in [
        (found.sensitivity, LIVER_SCAN["sensitivity_wilson"]),
        (found.specificity, LIVER_SCAN["specificity_wilson"]),
    ]:
        assert (estimate.low, estimate.high) == approx(wanted, abs=0.00005)
    for estimate, wanted in [
        (found.ratio_outside, LIVER_SCAN["ratio_outside"]),
        (found.ratio_inside, LIVER_SCAN["ratio_inside"]),
    ]:
        assert (estimate.value, estimate.low, estimate.high) == approx(
            wanted, abs=1e-6
        )  # six decimals kept


def test_a_zero_cell_opens_the_interval_to_its_side():
    found = power_of_test(true_outside=8, false_inside=0, false_outside=0, true_inside=10)
    assert found.ratio_outside.value == found.ratio_outside.high == inf
    assert 1 < found.ratio_outside.low < inf
    assert found.ratio_inside.value == found.ratio_inside.low == 0
    assert 0 < found.ratio_inside.high < 1


def test_a_reading_that_every_job_gave_separates_nothing_and_says_how_sure():
    found = power_of_test(true_outside=6, false_inside=0, false_outside=4, true_inside=0)
    assert found.ratio_outside.value == 1
    assert found.ratio_outside.low < 1 < found.ratio_outside.high
    assert found.ratio_inside.value is None


def test_no_job_with_the_cause_leaves_the_specificity_only():
    found = power_of_test(0, 0, 1, 4)
    assert (found.sensitivity.value, found.ratio_outside.value) == (None, None)
    assert found.specificity.value == 4 / 5
    assert power_of_test(0, 0, 0, 0).specificity.n == 0


def test_negative_counts_are_refused():
    with pytest.raises(ValueError, match="0 or more"):
        power_of_test(1, -1, 0, 0)
    with pytest.raises(ValueError, match="0 or more"):
        begg_greenes(VerifiedTable(1, 1, 1, 1, -1, 0))


@pytest.mark.parametrize("unverified", [(0, 0), (3, 2), (0, 5)])
def test_the_bounds_are_the_extremes_over_every_truth_of_the_unverified(unverified):
    outside, inside = unverified
    table = VerifiedTable(6, 2, 1, 9, outside, inside)
    truths = list(product(range(outside + 1), range(inside + 1)))
    sensitivities = [(6 + o) / (6 + o + 1 + i) for o, i in truths]
    specificities = [(9 + inside - i) / (9 + inside - i + 2 + outside - o) for o, i in truths]
    assert sensitivity_bounds(table) == approx((min(sensitivities), max(sensitivities)))
    assert specificity_bounds(table) == approx((min(specificities), max(specificities)))


def test_begg_greenes_gives_the_unverified_the_share_of_their_reading():
    """Outside: 8 of 10 settled had it, 10 open -> 16 and 4; inside: 2 of 10, 30 open -> 8, 32."""
    table = VerifiedTable(8, 2, 2, 8, 10, 30)
    assert begg_greenes(table) == approx((16 / (16 + 8), 32 / (32 + 4)))
    assert begg_greenes(VerifiedTable(8, 2, 2, 8, 0, 0)) == approx((8 / 10, 8 / 10))
    assert begg_greenes(VerifiedTable(8, 2, 0, 0, 0, 5)) == (None, None)


def test_begg_greenes_lies_within_the_bounds():
    table = VerifiedTable(8, 2, 2, 8, 10, 30)
    for value, (low, high) in zip(
        begg_greenes(table), (sensitivity_bounds(table), specificity_bounds(table)), strict=True
    ):
        assert low <= value <= high


@pytest.mark.parametrize("prior, outside, false_outside, wanted", BAYES)
def test_printed_bayes(prior, outside, false_outside, wanted):
    mix = update_mix({"ill": prior, "well": 1 - prior}, {"ill": outside, "well": false_outside})
    assert mix["ill"] == approx(wanted, abs=0.00005)


def test_three_causes_by_hand():
    """.5 x .05, .3 x .9, .2 x .1 are as 5 : 54 : 4."""
    mix = update_mix({"a": 0.5, "b": 0.3, "c": 0.2}, {"a": 0.05, "b": 0.9, "c": 0.1})
    assert list(mix.values()) == approx([5 / 63, 54 / 63, 4 / 63])


def test_a_reading_no_cause_can_give_is_refused():
    with pytest.raises(ValueError, match="repeat it"):
        update_mix({"a": 1.0}, {"a": 0.0})
