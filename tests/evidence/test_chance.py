"""The chance that a part was at fault: fitted, or by Bayes' rule; and its count in words."""

import numpy as np
import pandas as pd
import pytest
import statsmodels.api as sm

from dashboard.diagnosis.misdiagnosis_sentences import out_of_ten
from dashboard.evidence.calibration import calibration
from dashboard.evidence.chance import AT, part_chance, share_right
from dashboard.stats.accuracy import update_mix

FIRST, SECOND = False, True


def outcomes(
    rows: list[tuple[float, float, bool, int, int]], seen_share: float = 1.0
) -> pd.DataFrame:
    names = ["log_ratio", "log_odds", "is_second", "parts", "held"]
    return pd.DataFrame(rows, columns=names).assign(seen_share=seen_share)


def part(log_ratio: float = 0.0, log_odds: float = 0.0, is_second: bool = FIRST) -> pd.DataFrame:
    return outcomes([(log_ratio, log_odds, is_second, 1, 0)])


def test_with_few_parts_the_share_held_is_the_prior_and_the_ratio_updates_it():
    """9 of 10 held: prior (9 + 1) / (10 + 2); a ratio of 0.1 takes odds of 5 to 0.5, a third."""
    chance = part_chance(outcomes([(0.0, 0.0, FIRST, 10, 9)]))
    assert chance.curve is None
    assert chance.of(part(np.log(0.1))).tolist() == pytest.approx([1 / 3])


def test_wrong_parts_that_no_outcome_shows_are_allowed_for():
    """A sixth is seen wrong; if outcomes show two thirds of the wrong, a quarter was wrong."""
    chance = part_chance(outcomes([(0.0, 0.0, FIRST, 10, 9)], seen_share=2 / 3))
    assert chance.of(part()).tolist() == pytest.approx([3 / 4])
    with_curve = outcomes([(0, 0, FIRST, 200, 160), (0, 1, FIRST, 200, 170)], seen_share=0.5)
    fitted, seen = part_chance(with_curve), part_chance(with_curve.assign(seen_share=1.0))
    wrong = 1 - fitted.of(part(log_odds=0.5))
    assert wrong.tolist() == pytest.approx((2 * (1 - seen.of(part(log_odds=0.5)))).tolist())


def test_with_many_parts_the_curve_is_that_of_statsmodels():
    """Binomial GLM on odds below and above even, second parts and the ratio, with the weak parts."""
    drawn = outcomes(
        [
            (0, -2, FIRST, 100, 40), (1, -1, SECOND, 30, 29), (-1, 0, FIRST, 100, 60),
            (2, 1, FIRST, 100, 85), (3, 3, FIRST, 100, 99), (0, 2, SECOND, 40, 38),
        ]
    )  # fmt: skip
    usual = (drawn["held"].sum() + 1) / (drawn["parts"].sum() + 2)
    ends = (-AT, AT)
    weak = [(r, odds, s, 0.5, usual / 2) for r in ends for odds in ends for s in (FIRST, SECOND)]
    rows = pd.concat([drawn, outcomes(weak)])
    design = sm.add_constant(
        np.column_stack(
            [
                rows["log_odds"].clip(upper=0),
                rows["log_odds"].clip(lower=0),
                rows["is_second"] * 1,
                rows["log_ratio"],
            ]
        ).astype(float)
    )
    counts = np.column_stack([rows["held"], rows["parts"] - rows["held"]])
    reference = sm.GLM(counts, design, family=sm.families.Binomial()).fit()
    chance = part_chance(drawn)
    assert chance.curve is not None
    assert chance.curve.coefficients == pytest.approx(tuple(reference.params), rel=1e-6)
    assert chance.of(drawn).tolist() == pytest.approx(reference.predict(design[:6]).tolist())
    assert share_right(drawn.head(1), chance) == pytest.approx(chance.of(drawn)[0])


def test_second_parts_that_were_all_right_leave_a_curve():
    rows = [(0, x, FIRST, 100, 70 + 5 * x) for x in (-2, 0, 2)] + [(0, -2, SECOND, 60, 60)]
    chance = part_chance(outcomes(rows))
    assert chance.curve is not None
    assert 0.95 < chance.of(part(log_odds=-2, is_second=SECOND))[0] < 1
    assert chance.of(part(log_odds=-2))[0] == pytest.approx(0.6, abs=0.03)


def test_a_shop_in_which_no_part_was_seen_wrong_still_has_a_chance_below_one():
    chance = part_chance(outcomes([(0, x, FIRST, 100, 100) for x in (-1, 0, 1)]))
    assert 0.98 < chance.of(part())[0] < 1


def test_without_any_outcome_nothing_is_said():
    chance = part_chance(outcomes([]))
    assert np.isnan(chance.of(part(1.0, 1.0))).all()
    assert share_right(part(), chance) is None
    assert calibration(outcomes([]), chance).empty


def test_calibration_loses_no_part():
    rows = outcomes([(x, x, FIRST, 30, 20 + x) for x in range(-5, 6)], seen_share=0.8)
    table = calibration(rows, part_chance(rows))
    assert table["parts"].sum() == rows["parts"].sum()
    assert table["held"].sum() == rows["held"].sum()
    assert table["chance"].is_monotonic_increasing
    assert (table["low"] <= table["share"]).all()
    assert (table["share"] <= table["high"]).all()
    assert (1 - table["share"]).tolist() == pytest.approx(
        ((1 - table["held"] / table["parts"]) / 0.8).tolist()
    )


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
