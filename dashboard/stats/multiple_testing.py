"""Many tests at once: the false-discovery rate, and the chance of any false flag."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

ROUNDING = 1e-9
LEAST_INFORMATION = 1e-6  # of a test that can show nothing: its weight stays above 0


def q_values(p_values: Sequence[float | None]) -> list[float | None]:
    """Return each p-value's q-value: the smallest false-discovery rate at which it is flagged.

    Benjamini & Hochberg 1995 over the p-values that are there; None stays None. No p-values give an
    empty list; a single one is its own q-value. Raises ValueError for a p-value outside 0–1.
    """
    known = [i for i, p in enumerate(p_values) if p is not None]
    result: list[float | None] = [None] * len(p_values)
    if not known:
        return result
    from scipy.stats import false_discovery_control  # half a second, for one page

    adjusted = false_discovery_control(np.array([p_values[i] for i in known], float), method="bh")
    for i, q in zip(known, adjusted, strict=True):
        result[i] = float(q)
    return result


def adjusted_for_any(
    p_values: ArrayLike,
    attainable: Sequence[NDArray[np.float64] | None],
    weights: ArrayLike | None = None,
) -> NDArray[np.float64]:
    """Return the adjusted p-value of each test on counts: the chance of any wrong flag so clear.

    `attainable[i]`: the p-values that test i can have, rising; None = any, as for a normal value.
    `weights`: what share of the chance each test may use (default equal), above 0 and known without
    its outcome. Holm's weighted step-down, in which each test adds only the chance that it has of
    so small a p-value: a part with one return adds none. Source: Holm 1979, Scand J Stat 6:65;
    Tarone 1990, Biometrics 46:515; Westfall and Wolfinger 1997, Am Stat 51:3 (all from memory).
    """
    p = np.asarray(p_values, float)
    weight = np.ones(len(p)) if weights is None else np.asarray(weights, float)
    levels = p / weight
    order = np.argsort(levels, kind="stable")
    any_false = np.zeros(len(p))
    for rank, test in enumerate(order):
        level, reached = levels[order[: rank + 1]] * weight[test], attainable[test]
        if reached is None:
            any_false[: rank + 1] += level
            continue
        place = np.searchsorted(reached, level * (1 + ROUNDING), side="right")
        any_false[: rank + 1] += np.where(place > 0, reached[np.maximum(place, 1) - 1], 0.0)
    adjusted = np.empty(len(p))
    adjusted[order] = np.minimum(np.maximum.accumulate(any_false), 1.0)
    return adjusted


def by_information(information: ArrayLike) -> NDArray[np.float64]:
    """Return weights for `adjusted_for_any` in proportion to each test's information, mean 1.

    Tests that can hardly show a difference then take little from those that can. The square would
    find more of what is common and much less of what is not (tests/bench/power.py, sample shop).
    """
    known = np.maximum(np.asarray(information, float), LEAST_INFORMATION)
    weights: NDArray[np.float64] = known / known.mean() if len(known) else known
    return weights
