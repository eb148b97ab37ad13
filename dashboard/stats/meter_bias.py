"""Does one technician's meter read otherwise than the others'?"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr
from scipy.stats import mannwhitneyu

from dashboard.stats.bootstrap import medians_drawn
from dashboard.stats.weighted_sample import at_ranks

FEWEST = 8
DRAWS = 1000  # enough for an interval in tenths of a percent; a large shop has thousands of pairs


@dataclass(frozen=True)
class MeterShift:
    """Shift of a median as a fraction of the others', with its 95 % interval and p-value."""

    n: int
    median: float
    others_n: int
    others_median: float
    shift: float
    low: float
    high: float
    p_value: float


def meter_shifts(
    values: np.ndarray, read: np.ndarray, seed: int = 1, draws: int = DRAWS
) -> list[MeterShift | None]:
    """Compare each technician's readings of sound parts with those of all the others.

    `read[t, v]` tells how often technician t read values[v]; values rise and are above 0, else
    ValueError. shift = median(own) / median(others) − 1, percentile interval from the bootstrap of
    both medians; p-value of Mann and Whitney (1947), two-sided, corrected for ties: exchangeable
    readings pass whatever their distribution. None where either side has fewer than 8 readings.
    """
    if len(values) and not values[0] > 0:
        raise ValueError(f"meter shift: wanted readings above 0, found {values[0]}")
    everybody = read.sum(axis=0)
    n = read.sum(axis=1)
    tested = np.flatnonzero((n >= FEWEST) & (everybody.sum() - n >= FEWEST))
    found: list[MeterShift | None] = [None] * len(read)
    if not len(tested):
        return found
    sides = own, others = read[tested], everybody - read[tested]
    generator = np.random.default_rng(seed)
    base, drawn = (medians_drawn(values, side, generator, draws) for side in (others, own))
    low, high = np.quantile(drawn / base - 1, (0.025, 0.975), axis=1)
    medians, others_medians = (_medians(values, side) for side in sides)
    columns = zip(
        own.sum(axis=1).tolist(),
        medians.tolist(),
        others.sum(axis=1).tolist(),
        others_medians.tolist(),
        (medians / others_medians - 1).tolist(),
        low.tolist(),
        high.tolist(),
        _p_values(values, own, others).tolist(),
        strict=True,
    )
    for place, row in zip(tested.tolist(), columns, strict=True):
        found[place] = MeterShift(*row)
    return found


def _medians(values: np.ndarray, counts: np.ndarray) -> np.ndarray:
    n = counts.sum(axis=1)
    return at_ranks(values, counts, np.stack([(n - 1) // 2, n // 2], axis=1)).mean(axis=1)


def _p_values(values: np.ndarray, own: np.ndarray, others: np.ndarray) -> np.ndarray:
    """Return the two-sided p-value of each row of counts against the others'.

    As scipy's mannwhitneyu, which takes a quarter of a millisecond for its checks whatever it is
    given: it is asked only where it counts exactly, that is up to 8 readings without ties.
    """
    m, n, both = own.sum(axis=1), others.sum(axis=1), own[0] + others[0]
    tied = both[both > 0].astype(float)
    wins = (own * (2 * others.cumsum(axis=1) - others)).sum(axis=1) / 2
    spread = (m + n + 1) - (tied**3 - tied).sum() / ((m + n) * (m + n - 1))
    away = np.maximum(np.abs(wins - m * n / 2) - 0.5, 0.0)
    known = spread > 0
    p_values = np.ones(len(own))
    error = np.sqrt((m * n * spread / 12)[known])
    p_values[known] = np.minimum(2 * ndtr(-away[known] / error), 1.0)
    if both.max() == 1:
        for row in np.flatnonzero(np.minimum(m, n) <= FEWEST):
            two = (values[side[row] > 0] for side in (own, others))
            p_values[row] = mannwhitneyu(*two, alternative="two-sided").pvalue
    return p_values
