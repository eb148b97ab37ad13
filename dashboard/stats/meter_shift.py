"""Does one technician's meter read otherwise than the others'?"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from scipy.special import ndtr
from scipy.stats import mannwhitneyu

from dashboard.stats.bootstrap import median_draws, percentile_interval
from dashboard.stats.counted import Counted, on_one_axis

FEWEST = 8
DRAWS = 1000  # enough for an interval in tenths of a percent; a large shop has thousands of pairs


@dataclass(frozen=True)
class MeterShift:
    """Shift of a median as a fraction of the others', with its 95 % interval and p-value."""

    shift: float
    low: float
    high: float
    p_value: float


def meter_shift(
    own: Sequence[float] | Counted,
    others: Sequence[float] | Counted,
    seed: int = 1,
    draws: int = DRAWS,
) -> MeterShift | None:
    """Compare readings of sound parts with those of all other technicians.

    shift = median(own) / median(others) − 1, percentile interval from the bootstrap of both
    medians; p-value of Mann and Whitney (1947), two-sided, corrected for ties: exchangeable
    readings pass whatever their distribution. None where either side has fewer than 8 readings or
    the others' median is not above 0.
    """
    own, others = on_one_axis(own, others)
    if min(len(own), len(others)) < FEWEST or others.median <= 0:
        return None
    generator = np.random.default_rng(seed)
    base = median_draws(others, generator, draws)
    ratios = median_draws(own, generator, draws) / np.where(base > 0, base, np.nan) - 1
    low, high = percentile_interval(ratios[~np.isnan(ratios)])
    return MeterShift(own.median / others.median - 1, low, high, _p_value(own, others))


def _p_value(own: Counted, others: Counted) -> float:
    """Return the two-sided p-value of both groups, which are on one axis.

    As scipy's mannwhitneyu, which takes a quarter of a millisecond for its checks whatever it is
    given: it is asked only where it counts exactly, that is up to 8 readings without ties.
    """
    m, n = len(own), len(others)
    both = own.counts + others.counts
    if min(m, n) <= FEWEST and both.max() == 1:
        sides = (group.values[group.counts > 0] for group in (own, others))
        return float(mannwhitneyu(*sides, alternative="two-sided").pvalue)
    tied = both[both > 0].astype(float)
    wins = (own.counts * (2 * others.counts.cumsum() - others.counts)).sum() / 2
    spread = (m + n + 1) - (tied**3 - tied).sum() / ((m + n) * (m + n - 1))
    away = max(abs(wins - m * n / 2) - 0.5, 0.0)
    return 1.0 if spread <= 0 else min(2 * float(ndtr(-away / sqrt(m * n * spread / 12))), 1.0)
