"""What difference a comparison finds with 80 % chance, and how often it flags a false one."""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from dashboard.stats import binomial, funnel

POWER = 0.80
DRAWS = 2000  # the standard error of a share of 80 % is then 0.9 points
STEPS = 12  # halvings of the range that is searched
LEVEL = 0.05


def smallest_found(
    chance: Callable[[float], float], start: float, end: float, power: float = POWER
) -> float | None:
    """Return the smallest value between start and end that is found with 80 % chance.

    `chance` rises from start to end; end may be below start. None when even end is not found.
    """
    if chance(end) < power:
        return None
    for _ in range(STEPS):
        middle = (start + end) / 2
        start, end = (start, middle) if chance(middle) >= power else (middle, end)
    return end


def chance_outside(rate: float, n: int, usual: float, side: int) -> float:
    """Return the chance that n jobs at a rate fall outside the 99.8 % limits around the usual one.

    side 1: above; -1: below.
    """
    low, high = (float(limit) for limit in funnel.limits(usual, n, funnel.DIFFERENT))
    counts = np.arange(n + 1)
    beyond = counts / n > high + 1e-9 if side > 0 else counts / n < low - 1e-9
    return float(binomial.chance_of(counts, n, rate)[beyond].sum())


def chance_below(rate: float, n: int, limit: float) -> float:
    """Return the chance that n jobs at a rate show a rate under the limit."""
    return float(binomial.chance_at_most(np.ceil(n * limit - 1e-9) - 1, n, rate))


def any_of(chances: Sequence[float]) -> float:
    """Return the chance of at least one of independent events."""
    return float(1 - np.prod(1 - np.asarray(chances, float)))


def chance_of_part_flag(
    rate: float, usual: float, own: int, others: int, critical: float, seed: int = 1
) -> float:
    """Return the chance that a part with `own` jobs is flagged next to `others` of alternatives.

    Flagged: as many returns or more have at most the chance `critical` (as early_parts).
    """
    generator = np.random.default_rng(seed)
    back = generator.binomial(own, rate, DRAWS)
    failures = back + generator.binomial(others, usual, DRAWS)
    tail = np.where(
        failures > 0, binomial.chance_above(back - 1, failures, own / (own + others)), 1.0
    )
    return float((tail <= critical).mean())


def critical_chances(
    attainable: Sequence[NDArray[np.float64]],
    weights: NDArray[np.float64],
    level: float = LEVEL,
) -> NDArray[np.float64]:
    """Return for each test on counts the largest chance at which it is flagged as the clearest.

    In proportion to its weight. The chances that the tests have of so small a value may add up to
    `level` at most; 0 when none can be flagged.
    """
    within = [each[each <= level] for each in attainable]
    scaled = [each / weight for each, weight in zip(within, weights, strict=True)]
    values = np.concatenate(scaled or [np.empty(0)])
    # a test's own chance of so small a value grows by this as the limit passes each of its values
    more = np.concatenate([np.diff(each, prepend=0.0) for each in within] or [np.empty(0)])
    order = np.argsort(values)
    up_to = np.concatenate([[0.0], more[order].cumsum()])
    candidates = np.unique(values)
    false = up_to[np.searchsorted(values[order], candidates * (1 + 1e-9), side="right")]
    fitting = candidates[false <= level]
    return weights * (float(fitting[-1]) * (1 + 1e-9) if len(fitting) else 0.0)


def chance_of_meter_flag(
    shift: float,
    errors: NDArray[np.float64],
    accuracy: NDArray[np.float64],
    pairs: int,
    seed: int = 1,
) -> float:
    """Return the chance that somebody's meter is flagged at one test point or more.

    `errors`: standard errors of his shifts, as fractions; `accuracy`: of his meter there; `pairs`:
    all that are compared. Normal shifts; Benjamini and Hochberg's limit of the k-th smallest of
    his own values, as if no other had any: a little too cautious.
    """
    seen = np.log1p(shift) + np.random.default_rng(seed).normal(0, errors, (DRAWS, len(errors)))
    p_values = 2 * ndtr(-np.abs(seen) / errors)
    order = np.argsort(p_values, axis=1)
    ranked = np.take_along_axis(p_values, order, axis=1)
    last = np.where(
        ranked <= LEVEL * np.arange(1, len(errors) + 1) / pairs, np.arange(len(errors)), -1
    ).max(axis=1)
    is_beyond = np.take_along_axis(np.abs(np.expm1(seen)) > accuracy, order, axis=1)
    is_flagged = is_beyond & (np.arange(len(errors)) <= last[:, None])
    return float(is_flagged.any(axis=1).mean())
