"""The logistic curve against statsmodels, and where no curve can be fitted."""

import numpy as np
import pytest
import statsmodels.api as sm
from hypothesis import given, settings, strategies
from numpy.typing import ArrayLike, NDArray

from dashboard.stats.logistic import fit_logistic


def column(x: ArrayLike) -> NDArray:
    return np.asarray(x, float).reshape(-1, 1)


def test_coefficients_and_errors_are_those_of_statsmodels():
    """Grouped binomial counts of two features, statsmodels GLM with the logit link."""
    generator = np.random.default_rng(7)
    x = np.column_stack([np.linspace(-4, 4, 30), generator.integers(0, 2, 30)])
    n = generator.integers(5, 60, 30)
    k = generator.binomial(n, 1 / (1 + np.exp(-(0.4 + x @ [0.6, -0.8]))))
    found = fit_logistic(x, n, k)
    design = sm.add_constant(x)
    reference = sm.GLM(np.column_stack([k, n - k]), design, family=sm.families.Binomial()).fit()
    assert found is not None
    assert found.coefficients == pytest.approx(tuple(reference.params), rel=1e-6)
    assert found.errors == pytest.approx(tuple(reference.bse), rel=1e-5)
    assert found.chance(x).tolist() == pytest.approx(reference.predict(design).tolist())


def test_grouped_counts_give_what_single_rows_give():
    grouped = fit_logistic(column([-1, 0, 2]), [4, 6, 5], [1, 3, 4])
    single = fit_logistic(
        column([-1] * 4 + [0] * 6 + [2] * 5),
        [1] * 15,
        [1, 0, 0, 0, 1, 1, 1, 0, 0, 0, 1, 1, 1, 1, 0],
    )
    assert grouped is not None
    assert single is not None
    assert grouped.coefficients == pytest.approx(single.coefficients)


@pytest.mark.parametrize(
    ("x", "n", "k"),
    [
        ([], [], []),
        ([1, 1], [3, 4], [1, 2]),  # one x only
        ([0, 1], [3, 4], [3, 4]),  # all
        ([0, 1], [3, 4], [0, 0]),  # none
        ([0, 1], [3, 4], [0, 4]),  # separated: the slope would grow without end
        ([0, 1, 2], [3, 2, 4], [0, 1, 4]),  # separated but for one value
    ],
)
def test_without_a_maximum_there_is_no_curve(x: list, n: list, k: list):
    assert fit_logistic(column(x), n, k) is None


@settings(max_examples=60, deadline=None)
@given(
    strategies.lists(
        strategies.tuples(
            strategies.integers(-8, 8), strategies.integers(1, 50), strategies.floats(0, 1)
        ),
        min_size=2,
        max_size=12,
    )
)
def test_a_fitted_curve_reproduces_the_total_and_the_weighted_x(rows: list):
    """The two equations that a maximum-likelihood logistic fit solves."""
    x, n = np.array([r[0] for r in rows], float), np.array([r[1] for r in rows], float)
    k = np.floor(n * [r[2] for r in rows])
    found = fit_logistic(column(x), n, k)
    if found is None:
        return
    expected = n * found.chance(column(x))
    assert expected.sum() == pytest.approx(k.sum(), abs=1e-4 * n.sum())
    assert (x * expected).sum() == pytest.approx((x * k).sum(), abs=1e-3 * n.sum())


def test_counts_that_cannot_be_are_refused():
    with pytest.raises(ValueError, match="successes <= trials"):
        fit_logistic(column([0, 1]), [1, 1], [2, 0])
