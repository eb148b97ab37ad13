"""Planned minutes: against scipy, exact bootstrap targets, arithmetic and simulated shops."""

from math import exp, log, sqrt

import numpy as np
import pytest
from pytest import approx
from scipy.stats import f_oneway, lognorm, norm

from dashboard.stats.durations import resample as minutes_resampled
from dashboard.stats.durations.lognormal import MinutesFit, fit_minutes, planned_minutes
from dashboard.stats.durations.resample import spread_between
from tests.references.minutes import (
    CONTROL_MEDIAN_INTERVAL,
    CONTROL_MICE,
    LOGNORMAL_ABOVE_MEDIAN,
    NIST_P90,
    OLSSON_MEAN,
    P90_SAMPLE,
)

RNG = np.random.default_rng(11)
MANY = np.exp(RNG.normal(4, 0.5, 60))


@pytest.mark.parametrize("share, above", LOGNORMAL_ABOVE_MEDIAN)
def test_skewed_minutes_lie_above_the_median_as_the_trade_reference_says(share, above):
    fit = MinutesFit(log(60), 0.5)
    minutes = fit.mean_min if share == "mean" else fit.quantile_min(share)
    assert minutes / fit.quantile_min(0.5) == approx(1 + above, abs=0.005)


def test_from_thirty_jobs_on_the_fit_is_the_repair_s_own():
    fit = fit_minutes(MANY, [5.0, 6.0, 7.0])
    assert fit.log_mean == approx(np.log(MANY).mean())
    assert fit.log_sd == approx(np.log(MANY).std(ddof=1))
    shape, _, scale = lognorm.fit(MANY, floc=0)  # maximum likelihood: n, not n - 1
    assert (fit.log_sd * sqrt(59 / 60), exp(fit.log_mean)) == approx((shape, scale), rel=1e-4)


def test_few_jobs_are_filled_up_to_thirty_by_the_class():
    """Two jobs of log 3 and 5 (variance 2, 1 degree), class of mean 4, variance 1 (28 times)."""
    own, wide = np.exp([3.0, 5.0]), np.exp([3.0, 4.0, 5.0])
    fit = fit_minutes(own * exp(3), wide)
    assert fit.log_mean == approx((6 + 8 + 28 * 4) / 30)
    assert fit.log_sd == approx(sqrt((1 * 2 + 28 * 1) / (1 + 28)))


def test_no_job_is_the_class_and_one_job_moves_its_mean_by_a_thirtieth():
    wide = np.exp([3.0, 4.0, 5.0])
    assert fit_minutes([], wide) == MinutesFit(approx(4), approx(1))
    assert fit_minutes([exp(10.0)], wide) == MinutesFit(approx((10 + 29 * 4) / 30), approx(1))


def test_the_fit_does_not_jump_at_thirty_jobs():
    """The 30th job, alike to the others, moves nothing by more than its own weight."""
    wide = np.exp(np.linspace(2, 3, 50))
    before, after = fit_minutes(MANY[:29], wide), fit_minutes(MANY[:30], wide)
    own_move = abs(np.log(MANY[:30]).mean() - np.log(MANY[:29]).mean())
    class_move = abs(np.log(MANY[:29]).mean() - 2.5) / 30
    assert abs(after.log_mean - before.log_mean) <= own_move + class_move + 1e-9


def test_too_few_jobs_for_a_spread_give_none():
    assert fit_minutes([], []) is None
    assert fit_minutes([30.0], [30.0]) is None
    assert planned_minutes([30.0], [30.0]) is None
    assert fit_minutes([20.0, 40.0], []).log_mean == approx((log(20) + log(40)) / 2)


def test_the_plain_quantile_is_type_7():
    found = planned_minutes(P90_SAMPLE, P90_SAMPLE, 0.9)
    assert found.plain_min == approx(NIST_P90, abs=0.00005)


def test_the_mean_of_a_lognormal_is_the_published_one():
    log_mean, log_variance, mean = OLSSON_MEAN
    assert MinutesFit(log_mean, sqrt(log_variance)).mean_min == approx(mean, abs=0.005)


def test_the_plain_interval_is_the_exact_bootstrap_s():
    """50 000 draws: the chances .0304 and .9696 lie seven standard errors from .025 and .975."""
    assert sum(CONTROL_MICE) / 9 == approx(56.22, abs=0.005)  # the printed mean guards the data
    found = planned_minutes(CONTROL_MICE, [], 0.5, resamples=50_000)
    assert (found.plain_low, found.plain_high) == CONTROL_MEDIAN_INTERVAL


def test_drawing_in_batches_leaves_the_interval_where_it_was(monkeypatch):
    """Two jobs' worth of numbers at a time: same law, other draws; 3 % for chance."""
    whole = planned_minutes(MANY[:10], MANY)
    monkeypatch.setattr(minutes_resampled, "BATCH", 2)
    parts = planned_minutes(MANY[:10], MANY)
    assert (parts.low, parts.high) == approx((whole.low, whole.high), rel=0.03)


