"""The binomial distribution from special functions: scipy.stats takes half a second to import."""

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import bdtrik, betainc, gammaln, xlog1py, xlogy


def chance_at_most(count: ArrayLike, n: ArrayLike, rate: ArrayLike) -> NDArray[np.float64]:
    """Return P(X <= count) of n tries: 0 below no success, 1 from n on; NaN without a number.

    The regularised incomplete beta function I(1 - rate; n - count, count + 1): NIST DLMF 8.17.5.
    """
    count, n, rate = (np.asarray(each, float) for each in (count, n, rate))
    is_inside = (count >= 0) & (count < n)
    inner = np.where(is_inside, count, 0.0)
    chance = betainc(np.maximum(n - inner, 1.0), inner + 1, 1 - rate)
    result: NDArray[np.float64] = np.where(
        is_inside | np.isnan(count + n + rate), chance, np.where(count < 0, 0.0, 1.0)
    )
    return result


def chance_above(count: ArrayLike, n: ArrayLike, rate: ArrayLike) -> NDArray[np.float64]:
    """Return P(X > count), without the loss of 1 - P(X <= count) where it is small."""
    count, n, rate = (np.asarray(each, float) for each in (count, n, rate))
    return chance_at_most(n - count - 1, n, 1 - rate)


def chance_of(count: ArrayLike, n: ArrayLike, rate: ArrayLike) -> NDArray[np.float64]:
    """Return P(X = count) for counts from 0 to n."""
    count, n, rate = (np.asarray(each, float) for each in (count, n, rate))
    ways = gammaln(n + 1) - gammaln(count + 1) - gammaln(n - count + 1)
    chance: NDArray[np.float64] = np.exp(ways + xlogy(count, rate) + xlog1py(n - count, -rate))
    return chance


def smallest_above(chance: float, n: ArrayLike, rate: ArrayLike) -> NDArray[np.float64]:
    """Return the smallest count with P(X <= count) > chance."""
    n, rate = np.asarray(n, float), np.asarray(rate, float)
    near = np.nan_to_num(np.ceil(bdtrik(chance, n, rate)))  # a rate of 0 has no inverse: count 0
    count = np.where(chance_at_most(near - 1, n, rate) > chance, near - 1, near)
    found: NDArray[np.float64] = np.where(chance_at_most(count, n, rate) > chance, count, count + 1)
    return found
