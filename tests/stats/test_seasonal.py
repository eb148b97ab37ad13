"""Season: against a Poisson regression of statsmodels, by hand, and how often its ranges hold."""

import numpy as np
import pytest
import statsmodels.api as sm

from dashboard.stats.seasonal import season_of

WAVE = 1 + 0.6 * np.sin(np.arange(12) / 12 * 2 * np.pi)


def drawn(seed: int, years: int, rate: float, spread: float | None) -> np.ndarray:
    """Return calls of years of twelve months; `spread`: shape of the months' own ups and downs."""
    generator = np.random.default_rng(seed)
    mean = rate * WAVE * np.linspace(1, 1.3, years)[:, None]
    if spread:
        mean = mean * generator.gamma(spread, 1 / spread, (years, 12))
    return generator.poisson(mean)


def test_the_index_is_that_of_a_poisson_regression_on_year_and_month():
    calls = drawn(1, 3, 20, None)
    year, month = (each.ravel() for each in np.indices(calls.shape))
    design = np.column_stack(
        [np.ones(36), *[(year == y) for y in (1, 2)], *[(month == m) for m in range(1, 12)]]
    ).astype(float)
    fit = sm.GLM(calls.ravel(), design, family=sm.families.Poisson()).fit(scale="X2")
    effects = np.exp(np.concatenate([[0.0], fit.params[3:]]))
    found = season_of(calls)
    assert found.index == pytest.approx(effects / effects.mean(), rel=1e-6)
    assert found.dispersion == pytest.approx(max(1.0, fit.scale), rel=1e-6)


def test_two_years_by_hand():
    """10 calls in each month but July with 40: 40 / (110 + 40) of a year's calls, times 12."""
    calls = np.full((2, 12), 10)
    calls[:, 6] = 40
    found = season_of(calls)
    assert found.index[6] == pytest.approx(12 * 40 / 150)
    assert found.index[0] == pytest.approx(12 * 10 / 150)
    assert found.low[6] < found.index[6] < found.high[6]
    assert found.p_value < 0.001


def test_under_two_years_and_with_few_calls_nothing_is_said():
    assert season_of(np.full((1, 12), 10)) is None
    assert season_of(np.zeros((2, 12))) is None
    assert season_of(np.full((2, 12), 2)).p_value is None
    with pytest.raises(ValueError, match="twelve"):
        season_of(np.ones((2, 11)))


def test_no_call_in_a_month_has_a_range_that_begins_at_zero():
    calls = np.full((2, 12), 5)
    calls[:, 3] = 0
    found = season_of(calls)
    assert found.index[3] == found.low[3] == 0
    assert 0.1 < found.high[3] < 1


@pytest.mark.slow
@pytest.mark.parametrize("years", [2, 3, 4])
@pytest.mark.parametrize(("rate", "spread"), [(2, None), (8, 8), (40, 8)])
def test_ranges_hold_the_true_index_as_often_as_they_say(years, rate, spread):
    wanted, held = WAVE / WAVE.mean(), []
    for seed in range(400):
        found = season_of(drawn(seed, years, rate, spread))
        held.append(((found.low <= wanted) & (wanted <= found.high)).mean())
    assert np.mean(held) >= 0.93


@pytest.mark.slow
def test_calls_without_a_season_are_rarely_called_seasonal():
    generator, flagged = np.random.default_rng(9), 0
    for _ in range(600):
        mean = 15 * generator.gamma(8, 1 / 8, (3, 12))
        p_value = season_of(generator.poisson(mean)).p_value
        flagged += p_value is not None and p_value <= 0.05
    assert flagged / 600 <= 0.08  # 0.05 wanted; the dispersion is itself an estimate
