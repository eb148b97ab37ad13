"""The chance that a part was at fault: fitted, or by Bayes' rule; and its count in words."""

import numpy as np
import pandas as pd
import pytest

from dashboard.evidence.chance import calibration, part_chance, share_right
from dashboard.evidence.sentences import out_of_ten
from dashboard.stats.accuracy import update_mix


def outcomes(rows: list[tuple[float, float, int, int]]) -> pd.DataFrame:
    return pd.DataFrame(rows, columns=["log_ratio", "log_odds", "parts", "held"])


def test_with_few_parts_the_share_held_is_the_prior_and_the_ratio_updates_it():
    """9 of 10 held: prior (9 + 1) / (10 + 2); a ratio of 0.1 takes odds of 5 to 0.5, a third."""
    chance = part_chance(outcomes([(0.0, 0.0, 10, 9)]))
    assert chance.curve is None
    assert float(chance.of(np.log(0.1), 0.0)) == pytest.approx(1 / 3)


def test_with_many_parts_the_curve_is_the_shops_own():
    chance = part_chance(outcomes([(-2, -2, 100, 40), (0, 0, 100, 70), (2, 2, 100, 95)]))
    assert chance.curve is not None
    assert float(chance.of(5.0, -2.0)) < float(chance.of(-5.0, 2.0))  # the odds decide
    assert share_right(outcomes([(0, -2, 1, 0), (0, 2, 1, 1)]), chance) == pytest.approx(
        chance.of([0, 0], [-2, 2]).mean()
    )


def test_without_any_outcome_nothing_is_said():
    chance = part_chance(outcomes([]))
    assert np.isnan(chance.of(1.0, 1.0))
    assert share_right(outcomes([(0, 0, 3, 0)]), chance) is None
    assert calibration(outcomes([]), chance).empty


def test_calibration_loses_no_part():
    rows = outcomes([(x, x, 30, 20 + x) for x in range(-5, 6)])
    table = calibration(rows, part_chance(rows))
    assert table["parts"].sum() == rows["parts"].sum()
    assert table["held"].sum() == rows["held"].sum()
    assert table["chance"].is_monotonic_increasing
    assert (table["low"] <= table["share"]).all()
    assert (table["share"] <= table["high"]).all()


@pytest.mark.parametrize(
    ("share", "wanted"),
    [
        (0.55, "About 6 in 10"),
        (0.07, "About 1 in 10"),
        (0.94, "About 9 in 10"),
        (0.97, "More than 9 in 10"),
        (0.01, "Fewer than 1 in 10"),
        (None, "cannot be said"),
    ],
)
def test_a_share_in_words(share: float | None, wanted: str):
    assert wanted in out_of_ten(share)


@pytest.mark.parametrize(
    ("sensitivity", "specificity", "is_positive", "posttest"),
    [(0.75, 0.96, True, 0.28), (0.75, 0.96, False, 0.006)],
)
def test_the_arithmetic_of_fagans_nomogram(
    sensitivity: float, specificity: float, is_positive: bool, posttest: float
):
    """Pre-test 2%, sensitivity 75%, specificity 96%: 28% after a positive test, 0.6% after none.

    Source: Caraguel and Vanderstichel 2013, Evid Based Med 18:125-128 (worked example to the
    nomogram of Fagan 1975, N Engl J Med 293:257), as quoted on slides of the article's figures.
    """
    p, q = (sensitivity, 1 - specificity) if is_positive else (1 - sensitivity, specificity)
    mix = update_mix({"disease": 0.02, "none": 0.98}, {"disease": p, "none": q})
    assert mix["disease"] == pytest.approx(posttest, abs=0.005 if is_positive else 0.001)
    by_ratio = update_mix({"disease": 0.02, "none": 0.98}, {"disease": p / q, "none": 1.0})
    assert by_ratio["disease"] == pytest.approx(mix["disease"])