@pytest.mark.parametrize("spread", [0.3, 0.9])
def test_many_jobs_are_resampled_by_the_same_law_as_few(monkeypatch, spread):
    """Whole minutes; the edges agree within 2 %, for chance."""
    minutes = np.maximum(np.round(np.exp(np.random.default_rng(8).normal(4, spread, 600))), 1)
    by_law = planned_minutes(minutes, minutes, resamples=8000)
    monkeypatch.setattr(minutes_resampled, "MANY_JOBS", 10**6)
    by_job = planned_minutes(minutes, minutes, resamples=8000)
    for edge in ("low", "high", "plain_low", "plain_high"):
        assert getattr(by_law, edge) == approx(getattr(by_job, edge), rel=0.02)
    assert by_law != by_job


def test_quantiles_of_resamples_are_drawn_exactly():
    """A few jobs: the share of resamples at each quantile, against redrawing every job."""
    jobs, draws = np.array([10.0, 20.0, 30.0, 50.0, 90.0]), 200_000
    by_law = minutes_resampled._quantile_of_many(jobs, 0.6, draws, np.random.default_rng(1))
    drawn = np.random.default_rng(2).choice(jobs, (draws, len(jobs)))
    by_job = np.quantile(drawn, 0.6, axis=1)
    for edge in np.unique(by_job):
        assert (by_law <= edge + 1e-9).mean() == approx((by_job <= edge + 1e-9).mean(), abs=0.006)


def test_everything_shown_comes_from_the_one_fit():
    found = planned_minutes(MANY, MANY, 0.8)
    fit = fit_minutes(MANY, MANY)
    assert found.planned_min == found.p80_min == fit.quantile_min(0.8)
    assert found.mean_min == fit.mean_min
    assert (found.n, found.class_n, found.own_share) == (60, 60, 1)
    assert planned_minutes(MANY[:6], MANY).own_share == 6 / 30


def test_without_two_own_jobs_there_is_no_interval():
    found = planned_minutes([50.0], MANY)
    assert (found.low, found.plain_low, found.plain_min, found.n) == (None, None, 50, 1)
    assert planned_minutes([], MANY).plain_min is None


def test_the_interval_is_that_of_large_sample_theory():
    """Log quantile m + z s of a lognormal: variance s^2 / n (1 + z^2 / 2) (delta method).

    400 jobs; tolerance 12 % of the half-width for resampling and the sample's own shape."""
    minutes = np.exp(norm.ppf((np.arange(400) + 0.5) / 400) * 0.5 + 4)
    found = planned_minutes(minutes, [], 0.75)
    error = 0.5 * sqrt((1 + norm.ppf(0.75) ** 2 / 2) / 400)
    assert log(found.high / found.low) / 2 == approx(1.96 * error, rel=0.12)


def test_the_interval_holds_the_true_quantile_in_about_95_of_100_shops():
    """40 jobs, 250 shops: percentile intervals run a little short, hence 90 to 98."""
    rng = np.random.default_rng(12)
    truth = exp(4 + norm.ppf(0.75) * 0.5)
    found = [
        planned_minutes(np.exp(rng.normal(4, 0.5, 40)), [], resamples=300, seed=i)
        for i in range(250)
    ]
    assert 0.90 <= np.mean([each.low <= truth <= each.high for each in found]) <= 0.98


def test_leaning_on_the_class_is_nearer_the_truth_than_five_jobs_alone():
    """Repairs whose log means differ by 0.2 within a class, 5 jobs each: mean squared log error."""
    rng = np.random.default_rng(13)
    alone, leaning = [], []
    for _ in range(200):
        centre = rng.normal(4, 0.2)
        wide, own = np.exp(rng.normal(4, 0.54, 200)), np.exp(rng.normal(centre, 0.5, 5))
        truth = centre + norm.ppf(0.75) * 0.5
        leaning.append((log(fit_minutes(own, wide).quantile_min(0.75)) - truth) ** 2)
        alone.append((log(fit_minutes(own, []).quantile_min(0.75)) - truth) ** 2)
    assert np.mean(leaning) < np.mean(alone) / 2


def test_repairs_differ_by_what_one_way_anova_leaves():
    """Equal numbers of jobs: variance between = (F - 1) * mean square within / jobs (F by scipy)."""
    rng = np.random.default_rng(14)
    logs = rng.normal(rng.normal(4, 0.3, 12)[:, None], 0.5, (12, 10))
    within = logs.var(axis=1, ddof=1).mean()
    expected = sqrt((f_oneway(*logs).statistic - 1) * within / 10)
    repair = np.repeat(np.arange(12), 10)
    assert spread_between(np.exp(logs).ravel(), repair) == approx(expected)
    assert spread_between(np.exp(logs[0]), np.zeros(10, int)) == 0
    assert spread_between(np.exp(logs[0]), np.arange(10)) == 0
    alike = np.exp(np.tile(logs[:1], (12, 1)).ravel())
    assert spread_between(alike, repair) == 0  # equal means: less than chance explains


@pytest.mark.parametrize("minutes", [[0.0, 5.0], [-1.0, 5.0], [float("nan"), 5.0]])
def test_minutes_of_zero_or_less_are_refused(minutes):
    with pytest.raises(ValueError, match="above 0"):
        fit_minutes(minutes, MANY)


def test_a_quantile_outside_0_and_1_is_refused():
    with pytest.raises(ValueError, match="between 0 and 1"):
        planned_minutes(MANY, MANY, 75)
